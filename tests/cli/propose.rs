//! `start tools` and `propose`: an inventory to begin from, and holder files for what it has.

use std::path::Path;

use tempfile::TempDir;

use super::{files, run, said, status};

const TOOLS: &str = r#"units = "in"
[[tool]]
name = "Sash clamp"
count = 4
bar_thickness = "5/16"
head_width = "1 1/8"
tool_length = 40
tool_mass = "2.1 kg"
[[tool]]
name = "rasp"
tool_mass = "300 g"
head_width = 1
"#;

fn project(tools: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("tools.toml"), tools).unwrap();
    folder
}

fn at(folder: &Path) -> &str {
    folder.to_str().unwrap()
}

/// From nothing to a checked project.
#[test]
fn an_inventory_to_begin_from_comes_to_holders() {
    for units in ["in", "mm"] {
        let begun = run(&["start", "tools", "--units", units]);
        status(&begun, 0);
        let folder = project(&String::from_utf8_lossy(&begun.stdout));
        let proposed = run(&["propose", at(folder.path())]);
        status(&proposed, 0);
        let told = said(&proposed);
        assert!(
            told.contains("holders/sash-clamp.toml: slotted-shelf for \"sash clamp\": a bar"),
            "{told}"
        );
        assert!(told.contains("holders/chisels.toml: hole-rail for \"chisels\": "), "{told}");
        assert_eq!(told.lines().count(), 2);
        status(&run(&["check", at(folder.path())]), 0);
        let again = run(&["propose", at(folder.path())]);
        assert_eq!(said(&again), "Every tool has a holder that names it.\n");
    }
}

#[test]
fn a_dry_run_writes_nothing_and_prints_all() {
    let folder = project(TOOLS);
    let before = files(folder.path());
    let dry = run(&["propose", at(folder.path()), "--dry-run"]);
    status(&dry, 0);
    assert_eq!(files(folder.path()), before);
    let text = said(&dry);
    assert!(
        text.starts_with("# holders/sash-clamp.toml\n# Proposed for 4 of \"Sash clamp\": "),
        "{text}"
    );
    assert!(text.contains("# \"rasp\": no style suits by these readings."), "{text}");
    status(&run(&["propose", at(folder.path())]), 0);
    let written = std::fs::read_to_string(folder.path().join("holders/sash-clamp.toml")).unwrap();
    assert!(text.contains(&written));
}

/// What is there stays to the byte, and where one file can't be written none is.
#[test]
fn nothing_that_is_there_is_touched() {
    let folder = project(TOOLS);
    let holders = folder.path().join("holders");
    std::fs::create_dir(&holders).unwrap();
    let mine = "style = \"wall-cleat\"\nunits = \"in\"\n";
    std::fs::write(holders.join("sash-clamp.toml"), mine).unwrap();
    status(&run(&["propose", at(folder.path())]), 0);
    assert_eq!(std::fs::read_to_string(holders.join("sash-clamp.toml")).unwrap(), mine);
    assert!(holders.join("sash-clamp-2.toml").is_file());
    // A folder is in the way of the second file: the first is taken back.
    let two = TOOLS.replace("name = \"rasp\"\ntool_mass = \"300 g\"\nhead_width = 1", "name = \"old clamp\"\nbar_thickness = \"1/4\"\nhead_width = 1\ntool_length = 20\ntool_mass = \"1 kg\"");
    let folder = project(&two);
    let holders = folder.path().join("holders");
    std::fs::create_dir_all(holders.join("old-clamp.toml")).unwrap();
    let before = files(folder.path());
    let refused = run(&["propose", at(folder.path())]);
    status(&refused, 2);
    assert!(said(&refused).contains("old-clamp.toml"), "{}", said(&refused));
    assert_eq!(files(folder.path()), before);
    assert!(!holders.join("sash-clamp.toml").exists());
}

#[test]
fn what_is_wrong_is_told() {
    let empty = tempfile::tempdir().unwrap();
    for (folder, word) in
        [(at(empty.path()), "there is no tools.toml"), ("nowhere", "no such folder")]
    {
        let refused = run(&["propose", folder]);
        status(&refused, 2);
        assert!(said(&refused).contains(word), "{}", said(&refused));
    }
    let slip = project(&TOOLS.replace("count = 4", "count = 0"));
    let refused = run(&["propose", at(slip.path())]);
    status(&refused, 2);
    assert!(said(&refused).contains("tools.toml, line 4: count: 0"), "{}", said(&refused));
}
