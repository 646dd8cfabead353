//! Which holders are proposed: the style that a woodworker would take, nothing that stops, nothing longer than is lifted.

use std::fmt::Write;

use rayon::prelude::*;

use super::settled::sets;
use crate::length::{MM_PER_INCH, Units};
use crate::reading::Source;
use crate::style::{HolderFile, Library};
use crate::{Inputs, Proposed, propose, work_out};

fn project(tools: &str) -> Inputs {
    Inputs::new().with_cutting_steps(1).with("tools.toml", tools)
}

/// The project with all that is proposed in it.
fn with_proposed(inputs: &Inputs, proposed: &[Proposed]) -> Inputs {
    let files = proposed.iter().flat_map(|one| &one.files);
    files.fold(inputs.clone(), |all, file| all.with(&file.path, &file.text))
}

fn style_of(proposed: &[Proposed]) -> Vec<Option<&str>> {
    proposed.iter().map(|one| one.style.as_deref()).collect()
}

const HATCH: &str = "units = \"in\"\n[[tool]]\nname = \"hatch clamp\"\ncount = 30\nbar_thickness = \"5/16\"\n\
                     head_width = \"1 1/8\"\ntool_length = 40\ntool_mass = \"2.1 kg\"\n";

/// Tools as they lie in a shed, each measured for the style that it was measured for. Which that is, is common practice,
/// no source.
#[test]
fn tools_of_a_shed_get_the_style_they_were_measured_for() {
    let sets = sets();
    let odd: Vec<String> = sets
        .par_iter()
        .filter_map(|set| {
            let proposed = propose(&project(&set.as_tools())).unwrap();
            let found = style_of(&proposed);
            let alike = found.iter().all(|style| *style == Some(set.style.as_str()));
            (!alike).then(|| format!("{} ({}): {proposed:?}", set.name, set.style))
        })
        .collect();
    assert!(odd.is_empty(), "{} of {}:\n{}", odd.len(), sets.len(), odd.join("\n"));
}

/// A shed of many kinds: every file is one that reads, all of them together stop nothing, and then every tool is named.
#[test]
fn what_is_proposed_can_be_made() {
    let inputs = project(SHED);
    let proposed = propose(&inputs).unwrap();
    let wanted = [
        ("plank clamp", Some("twin-arm")),
        ("hand screw", Some("tongue")),
        ("spring clamp", Some("peg")),
        ("chisels", Some("hole-rail")),
        ("planes", Some("plane-ramp")),
        ("levels", Some("level-pegs")),
        ("marking things", Some("tray")),
        ("rasp", None),
    ];
    let found: Vec<_> =
        proposed.iter().map(|one| (one.of.as_str(), one.style.as_deref())).collect();
    assert_eq!(found, wanted);
    let all = with_proposed(&inputs, &proposed);
    let worked = work_out(&all).unwrap();
    let names = worked.holders.iter().filter(|worked| {
        worked.holder.findings.iter().any(|found| found.level == crate::holder::Level::Stop)
    });
    assert_eq!(names.count(), 0);
    let again = propose(&all).unwrap();
    assert_eq!(style_of(&again), [None]);
    // Nothing that follows from the inventory stands in a file.
    for file in proposed.iter().flat_map(|one| &one.files) {
        let said: Vec<&str> = file.text.lines().filter(|line| !line.starts_with('#')).collect();
        let keys = said.iter().filter_map(|line| line.split_once(" = ")).map(|(key, _)| key);
        let split = file.text.contains("count = ");
        let more: &[&str] = if split { &["count", "spare"] } else { &[] };
        let wanted = ["style", "title", "units", "tool"].iter().chain(more).copied();
        assert!(keys.clone().eq(wanted), "{}", file.text);
    }
    let rasp = proposed.last().unwrap();
    assert!(rasp.files.is_empty() && rasp.why.contains("would want"), "{}", rasp.why);
}

#[test]
fn more_than_is_lifted_is_split_evenly() {
    let inputs = project(HATCH);
    let proposed = propose(&inputs).unwrap();
    let files = &proposed[0].files;
    assert!(files.len() > 1);
    let count = |text: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix("count = "));
        line.unwrap().parse::<usize>().unwrap()
    };
    let counts: Vec<usize> = files.iter().map(|file| count(&file.text)).collect();
    assert_eq!(counts.iter().sum::<usize>(), 30);
    assert!(counts.iter().max().unwrap() - counts.iter().min().unwrap() <= 1, "{counts:?}");
    let worked = work_out(&with_proposed(&inputs, &proposed)).unwrap();
    let longest = worked.holders.iter().map(|worked| worked.holder.size[0]).fold(0.0, f64::max);
    assert!(longest <= 36.0 * MM_PER_INCH + 0.01, "{longest}");
    // One holder fewer would be too long: 36 in hold no more than so many.
    let fewer = 30_usize.div_ceil(files.len() - 1);
    let alone = format!("style = \"slotted-shelf\"\ntool = \"hatch clamp\"\ncount = {fewer}\n");
    let alone = work_out(&inputs.with("holders/a.toml", &alone)).unwrap();
    assert!(alone.holders[0].holder.size[0] > 36.0 * MM_PER_INCH);
}

/// A set is parted by its names, so that its halves are near equal.
#[test]
fn a_long_set_is_parted_by_names() {
    let mut tools = String::from("units = \"mm\"\n");
    for i in 0..40 {
        let _ = write!(
            tools,
            "[[tool]]\nname = \"chisel {i}\"\nset = \"chisels\"\nshank_diameter = 12\nhead_width = 34\n\
             widest_below = 20\nneck_thickness = 6\ntool_mass = \"200 g\"\n"
        );
    }
    let inputs = project(&tools);
    let proposed = propose(&inputs).unwrap();
    let worked = work_out(&with_proposed(&inputs, &proposed)).unwrap();
    let lengths: Vec<f64> = worked.holders.iter().map(|worked| worked.holder.size[0]).collect();
    let hung: Vec<usize> = worked.holders.iter().map(|worked| worked.hung.names.len()).collect();
    assert_eq!(hung.iter().sum::<usize>(), 40);
    assert!(lengths.iter().all(|length| *length <= 900.01), "{lengths:?}");
    let even = hung.iter().max().unwrap() - hung.iter().min().unwrap();
    assert!(lengths.len() > 1 && even <= 1, "{hung:?}");
}

#[test]
fn where_the_wall_is_planned_a_ledge_hangs_on_a_cleat() {
    let tools = "units = \"in\"\n[[tool]]\nname = \"pipe clamp\"\ncount = 4\nfoot_height = 1\nthroat = \"1 3/4\"\n\
                 head_width = \"1 1/2\"\ntool_length = 48\ntool_mass = \"3.2 kg\"\n";
    let free = propose(&project(tools)).unwrap();
    let planned = propose(&project(tools).with("wall.toml", "")).unwrap();
    assert_eq!(style_of(&free), [Some("hook-ledge")]);
    assert!(!free[0].files[0].text.contains("mount"));
    assert_eq!(style_of(&planned), [Some("hook-ledge")]);
    assert!(planned[0].files.iter().all(|file| file.text.contains("mount = \"cleat\"\n")));
}

/// A name that is taken gets a number; what is named already, alone or in a set, is left out.
#[test]
fn what_is_there_is_left_alone() {
    let taken = "style = \"hammer-rack\"\nunits = \"in\"\n[measures]\nhandle_thickness = [1]\nhead_width = [4]\n\
                 tool_thickness = [1]\ntool_mass = [\"1 lb\"]\n";
    let few = HATCH.replace("count = 30", "count = 4");
    let proposed = propose(&project(&few).with("holders/Hatch-Clamp.toml", taken)).unwrap();
    assert_eq!(proposed[0].files[0].path, "holders/hatch-clamp-2.toml");
    let named = "style = \"slotted-shelf\"\ntool = \"hatch clamp\"\n";
    assert_eq!(propose(&project(HATCH).with("holders/a.toml", named)).unwrap(), []);
    let one = "style = \"hole-rail\"\nunits = \"in\"\ntool = \"chisel 1\"\n";
    let rest = propose(&project(SHED).with("holders/a.toml", one)).unwrap();
    let rest = rest.iter().find(|one| one.of == "chisels").unwrap();
    assert!(rest.files[0].text.contains("tool = \"chisel 1/4\"\n"), "{}", rest.files[0].text);
}

/// Where the best style stops in this shop, the next is taken, and the file says why.
#[test]
fn a_style_that_stops_is_passed_over() {
    let own = include_str!("../../templates/slotted-shelf.toml");
    let merit = own.lines().find(|line| line.starts_with("merit = ")).unwrap();
    let own = own.replace(merit, "merit = \"1\"")
        + "\n[checks.never]\nstop = \"yes\"\nsay = \"It is never to be made.\"\n";
    let few = HATCH.replace("count = 30", "count = 4");
    let inputs = project(&few).with("styles/never.toml", &own);
    let proposed = propose(&inputs).unwrap_or_else(|wrong| panic!("{wrong:?}"));
    assert_eq!(style_of(&proposed), [Some("slotted-shelf")]);
    let text = &proposed[0].files[0].text;
    assert!(text.contains("# never would suit, and stops: It is never to be made."), "{text}");
}

#[test]
fn every_built_in_style_for_tools_says_what_it_suits() {
    let library = Library::built_in();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        let says = !style.own().suits.is_empty();
        assert_eq!(says, style.own().wall_cleats.is_none(), "{name}");
    }
}

/// Holder files that can't be read, and no tools at all, are told.
#[test]
fn wrong_input_is_told() {
    let none = propose(&Inputs::new()).unwrap_err();
    assert!(none[0].to_string().contains("there is no tools.toml"), "{none:?}");
    let wrong = propose(&project(HATCH).with("holders/a.toml", "style = \"slotted-shelv\"\n"));
    assert!(wrong.unwrap_err()[0].to_string().contains("there is no style \"slotted-shelv\""));
    let text = "style = \"slotted-shelf\"\ntool = 5\n";
    let file = HolderFile::read(Source::new("a", text), "a", &Library::built_in()).unwrap();
    assert!(file.wrong.to_string().contains("tool: 5 is no name of a tool"));
    assert_eq!(Units::Inches.symbol(), "in");
}

const SHED: &str = r#"units = "in"
[[tool]]
name = "plank clamp"
count = 8
two_handed = true
bar_thickness = "1/2"
head_width = "4"
stack_count = 4
stack_depth = "7"
tool_length = "52"
tool_mass = "4.6 kg"
[[tool]]
name = "hand screw"
count = 4
inside_gap = "3"
tool_thickness = "1 3/4"
tool_length = "10"
tool_mass = "1.4 kg"
[[tool]]
name = "spring clamp"
count = 12
tool_thickness = "1 1/8"
tool_width = "3"
tool_length = "6"
tool_mass = "180 g"
[[tool]]
name = "chisel 1/4"
set = "chisels"
shank_diameter = "3/8"
head_width = "1 1/4"
widest_below = "1/4"
neck_thickness = "1/4"
tool_mass = "150 g"
[[tool]]
name = "chisel 1"
set = "chisels"
count = 3
shank_diameter = "1/2"
head_width = "1 3/8"
widest_below = "1"
neck_thickness = "5/16"
tool_mass = "220 g"
[[tool]]
name = "jack plane"
set = "planes"
tool_width = "2 1/2"
tool_length = "14"
tool_height = "5"
tool_mass = "2.2 kg"
[[tool]]
name = "block plane"
set = "planes"
tool_width = "2"
tool_length = "6 1/2"
tool_height = "3"
tool_mass = "700 g"
[[tool]]
name = "level 600"
set = "levels"
tool_length = "24"
tool_height = "2 1/4"
tool_thickness = "1"
tool_mass = "600 g"
[[tool]]
name = "level 1200"
set = "levels"
tool_length = "48"
tool_height = "2 1/2"
tool_thickness = "1"
tool_mass = "1.1 kg"
[[tool]]
name = "marking things"
inside_length = "14"
inside_width = "6"
inside_height = "3"
load_mass = "2 kg"
[[tool]]
name = "rasp"
tool_mass = "300 g"
head_width = "1"
"#;
