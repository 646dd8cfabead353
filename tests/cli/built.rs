//! Holders that are built, as a person runs the program on them.

use std::path::Path;

use super::{Project, SASH, said, status};

const BUILT: &str = "built = true\n";

/// A project of one holder that was made, and hangs by now.
fn hung() -> Project {
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    status(&project.run("make", &[]), 0);
    project.write("holders/sash.toml", &format!("{BUILT}{SASH}"));
    project
}

#[test]
fn a_built_holder_is_made_alike_time_and_again() {
    let project = hung();
    let first = project.made();
    let output = project.run("make", &[]);
    status(&output, 0);
    assert!(said(&output).contains("Made 0 holders, 0 parts"), "{}", said(&output));
    assert!(said(&output).contains("1 holder is built already."), "{}", said(&output));
    let second = project.made();
    // Its patterns lose the letters of the cutting plan alone, which it is in no more.
    for file in ["shelf.dxf", "shelf-cut.svg", "upright-cut.svg", "load.md", "made.toml"] {
        let path = Path::new("sash").join(file);
        assert_eq!(first[&path], second[&path], "{file}");
    }
    for gone in ["sash/steps.md", "sash/pages-letter.pdf"] {
        assert!(first.contains_key(Path::new(gone)) && !second.contains_key(Path::new(gone)));
    }
    assert!(project.summary()["holders"][0]["built"] == true);
    status(&project.run("make", &[]), 0);
    assert_eq!(project.made(), second);
    // What it was made with counts, not what its file or the shop says now.
    let other = SASH.replace("inset = \"1 1/4\"", "inset = \"1 1/2\"");
    project.write("holders/sash.toml", &format!("{BUILT}{other}"));
    let output = project.run("make", &[]);
    status(&output, 0);
    let warns = "warn: inset is 1 1/2 in in the file and 1 1/4 in as made: it stays as made.";
    assert!(said(&output).contains(warns), "{}", said(&output));
    assert_eq!(project.made()[Path::new("sash/shelf.svg")], second[Path::new("sash/shelf.svg")]);
    let output = project.run("check", &[]);
    status(&output, 0);
    assert!(said(&output).contains(warns), "{}", said(&output));
}

#[test]
fn a_run_of_one_holder_knows_its_record() {
    let project = hung();
    project.write("holders/long.toml", &SASH.replace("\"30\"", "\"40\""));
    status(&project.run("make", &[]), 0);
    let before = project.made();
    let wider = SASH.replace("head_width = \"1 1/4\"", "head_width = \"1 1/2\"");
    project.write("holders/sash.toml", &format!("{BUILT}{wider}"));
    status(&project.run("make", &["--only", "sash"]), 0);
    assert_eq!(project.made()[Path::new("sash/shelf.svg")], before[Path::new("sash/shelf.svg")]);
    let file = project.0.path().join("holders/sash.toml");
    let output = super::run(&["make", file.to_str().unwrap()]);
    status(&output, 0);
    assert!(said(&output).contains("head_width is 1 1/2 in in the file"), "{}", said(&output));
    assert_eq!(project.made()[Path::new("sash/made.toml")], before[Path::new("sash/made.toml")]);
    // Made into another folder there is no record yet.
    let out = project.0.path().join("elsewhere");
    let output = project.run("make", &["--out", out.to_str().unwrap()]);
    status(&output, 0);
    assert!(!out.join("sash/made.toml").exists() && out.join("long/made.toml").exists());
    let told = project.run("check", &[]);
    assert!(!said(&told).contains("there is no made.toml"), "{}", said(&told));
}

#[test]
fn more_tools_than_places_stop() {
    let project = hung();
    let more = SASH.replace("count = 6", "count = 7");
    project.write("holders/sash.toml", &format!("{BUILT}{more}"));
    let output = project.run("make", &[]);
    status(&output, 1);
    let says = "stop: 7 tools are in the file, and it was made with places for 6: make a second holder for the rest.";
    assert!(said(&output).contains(says), "{}", said(&output));
}

#[test]
fn a_wrong_record_is_wrong_input_and_writes_nothing() {
    let project = hung();
    let before = project.made();
    project.write("made/sash/made.toml", "style = \"slotted-shelf\"\nunits = \"in\"\n[measures\n");
    let output = project.run("make", &[]);
    status(&output, 2);
    let told = said(&output);
    assert!(told.contains("made.toml, line 3") && told.contains("put the record back"), "{told}");
    assert_eq!(project.made()[Path::new("sash/shelf.svg")], before[Path::new("sash/shelf.svg")]);
    assert!(project.made().contains_key(Path::new("sash/steps.md")));
    status(&project.run("check", &[]), 2);
    // Without built it is made anew, and the record with it.
    project.write("holders/sash.toml", SASH);
    status(&project.run("make", &[]), 0);
    assert_eq!(project.made()[Path::new("sash/made.toml")], before[Path::new("sash/made.toml")]);
}

#[test]
fn built_must_be_yes_or_no() {
    let project = Project::new(&[("holders/sash.toml", &format!("built = \"yes\"\n{SASH}"))]);
    let output = project.run("make", &[]);
    status(&output, 2);
    assert!(said(&output).contains("sash.toml, line 1: built"), "{}", said(&output));
}
