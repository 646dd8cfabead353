//! The second sample: from its tools to the whole wall, no file touched by hand.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use crate::holder::{Level, Part};
use crate::stages::folder;
use crate::stages::guide::untold;
use crate::{Inputs, Options, Worked, propose, render, work_out};

const SHED: &str = "samples/boat-shed-plan";
const PICTURE: &str = "samples/pictures/boat-shed-plan-wall.svg";

fn texts() -> Inputs {
    folder::inputs(SHED).with_cutting_steps(1)
}

/// The texts with all that is proposed for the tools of the sample.
fn proposed() -> &'static Inputs {
    static PROPOSED: LazyLock<Inputs> = LazyLock::new(|| {
        let texts = texts();
        let files = propose(&texts).unwrap().into_iter().flat_map(|one| one.files);
        files.fold(texts, |all, file| all.with(&file.path, &file.text))
    });
    &PROPOSED
}

fn worked() -> &'static Worked {
    static WORKED: LazyLock<Worked> = LazyLock::new(|| work_out(proposed()).unwrap());
    &WORKED
}

fn tools() -> String {
    std::fs::read_to_string(format!("{SHED}/tools.toml")).unwrap()
}

#[test]
fn it_is_large_and_has_three_files() {
    let files = std::fs::read_dir(SHED).unwrap().map(|entry| entry.unwrap());
    let names: BTreeSet<String> =
        files.map(|file| file.file_name().into_string().unwrap()).collect();
    let wanted = ["shop.toml", "tools.toml", "wall.toml"].map(str::to_owned);
    assert_eq!(names, BTreeSet::from(wanted));
    let file: toml::Table = tools().parse().unwrap();
    let tools = file["tool"].as_array().unwrap();
    let count =
        |tool: &toml::Value| tool.get("count").map_or(1, |count| count.as_integer().unwrap());
    let kinds: BTreeSet<&str> = tools
        .iter()
        .map(|tool| tool.get("set").unwrap_or(&tool["name"]).as_str().unwrap())
        .collect();
    assert!(kinds.len() >= 20, "{} kinds", kinds.len());
    let all: i64 = tools.iter().map(count).sum();
    assert!((130..=150).contains(&all), "{all} tools");
}

#[test]
fn all_of_it_hangs_and_nothing_stops() {
    let worked = worked();
    let stops: Vec<String> = worked
        .findings()
        .flat_map(|(_, found)| found)
        .filter(|finding| finding.level == Level::Stop)
        .map(|finding| format!("{finding:?}"))
        .collect();
    assert!(stops.is_empty(), "{stops:#?}");
    let plan = worked.wall_plan.as_ref().unwrap();
    assert!(plan.left_over.is_empty(), "{:?}", plan.left_over);
    assert_eq!(plan.aims.findings, 0);
    let hung: BTreeSet<&str> = plan
        .walls
        .iter()
        .flat_map(|wall| &wall.places)
        .map(|place| place.holder.as_str())
        .collect();
    let made: BTreeSet<&str> = worked.names().filter(|name| *name != "wall-cleats").collect();
    assert_eq!(hung, made);
    let cleats = worked.holders.iter().find(|worked| worked.holder.name == "wall-cleats").unwrap();
    let pieces: usize = cleats.holder.parts.iter().map(Part::quantity).sum();
    assert_eq!(pieces, plan.walls[0].rows.iter().map(|row| row.cleats.len()).sum::<usize>());
}

#[test]
fn one_measure_changes_every_holder_that_takes_it() {
    let with_heavier = tools().replacen("tool_mass = \"3.2 kg\"", "tool_mass = \"3.4 kg\"", 1);
    assert_ne!(with_heavier, tools());
    let after = work_out(&proposed().clone().with("tools.toml", &with_heavier)).unwrap();
    let mass = |worked: &Worked| -> BTreeMap<String, String> {
        let values = worked.holders.iter().filter_map(|worked| {
            Some((
                worked.holder.name.clone(),
                format!("{:?}", worked.holder.values.get("tool_mass")?),
            ))
        });
        values.collect()
    };
    let (before, after) = (mass(worked()), mass(&after));
    let changed: Vec<&String> =
        before.keys().filter(|name| before[*name] != after[*name]).collect();
    assert_eq!(changed, ["deck-clamp-1", "deck-clamp-2"]);
}

#[test]
fn its_picture_in_the_readme_is_up_to_date() {
    let mut made = BTreeMap::new();
    render(worked(), &Options::default(), &mut made).unwrap();
    assert!(
        std::fs::read(PICTURE).unwrap() == made["wall.svg"],
        "{PICTURE} is out of date: copy it anew"
    );
    assert!(std::fs::read_to_string("README.md").unwrap().contains(PICTURE));
    assert!(made.contains_key("wall.md") && made.contains_key("wall.glb"));
    assert_eq!(untold(&made["summary.json"]), BTreeSet::new(), "keys that the guide does not tell");
}
