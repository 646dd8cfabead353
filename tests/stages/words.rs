//! One term for one thing: none of the words that were given up is said to a person, and what is
//! told of a holder is told in its own units.

use std::collections::BTreeMap;
use std::path::Path;

use super::{folder, styles};
use crate::length::Units;
use crate::schema::FileSchema;
use crate::style::{Library, guide, start};
use crate::{Inputs, Options, render, work_out};

/// Words given up, and what is said in their place.
const GIVEN_UP: [(&str, &str); 50] = [
    ("centre", "center"),
    ("mitre", "miter"),
    ("bevelled", "beveled"),
    ("colour", "color"),
    ("neighbour", "neighbor"),
    ("metre", "meter"),
    ("fibre", "fiber"),
    ("grey", "gray"),
    ("minimise", "minimize"),
    ("optimis", "optimiz"),
    ("wallboard", "drywall"),
    ("labelled", "labeled"),
    ("hook cleat", "holder cleat"),
    ("hook-cleat", "holder-cleat"),
    ("wall's cleat", "wall cleat"),
    ("wall rail", "wall cleat"),
    ("wall-rail", "wall-cleat"),
    ("bearing strip", "spacer strip"),
    ("bearing-strip", "spacer-strip"),
    ("bearing cleat", "spacer strip"),
    ("bearing-cleat", "spacer-strip"),
    ("keeper = ", "jar_board = "),
    ("lead hole", "pilot hole"),
    ("lead-hole", "pilot hole"),
    ("--anyway", "--force"),
    ("what it can", "allowable"),
    ("may be counted on", "allowable"),
    ("all it can take", "allowable"),
    ("asked at most", "at most … of its allowable"),
    ("nothing stands against", "no problems found"),
    ("free side", "offcut side"),
    ("comes off", "cut piece"),
    ("what stays", "remainder"),
    ("few settings", "few setups"),
    ("becomes parts", "yield"),
    ("becomes blanks", "yield"),
    ("round bites", "dogbone, relief"),
    ("made by router", "made by CNC router"),
    ("cut by router", "cut by CNC router"),
    ("the router ", "the CNC router "),
    ("a router ", "a CNC router "),
    ("from middle to middle", "center to center"),
    ("to the middle of", "to the center of"),
    ("play of ", "clearance of "),
    ("thought over", "searched"),
    ("are the most", "at most"),
    ("18 gauge", "nothing: there are no nails"),
    ("from memory", "nothing: it is for the code and its tests"),
    ("one another", "each other"),
    ("on either side", "on each side"),
];

/// What is no machine: the bit alone, a part of a hand tool too.
const NO_PROSE: [&str; 1] = ["router bit"];

/// All that the program tells of itself and writes for the sample, by where it stands.
fn told() -> BTreeMap<String, String> {
    let mut told = BTreeMap::new();
    for name in ["README.md", "samples/boat-shed/shop.toml", "src/shop/default.toml"] {
        told.insert(name.to_owned(), std::fs::read_to_string(name).unwrap());
    }
    for folder in ["templates", "templates/groups", "samples/boat-shed/holders"] {
        told.extend(files(folder, "toml"));
    }
    told.extend(files("src/guide", "md"));
    let inputs = Inputs::new();
    let schemas =
        [FileSchema::holder(), FileSchema::style(), FileSchema::shop(), FileSchema::wall()];
    for (at, of) in schemas.into_iter().chain([FileSchema::tools(&inputs)]).enumerate() {
        told.insert(format!("schema {at}"), of.to_string());
    }
    let library = Library::built_in();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        told.insert(format!("styles {name}"), guide(&style, Units::Inches));
        told.insert(format!("start {name}"), start(&style, Units::Inches));
    }
    let is_text = |path: &str| ![".pdf", ".glb"].iter().any(|ending| path.ends_with(ending));
    for (path, bytes) in folder::made().iter().filter(|(path, _)| is_text(path)) {
        told.insert(path.clone(), String::from_utf8(bytes.clone()).unwrap());
    }
    told
}

pub fn files(folder: &str, ending: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(Path::new(folder)).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() && ending == "rs" {
            found.extend(files(path.to_str().unwrap(), ending));
        } else if path.extension().is_some_and(|e| e == ending) {
            let text = std::fs::read_to_string(&path).unwrap();
            found.push((path.display().to_string(), text));
        }
    }
    found
}

/// The lines of `text` that say a word given up, as a person reads them.
fn faults(place: &str, text: &str) -> Vec<String> {
    let lines = text.lines().enumerate();
    let found = lines.flat_map(|(at, line)| {
        let low = NO_PROSE.iter().fold(line.to_lowercase(), |line, word| line.replace(word, ""));
        let meant = GIVEN_UP.iter().filter(move |(word, _)| low.contains(word));
        meant.map(move |(word, instead)| {
            format!("{place}, line {}: \"{word}\" is said, not \"{instead}\": {line}", at + 1)
        })
    });
    found.collect()
}

#[test]
fn no_word_that_was_given_up_is_told() {
    let faults: Vec<String> = told().iter().flat_map(|(at, text)| faults(at, text)).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// What the code may say at run time: its lines that are no comment and hold a text. How the British
/// write a unit is still read.
#[test]
fn no_word_that_was_given_up_stands_in_the_code() {
    let mut found = Vec::new();
    for (path, text) in files("src", "rs") {
        if path.ends_with("length/reading.rs") {
            continue;
        }
        let texts: String = text
            .lines()
            .map(|line| if line.trim_start().starts_with("//") { "" } else { line })
            .fold(String::new(), |all, line| all + line + "\n");
        found.extend(faults(&path, &texts));
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_test_of_words_finds_them() {
    assert_eq!(faults("here", "Bore the lead hole.\nDrill the pilot hole.").len(), 1);
    assert!(faults("here", "It is the diameter of a router bit.").is_empty());
}

/// A project made of the sample's holders in `units`.
fn of_units(units: &str, shop: &str) -> BTreeMap<String, String> {
    let mut inputs = Inputs::new().with_cutting_steps(1).with("shop.toml", shop);
    for (path, text) in files("samples/boat-shed/holders", "toml") {
        let name = Path::new(&path).file_name().unwrap().to_str().unwrap();
        if text.contains(&format!("units = \"{units}\"")) {
            inputs = inputs.with(&format!("holders/{name}"), &text);
        }
    }
    let mut made = BTreeMap::new();
    render(&work_out(&inputs).unwrap(), &Options::default(), &mut made).unwrap();
    // A record is read by the program: its figures are as exact as either unit has them.
    let is_read = |path: &str| {
        let told = [".md", ".csv", ".toml"].iter().any(|end| path.ends_with(end));
        told && !path.ends_with("/made.toml")
    };
    let read = made.into_iter().filter(|(path, _)| is_read(path));
    read.map(|(path, bytes)| (path, String::from_utf8(bytes).unwrap())).collect()
}

/// Whether a figure in one of some units stands in the line.
fn has_unit(line: &str, units: &[&str]) -> bool {
    let words: Vec<&str> = line.split([' ', ',', '|', '"', '.', ';', ')']).collect();
    words.windows(2).any(|pair| {
        let figure = pair[0].chars().last().is_some_and(|c| c.is_ascii_digit());
        figure && units.contains(&pair[1])
    })
}

/// The lines of what is made that have a figure in one of some units.
fn strangers(made: &BTreeMap<String, String>, units: &[&str]) -> Vec<String> {
    let lines = made.iter().flat_map(|(path, text)| text.lines().map(move |line| (path, line)));
    let strange = lines.filter(|(_, line)| has_unit(line, units));
    strange.map(|(path, line)| format!("{path}: {line}")).collect()
}

#[test]
fn a_project_in_inches_shows_no_millimeter() {
    let made = of_units("in", include_str!("../../samples/boat-shed/shop.toml"));
    assert!(made.len() > 30);
    let mut found = strangers(&made, &["mm", "cm", "cm²", "mm²", "kg", "N", "N/mm²"]);
    // Where the limit for dust is told, as the one who set it tells it, and no holder's figure.
    found.retain(|line| !line.contains("NIOSH"));
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// A small metric shop. Its screws go by their trade number.
const METRIC: &str = r#"
units = "mm"
[[sheet]]
name = "birch ply 18"
thickness = 18
length = 2500
width = 1250
wood = "birch plywood"
[[dowel]]
name = "beech dowel 25"
diameter = 25.4
length = 1000
wood = "beech"
[cleat]
from = "birch ply 18"
width = 60
"#;

#[test]
fn a_metric_project_shows_no_inch() {
    let made = of_units("mm", METRIC);
    assert!(made["cutting/plan.md"].contains("Sizes are in mm"));
    let mut found = strangers(&made, &["in", "lb", "psi", "in²", "ft"]);
    // A screw's trade size.
    found.retain(|line| !line.contains('#'));
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// A byte-order mark, without which spreadsheets take letters of another script for rubbish.
#[test]
fn tables_say_how_they_are_encoded() {
    let mut tables = folder::made().iter().filter(|(path, _)| path.ends_with(".csv"));
    assert_eq!(tables.clone().count(), 4);
    assert!(tables.all(|(_, bytes)| bytes.starts_with("\u{feff}".as_bytes())));
}

/// What only a saw does; a router's parts come cut.
const SAWING: [&str; 6] =
    ["Rip ", "Saw the", "saw to them", "saw the open", "Cut the two", "crosscut"];

#[test]
fn what_the_cnc_router_cuts_is_not_sawn() {
    let shop = styles::shop(include_str!("../../samples/boat-shed/shop.toml"));
    for (path, text) in files("samples/boat-shed/holders", "toml") {
        let by_router = |text: &str| {
            let text = text.replace("made_by = \"router\"", "");
            match text.contains("[choices]") {
                true => text.replace("[choices]", "[choices]\nmade_by = \"router\""),
                false => text + "\n[choices]\nmade_by = \"router\"\n",
            }
        };
        let steps = styles::made(&by_router(&text), &shop).steps;
        let steps = steps.into_iter().map(|step| step.text).collect::<Vec<_>>().join("\n");
        for word in SAWING {
            assert!(!steps.contains(word), "{path}: {word:?} is in {steps}");
        }
    }
}

#[test]
fn strangers_are_seen() {
    assert!(has_unit("a web of 3 mm", &["mm"]) && has_unit("| 12 kg |", &["kg"]));
    assert!(!has_unit("3 in, 4 lb", &["mm", "kg"]));
}

/// What comes down on one stud under any holder of the sample is no more than its wall cleats are
/// counted with.
#[test]
fn the_wall_of_the_sample_is_counted_with_what_hangs_on_it() {
    let summary = &folder::made()["summary.json"];
    let summary: serde_json::Value = serde_json::from_slice(summary).unwrap();
    let holders = summary["holders"].as_array().unwrap();
    let wall = holders.iter().find(|holder| holder["name"] == "bench-wall").unwrap();
    let counted = wall["values"]["per_stud"].as_f64().unwrap();
    for holder in holders {
        let carries = &holder["carries"];
        let Some(newtons) = carries["per_stud_n"].as_f64() else { continue };
        let live = carries["live_load"].as_f64().unwrap();
        let comes = newtons / 9.806_65 / live;
        assert!(comes <= counted, "{}: {comes} kg, counted {counted} kg", holder["name"]);
    }
}
