//! The program as a person runs it: exit status, files, messages, names that could do harm.

// A test that can't go on is to stop there.
#![allow(clippy::unwrap_used)]

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;
use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;
use resvg::usvg;
use serde_json::{Value as Json, json};
use tempfile::TempDir;

#[path = "cli/built.rs"]
mod built;
#[path = "cli/guide.rs"]
mod guide;
#[path = "cli/odd.rs"]
mod odd;
#[path = "cli/propose.rs"]
mod propose;
#[path = "cli/schema.rs"]
mod schema;
#[path = "cli/single.rs"]
mod single;
#[path = "cli/styles.rs"]
mod styles;

const SHED: &str = "samples/boat-shed";
const DEFAULT_SHOP: &str = include_str!("../src/shop/default.toml");

/// The names of the built-in styles.
fn style_names() -> BTreeSet<String> {
    let files = std::fs::read_dir("templates").unwrap().map(|entry| entry.unwrap().path());
    let styles = files.filter(|path| path.extension().is_some_and(|e| e == "toml"));
    let names = styles.map(|path| path.file_stem().unwrap().to_str().unwrap().to_owned());
    names.filter(|name| name != "vocabulary").collect()
}

/// Runs the program; `make` and `check` without thinking long about how to saw.
fn run(args: &[&str]) -> Output {
    let mut command = Command::cargo_bin("cleatwright").unwrap();
    command.args(args);
    let plans = matches!(args.first(), Some(&("make" | "check")));
    if plans && !args.contains(&"--cutting-steps") {
        command.args(["--cutting-steps", "1"]);
    }
    command.output().unwrap()
}

fn said(output: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    )
}

#[track_caller]
fn status(output: &Output, wanted: i32) {
    assert_eq!(output.status.code(), Some(wanted), "{}", said(output));
}

/// Every file under a folder by its path in it, but for the program's own list of them.
fn files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    fn walk(folder: &Path, within: &Path, found: &mut BTreeMap<PathBuf, Vec<u8>>) {
        for entry in std::fs::read_dir(folder.join(within)).unwrap() {
            let entry = entry.unwrap();
            let name = within.join(entry.file_name());
            if name.ends_with(".cleatwright") {
                continue;
            }
            if entry.path().is_dir() {
                walk(folder, &name, found);
            } else {
                found.insert(name, std::fs::read(entry.path()).unwrap());
            }
        }
    }
    let mut found = BTreeMap::new();
    walk(folder, Path::new(""), &mut found);
    found
}

/// A project with files by their names in it.
struct Project(TempDir);

impl Project {
    fn new(files: &[(&str, &str)]) -> Self {
        let folder = Self(tempfile::tempdir().unwrap());
        for (name, text) in files {
            folder.write(name, text);
        }
        folder
    }

    fn write(&self, name: &str, text: &str) {
        let path = self.0.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    fn run(&self, task: &str, more: &[&str]) -> Output {
        let path = self.0.path().to_str().unwrap();
        run(&[&[task, path], more].concat())
    }

    fn made(&self) -> BTreeMap<PathBuf, Vec<u8>> {
        files(&self.0.path().join("made"))
    }

    fn summary(&self) -> Json {
        serde_json::from_slice(&self.made()[Path::new("summary.json")]).unwrap()
    }
}

const SASH: &str = r#"style = "slotted-shelf"
title = "Sash clamps"
units = "in"

[measures]
bar_thickness = "3/8"
head_width = "1 1/4"
tool_length = "30"
tool_mass = "2 kg"

[choices]
count = 6
inset = "1 1/4"
"#;

/// The same with heads that collide.
fn stopped() -> String {
    format!("{SASH}pitch = \"1\"\n")
}

/// The faces that have work which asks for them: blind holes that do not lean, pockets.
fn faces_with_work(part: &Json) -> BTreeSet<&str> {
    let blind = |d: &&Json| !d["depth"].is_null() && d["lean"] == 0.0;
    let holes = part["drillings"].as_array().unwrap().iter().filter(blind);
    let all = holes.chain(part["pockets"].as_array().unwrap());
    all.map(|worked| worked["face"].as_str().unwrap()).collect()
}

fn is_turned_over(part: &Json) -> bool {
    faces_with_work(part).len() == 2
}

#[test]
fn the_sample_is_made_with_all_its_files() {
    let out = tempfile::tempdir().unwrap();
    let made = out.path().join("made");
    status(&run(&["make", SHED, "--out", made.to_str().unwrap(), "--quiet"]), 0);
    let files = files(&made);
    let summary: Json = serde_json::from_slice(&files[Path::new("summary.json")]).unwrap();
    let mut wanted = vec!["summary.json".to_owned(), "cut-list.csv".into(), "hardware.csv".into()];
    wanted.extend(["book.html", "book.pdf"].map(str::to_owned));
    for file in ["plan.md", "pieces.csv", "shopping.csv", "offcuts.toml"] {
        wanted.push(format!("cutting/{file}"));
    }
    for sheet in summary["cutting"]["sheets"].as_array().unwrap() {
        wanted.push(sheet["file"].as_str().unwrap().to_owned());
    }
    for holder in summary["holders"].as_array().unwrap() {
        let name = holder["name"].as_str().unwrap();
        wanted.push(format!("{name}/pages-letter.pdf"));
        wanted.push(format!("{name}/steps.md"));
        wanted.push(format!("{name}/made.toml"));
        for file in ["holder.svg", "holder.pdf", "holder.glb", "views.svg"] {
            wanted.push(format!("{name}/{file}"));
        }
        let steps = String::from_utf8(files[&Path::new(name).join("steps.md")].clone()).unwrap();
        let shown = steps.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        wanted.extend(shown.map(|file| format!("{name}/{file}")));
        if !holder["carries"].is_null() {
            wanted.push(format!("{name}/load.md"));
        }
        for part in holder["parts"].as_array().unwrap() {
            let back = if is_turned_over(part) { "-back" } else { "" };
            let part = part["name"].as_str().unwrap();
            wanted.push(format!("{name}/{part}.svg"));
            for of in ["", back] {
                wanted.push(format!("{name}/{part}{of}.dxf"));
                wanted.push(format!("{name}/{part}{of}-cut.svg"));
            }
        }
    }
    for sheet in summary["router"]["sheets"].as_array().unwrap() {
        let file = sheet["file"].as_str().unwrap();
        for of in [".svg", "-cut.svg", "-job.md", "-job.pdf"] {
            wanted.push(file.replace(".dxf", of));
        }
        wanted.push(file.to_owned());
    }
    wanted.sort();
    wanted.dedup();
    let mut got: Vec<String> = files.keys().map(|f| f.to_string_lossy().into_owned()).collect();
    got.sort();
    assert_eq!(got, wanted);
    let mut listed: Vec<&str> =
        summary["files"].as_array().unwrap().iter().map(|f| f.as_str().unwrap()).collect();
    listed.sort_unstable();
    assert_eq!(listed, wanted);
    let styles: BTreeSet<&str> = summary["holders"]
        .as_array()
        .unwrap()
        .iter()
        .map(|h| h["style"].as_str().unwrap())
        .collect();
    assert!(styles.iter().eq(&style_names()), "{styles:?}");
}

#[test]
fn two_runs_give_the_same_bytes() {
    let out = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| {
        let made = out.path().join(name);
        status(&run(&["make", SHED, "--out", made.to_str().unwrap(), "--quiet"]), 0);
        files(&made)
    });
    assert!(one == two);
}

#[test]
fn findings_that_stop_leave_nothing_written() {
    let project = Project::new(&[("holders/sash.toml", &stopped())]);
    let output = project.run("make", &[]);
    status(&output, 1);
    assert!(said(&output).contains("stop: Heads 1 1/4 in wide collide"), "{}", said(&output));
    assert!(!project.0.path().join("made").exists());
    status(&project.run("check", &[]), 1);
    // Stops that are overruled are stops all the same.
    status(&project.run("make", &["--force"]), 1);
    assert!(project.made().contains_key(Path::new("sash/shelf.svg")));
    assert_eq!(project.summary()["holders"][0]["findings"][0]["code"], "heads-collide");
}

#[test]
fn a_failed_run_leaves_the_last_good_one() {
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    status(&project.run("make", &[]), 0);
    let good = project.made();
    project.write("holders/sash.toml", &stopped());
    status(&project.run("make", &[]), 1);
    assert!(project.made() == good);
    project.write("holders/sash.toml", &SASH.replace("count = 6", "cuont = 6"));
    status(&project.run("make", &[]), 2);
    assert!(project.made() == good);
    project.write("holders/sash.toml", SASH);
    project.write("shop.toml", "units = \"furlong\"");
    status(&project.run("make", &[]), 2);
    assert!(project.made() == good);
    // What is beside the files of the run stays when the next one is made.
    project.write("shop.toml", DEFAULT_SHOP);
    project.write("made/notes.txt", "mine");
    project.write("holders/sash.toml", &SASH.replace("count = 6", "count = 7"));
    status(&project.run("make", &[]), 0);
    let new = project.made();
    assert_eq!(new[Path::new("notes.txt")], b"mine");
    assert!(new[Path::new("summary.json")] != good[Path::new("summary.json")]);
}

#[test]
fn check_writes_nothing() {
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    let output = project.run("check", &[]);
    status(&output, 0);
    assert!(said(&output).contains("sash (Sash clamps)"), "{}", said(&output));
    assert_eq!(files(project.0.path()).len(), 1);
}

/// What is wrong, the line it is on, and what the message must say.
#[test]
fn wrong_input_is_told_with_file_line_and_key() {
    let sash = |from: &str, to: &str| {
        assert_eq!(SASH.matches(from).count(), 1, "{from}");
        SASH.replacen(from, to, 1)
    };
    let table: Vec<(String, usize, &[&str])> = vec![
        (
            sash("bar_thickness", "bar_thicknes"),
            6,
            &["measures.bar_thicknes", "did you mean \"bar_thickness\"?"],
        ),
        (sash("[measures]", "[mesures]"), 5, &["\"mesures\"", "did you mean \"measures\"?"]),
        (sash("count = 6", "cuont = 6"), 12, &["choices.cuont", "did you mean \"count\"?"]),
        (sash("count = 6", "head_width = 2"), 12, &["move it under [measures]"]),
        (sash("\"2 kg\"", "\"2 in\""), 9, &["measures.tool_mass", "a length", "2.1 kg"]),
        (sash("\"2 kg\"", "2"), 9, &["measures.tool_mass", "a plain number"]),
        (sash("\"3/8\"", "\"3/8 kg\""), 6, &["measures.bar_thickness", "a mass", "1 3/8 in"]),
        (
            sash("tool_mass = \"2 kg\"\n", ""),
            1,
            &["measures.tool_mass is missing", "How heavy", "under [measures] write tool_mass"],
        ),
        (
            sash("\"3/8\"", "\"three eighths\""),
            6,
            &["measures.bar_thickness", "there is no number here"],
        ),
        (sash("\"3/8\"", "\"\""), 6, &["measures.bar_thickness", "there is no number here"]),
        (sash("\"3/8\"", "\"3/0\""), 6, &["measures.bar_thickness", "3/0"]),
        (
            sash("\"3/8\"", "\"3/8 furlong\""),
            6,
            &["measures.bar_thickness", "\"furlong\" is not a unit"],
        ),
        (sash("\"3/8\"", "true"), 6, &["measures.bar_thickness", "true is not a number"]),
        (sash("\"3/8\"", "nan"), 6, &["measures.bar_thickness", "NaN is not a number"]),
        (sash("\"3/8\"", "inf"), 6, &["measures.bar_thickness", "inf is not a number"]),
        (
            sash("\"3/8\"", &format!("\"{}\"", "9".repeat(400))),
            6,
            &["measures.bar_thickness", "is not a number"],
        ),
        (
            sash("\"3/8\"", "\"30 in\""),
            6,
            &["measures.bar_thickness: 30 in is out of range", "from 1/16 in to 2 in"],
        ),
        (sash("\"3/8\"", "\"-3/8 in\""), 6, &["measures.bar_thickness: -3/8 in is out of range"]),
        (
            sash("units = \"in\"\n", ""),
            5,
            &["measures.bar_thickness", "has no unit", "units = \"in\""],
        ),
        (sash("units = \"in\"", "units = \"inch\""), 3, &["inch", "in"]),
        (sash("count = 6", "count = 6.5"), 12, &["choices.count", "not a whole number"]),
        (sash("count = 6", "count = -1"), 12, &["choices.count", "not a whole number"]),
        (
            sash("count = 6", "count = 41"),
            12,
            &["choices.count: 41 is out of range", "from 1 to 40"],
        ),
        (sash("count = 6", "made_by = \"saw\""), 12, &["choices.made_by", "hand, router"]),
        (
            sash("count = 6", "sheet = \"plywood 3/8\""),
            12,
            &["choices.sheet", "plywood 3/8", "did you mean"],
        ),
        (sash("count = 6", "sheet = 3"), 12, &["choices.sheet"]),
        (
            sash("\"slotted-shelf\"", "\"slotted-shef\""),
            1,
            &["\"slotted-shef\"", "did you mean \"slotted-shelf\"?"],
        ),
        (
            sash("\"slotted-shelf\"", "\"../slotted-shelf\""),
            1,
            &["there is no style \"../slotted-shelf\""],
        ),
        (sash("style = \"slotted-shelf\"\n", ""), 1, &["style"]),
        (sash("\"slotted-shelf\"", "3"), 1, &["style: 3 is given where a text is needed"]),
        (sash("count = 6", "count = 6\ncount = 7"), 13, &["count"]),
        (sash("count = 6", "count = = 6"), 12, &[]),
        (sash("count = 6", "count = { a = 1 }"), 12, &["\"a\" is not known"]),
    ];
    for (text, line, words) in &table {
        let project = Project::new(&[("holders/sash.toml", text)]);
        for task in ["make", "check"] {
            let output = project.run(task, &[]);
            status(&output, 2);
            let told = one_line(&said(&output));
            let place = format!("sash.toml, line {line}: ");
            assert!(says(&told, &place), "{place}: {told}");
            for word in *words {
                assert!(says(&told, word), "{word:?} is not in: {told}\n{text}");
            }
        }
        assert!(!project.0.path().join("made").exists());
    }
}

/// A message with everything left out that hangs on the width of the terminal: rules, and spaces
/// and line breaks, which may stand within words that hold a `/` or `-`.
fn one_line(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !"│×|".contains(*c)).collect()
}

/// Whether a message, however it is wrapped, says these words.
fn says(told: &str, words: &str) -> bool {
    told.contains(&one_line(words))
}

#[test]
fn a_wrong_shop_is_told_with_file_line_and_key() {
    let table: &[(&str, &str, &[&str])] = &[
        ("kerf = \"1/8\"", "kref = \"1/8\"", &["\"kref\"", "kerf"]),
        ("kerf = \"1/8\"", "kerf = \"0\"", &["saw.kerf", "above 0"]),
        ("kerf = \"1/8\"", "kerf = \"1 kg\"", &["saw.kerf", "a mass"]),
        ("bevel = \"45 deg\"", "bevel = \"80 deg\"", &["cleat.bevel", "from 15° to 60°"]),
        ("bevel = \"45 deg\"", "bevel = 45", &["cleat.bevel", "a plain number"]),
        (
            "from = \"plywood 3/4\"",
            "from = \"plywood 3/5\"",
            &["cleat.from", "did you mean \"plywood 3/4\"?"],
        ),
        ("paper = \"letter\"", "paper = \"lettre\"", &["printer.paper", "lettre", "letter, legal"]),
        ("scale_x = 1.0", "scale_x = 2.0", &["printer.scale_x", "0.9 to 1.1"]),
        ("name = \"plywood 1/2\"", "name = \"plywood 3/4\"", &["two kinds of stock"]),
        ("name = \"plywood 1/2\"", "name = \"ply\\nwood\"", &["line break"]),
        ("name = \"plywood 1/2\"", "name = \"\"", &["empty"]),
    ];
    for (from, to, words) in table {
        assert_eq!(DEFAULT_SHOP.matches(from).count(), 1, "{from}");
        let line = DEFAULT_SHOP.lines().position(|l| l.contains(from)).unwrap() + 1;
        let shop = DEFAULT_SHOP.replacen(from, to, 1);
        let project = Project::new(&[("holders/sash.toml", SASH), ("shop.toml", &shop)]);
        let output = project.run("make", &[]);
        status(&output, 2);
        let told = one_line(&said(&output));
        assert!(says(&told, &format!("shop.toml, line {line}: ")), "line {line}: {told}");
        for word in *words {
            assert!(says(&told, word), "{word:?} is not in: {told}");
        }
    }
}

#[test]
fn what_is_not_there_is_told() {
    let empty = Project::new(&[]);
    let bare = Project::new(&[("holders/readme.txt", "no holder")]);
    let binary = Project::new(&[]);
    std::fs::create_dir(binary.0.path().join("holders")).unwrap();
    std::fs::write(binary.0.path().join("holders/x.toml"), [0xff, 0xfe, 0x00]).unwrap();
    let told = |output: &Output, words: &str| {
        status(output, 2);
        let told = one_line(&said(output));
        assert!(says(&told, words), "{words:?} is not in: {told}");
    };
    told(&run(&["make", "no-such-folder"]), "no-such-folder: there is no such file or folder");
    told(&run(&["check", "no-such.toml"]), "no-such.toml: there is no such file or folder");
    told(&empty.run("make", &[]), "there is no folder \"holders\" in it");
    told(&bare.run("make", &[]), "there is no holder file in it");
    told(&binary.run("make", &[]), "is not UTF-8 text");
    told(&run(&["styles", "shelv"]), "there is no style \"shelv\"");
    told(&run(&["start", "peggy"]), "did you mean \"peg\"?");
    told(&run(&["make", SHED, "--styles", "no-such-folder"]), "no-such-folder");
    status(&run(&["make", SHED, "--paper", "b5"]), 2);
    status(&run(&["paint"]), 2);
    let file = bare.0.path().join("holders/readme.txt");
    told(&run(&["make", SHED, "--out", file.to_str().unwrap()]), "is a file, not a folder");
}

/// Where a file system keeps both: two files that would be one holder.
#[cfg(target_os = "linux")]
#[test]
fn two_files_of_one_name_are_told() {
    let twins = Project::new(&[("holders/sash.toml", SASH), ("holders/sash.TOML", SASH)]);
    let output = twins.run("make", &[]);
    status(&output, 2);
    let told = one_line(&said(&output));
    assert!(says(&told, "have one name") && says(&told, "rename one of them"), "{told}");
}

/// Two faulty holders are both told.
#[test]
fn every_holders_fault_is_told_in_one_run() {
    let wrong = SASH.replace("count = 6", "cuont = 6");
    let project = Project::new(&[("holders/a.toml", &wrong), ("holders/b.toml", &wrong)]);
    let output = project.run("make", &[]);
    status(&output, 2);
    let told = one_line(&said(&output));
    assert!(says(&told, "a.toml, line 12") && says(&told, "b.toml, line 12"), "{told}");
}

/// Shop, holders and keys that are wrong in several ways: each is told, and each once.
#[test]
fn every_fault_of_a_project_is_told_in_one_run() {
    let shop = DEFAULT_SHOP
        .replace("kerf = \"1/8\"", "kerf = 0")
        .replace("wood = \"hard maple\"", "wood = \"hard mapel\"")
        .replace("overlap = \"3/8\"", "overlap = \"9 in\"");
    let sash = SASH
        .replace("bar_thickness", "bar_thicknes")
        .replace("\"30\"", "\"300\"")
        .replace("count = 6", "count = 6.5\npitch = \"head_width +\"");
    let other = SASH.replace("[choices]", "[choices]\nsheeet = \"ply\"");
    let files =
        [("shop.toml", shop.as_str()), ("holders/a.toml", &sash), ("holders/b.toml", &other)];
    let output = Project::new(&files).run("make", &[]);
    status(&output, 2);
    let said = said(&output);
    let told = one_line(&said);
    for words in [
        "saw.kerf: 0 in is out of range",
        "did you mean \"hard maple\"?",
        "printer.overlap: 9 in is out of range",
        "measures.bar_thicknes",
        "measures.tool_length: 300 in is out of range",
        "choices.count: 6.5 is not a whole number",
        "choices.pitch: the formula can't be read",
        "choices.sheeet",
    ] {
        assert!(says(&told, words), "{words:?} is not in: {said}");
    }
    assert_eq!(said.matches('×').count(), 8, "{said}");
}

/// A folder is called what the file is called, whatever else there is.
#[test]
fn names_of_any_script_keep_their_letters() {
    let few = Project::new(&[("holders/Küche.toml", SASH), ("holders/Пилы.toml", SASH)]);
    status(&few.run("make", &["--quiet"]), 0);
    for name in ["Küche", "Пилы"] {
        assert!(few.made().contains_key(&Path::new(name).join("shelf.svg")), "{name}");
    }
    let folders = |project: &Project| {
        let made = project.made();
        let names = made.keys().filter_map(|file| file.parent()?.to_str().map(str::to_owned));
        names.collect::<BTreeSet<String>>()
    };
    let before = folders(&few);
    for name in ["holders/a: b.toml", "holders/a_ b.toml", "holders/con.toml", "holders/aa.toml"] {
        few.write(name, SASH);
    }
    status(&few.run("make", &["--quiet"]), 0);
    let after = folders(&few);
    assert!(after.is_superset(&before), "{before:?} {after:?}");
    assert!(!after.contains("con") && after.len() == before.len() + 4, "{after:?}");
    few.write("holders/küche.toml", SASH);
    let output = few.run("make", &["--quiet"]);
    status(&output, 2);
    assert!(says(&one_line(&said(&output)), "take these two names for one"), "{}", said(&output));
}

/// Words a person might write, full of what means something to XML, DXF, PDF, Markdown or a path.
const NASTY: &str = r#"<b>&"'../\\n%%d {\\P}]]> ½"#;

#[test]
fn odd_names_are_written_safely() {
    let title = format!("title = \"\"\"{NASTY}\nsecond line\t\"\"\"");
    let holder = SASH.replace("title = \"Sash clamps\"", &title.replace("\"'", "\\\"'"));
    let shop = DEFAULT_SHOP.replace("plywood 3/4\"", "ply <&> \\\"3/4\\\" 'n ../\"");
    let project = Project::new(&[("holders/a<b>&\"c.toml", &holder), ("shop.toml", &shop)]);
    let output = project.run("make", &["--dxf", "r12"]);
    status(&output, 0);
    let made = project.made();
    let folder = project.summary()["holders"][0]["name"].as_str().unwrap().to_owned();
    assert!(folder.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_'), "{folder}");
    assert!(project.summary()["holders"][0]["title"].as_str().unwrap().contains("<b>&"));
    assert_eq!(files(project.0.path()).len(), made.len() + 2, "a file was written elsewhere");
    for (name, bytes) in &made {
        match name.extension().and_then(|e| e.to_str()) {
            Some("svg") => {
                let tree = usvg::Tree::from_data(bytes, &usvg::Options::default());
                assert!(tree.is_ok(), "{}: {:?}", name.display(), tree.err());
                assert!(!String::from_utf8_lossy(bytes).contains("<b>"), "{}", name.display());
            }
            Some("dxf") => {
                dxf::Drawing::load(&mut bytes.as_slice()).unwrap();
                assert!(bytes.is_ascii(), "{}", name.display());
            }
            Some("pdf") => {
                assert!(bytes.starts_with(b"%PDF-") && bytes.trim_ascii_end().ends_with(b"%%EOF"));
            }
            Some("csv") => {
                let mut reader = csv::Reader::from_reader(bytes.as_slice());
                assert!(reader.records().all(|row| row.is_ok()), "{}", name.display());
            }
            Some("md") => {
                assert!(!String::from_utf8_lossy(bytes).contains("<b>"), "{}", name.display());
            }
            _ => {}
        }
    }
}

#[test]
fn a_single_holder_file_is_a_project() {
    let project = Project::new(&[("sash.toml", SASH)]);
    let file = project.0.path().join("sash.toml");
    status(&run(&["make", file.to_str().unwrap(), "--quiet"]), 0);
    assert!(project.made().contains_key(Path::new("sash/shelf.svg")));
}

#[test]
fn quiet_says_nothing_and_otherwise_one_line() {
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    let output = project.run("make", &["--quiet"]);
    assert_eq!(said(&output), "");
    let output = project.run("make", &[]);
    let told = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(told.starts_with("Made 1 holder, ") && told.contains("made. Shop: "), "{told}");
}

/// What a message says does not hang on the terminal's colors or width.
#[test]
fn messages_do_not_hang_on_the_terminal() {
    let project = Project::new(&[("holders/sash.toml", &SASH.replace("count = 6", "cuont = 6"))]);
    let with = |vars: &[(&str, &str)]| {
        let mut command = Command::cargo_bin("cleatwright").unwrap();
        command.arg("make").arg(project.0.path()).envs(vars.iter().copied());
        one_line(&said(&command.output().unwrap()))
    };
    let plain = with(&[("NO_COLOR", "1")]);
    assert!(!plain.contains('\u{1b}'), "{plain}");
    assert_eq!(plain, with(&[("NO_COLOR", "1"), ("COLUMNS", "40")]));
    assert_eq!(plain, with(&[]));
    let made = |vars: &[(&str, &str)]| {
        let out = tempfile::tempdir().unwrap();
        let mut command = Command::cargo_bin("cleatwright").unwrap();
        command
            .args(["make", SHED, "--quiet", "--cutting-steps", "1", "--out"])
            .arg(out.path().join("made"));
        assert!(command.envs(vars.iter().copied()).output().unwrap().status.success());
        files(&out.path().join("made"))
    };
    assert!(
        made(&[])
            == made(&[("NO_COLOR", "1"), ("COLUMNS", "40"), ("LANG", "C"), ("TZ", "Asia/Tokyo")])
    );
}

#[test]
fn styles_are_listed_and_each_is_told() {
    let list = said(&run(&["styles"]));
    for name in style_names() {
        assert!(list.contains(&name), "{list}");
        let output = run(&["styles", &name]);
        status(&output, 0);
        assert!(said(&output).contains(&name));
    }
}

/// What the first holder of `style` in a project says before its choices.
fn readings(style: &str, project: &str) -> String {
    let entries = std::fs::read_dir(Path::new(project).join("holders")).unwrap();
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let own = format!("style = \"{style}\"\n");
    let mut texts = paths.iter().map(|path| std::fs::read_to_string(path).unwrap());
    let text = texts.find(|text| text.contains(&own)).expect(&own);
    text.split("[choices]").next().unwrap().to_owned()
}

/// A file begun for `style`, its units and measures filled in from a project's.
fn filled(style: &str, begun: &str, project: &str) -> String {
    let readings = readings(style, project);
    let line = |line: &str| {
        let read = line.split_once("= ").and_then(|(key, _)| {
            readings
                .lines()
                .find(|read| read.strip_prefix(key).is_some_and(|r| r.starts_with("= ")))
        });
        format!("{}\n", read.unwrap_or(line))
    };
    begun.lines().map(line).collect()
}

#[test]
fn what_start_writes_runs_once_its_measures_are_filled_in() {
    let of_sample =
        |name: &str| readings(name, SHED).contains("units = \"in\"").then_some(("in", SHED));
    let inches = style_names().into_iter().filter_map(|name| Some((of_sample(&name)?, name)));
    let metric = style_names().into_iter().map(|name| (("mm", "tests/stages/metric"), name));
    let mut compared = 0;
    for ((units, sample), name) in inches.chain(metric) {
        let output = run(&["start", &name, "--units", units]);
        status(&output, 0);
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(text.contains(&format!("units = \"{units}\"")), "{text}");
        let project = Project::new(&[("holders/first.toml", &text)]);
        if text.contains("[measures]") {
            status(&project.run("check", &[]), 2);
        }
        project.write("holders/first.toml", &filled(&name, &text, sample));
        let output = project.run("check", &[]);
        assert_ne!(output.status.code(), Some(2), "{name}: {}", said(&output));
        // Every choice taken up as it stands is what holds without it.
        let taken: String = filled(&name, &text, sample)
            .lines()
            .map(|line| match line.strip_prefix("# ") {
                Some(choice)
                    if choice.split_once(" = ").is_some_and(|(key, value)| {
                        !key.contains(' ') && !value.contains("in shop.toml") && value != "\"\""
                    }) =>
                {
                    format!("{choice}\n")
                }
                _ => format!("{line}\n"),
            })
            .collect();
        let both = Project::new(&[("holders/first.toml", &taken)]);
        let alone = project.run("make", &["--force"]);
        let output = both.run("make", &["--force"]);
        assert_ne!(output.status.code(), Some(2), "{name}: {}\n{taken}", said(&output));
        // A choice that is not left open is not settled either.
        if alone.status.success() && project.summary()["holders"][0]["settled"] == json!([]) {
            assert_eq!(output.status, alone.status, "{name}");
            assert_eq!(project.summary(), both.summary(), "{name}");
            compared += 1;
        }
    }
    assert!(compared > 3, "{compared}");
}

/// Full-size patterns of all parts, of the shaped ones, of none; strips of the plain ones else.
#[test]
fn patterns_are_printed_as_asked() {
    let shown = |patterns: &[&str]| {
        let project = Project::new(&[("holders/sash.toml", SASH)]);
        status(&project.run("make", patterns), 0);
        let pages = &project.summary()["holders"][0]["pages"];
        let parts = |of: &str| -> BTreeSet<String> {
            let all = pages[of].as_array().unwrap();
            all.iter().map(|one| one["part"].as_str().unwrap().to_owned()).collect()
        };
        (parts("patterns"), parts("strips"))
    };
    let named = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect();
    let (patterns, strips) = shown(&[]);
    assert_eq!(patterns, named(&["shelf"]));
    assert_eq!(strips, named(&["holder-cleat", "spacer-strip", "upright"]));
    let all = patterns.union(&strips).cloned().collect();
    assert_eq!(shown(&["--patterns", "all"]), (all, BTreeSet::new()));
    assert_eq!(shown(&["--patterns", "none"]), (BTreeSet::new(), strips));
}

#[test]
fn the_shop_file_start_writes_is_the_default_shop() {
    let output = run(&["start", "shop"]);
    status(&output, 0);
    let shop = String::from_utf8(output.stdout).unwrap();
    let with = Project::new(&[("holders/sash.toml", SASH), ("shop.toml", &shop)]);
    let without = Project::new(&[("holders/sash.toml", SASH)]);
    status(&with.run("make", &[]), 0);
    status(&without.run("make", &[]), 0);
    assert_eq!(with.summary()["shop"], "shop.toml");
    assert_eq!(without.summary()["shop"], "built-in");
    // Which shop served is told here, and nothing else differs.
    let [mut with, mut without] = [with.made(), without.made()];
    for told in ["summary.json", "sash/steps.md", "book.html", "book.pdf"] {
        let [with, without] = [&mut with, &mut without].map(|made| made.remove(Path::new(told)));
        assert!(with.is_some() && without.is_some() && with != without, "{told}");
    }
    assert!(with == without);
}

fn loaded(bytes: &[u8]) -> dxf::Drawing {
    dxf::Drawing::load(&mut &bytes[..]).unwrap()
}

/// Each closed contour of a layer as x, y, bulge.
fn contours(drawing: &dxf::Drawing, layer: &str) -> Vec<Vec<[f64; 3]>> {
    use dxf::entities::EntityType;
    let on = drawing.entities().filter(|e| e.common.layer == layer);
    on.filter_map(|entity| match &entity.specific {
        EntityType::LwPolyline(line) => {
            Some(line.vertices.iter().map(|v| [v.x, v.y, v.bulge]).collect())
        }
        EntityType::Polyline(line) => {
            Some(line.vertices().map(|v| [v.location.x, v.location.y, v.bulge]).collect())
        }
        _ => None,
    })
    .collect()
}

/// Area of a contour of lines and arcs, positive counter-clockwise: the shoelace formula and for
/// each arc its circular segment. The bulge is the tangent of a fourth of the sweep (DXF
/// reference).
fn area(contour: &[[f64; 3]]) -> f64 {
    let next = contour.iter().cycle().skip(1);
    contour
        .iter()
        .zip(next)
        .map(|([x0, y0, bulge], [x1, y1, _])| {
            let sweep = 4.0 * bulge.atan();
            let radius = if *bulge == 0.0 {
                0.0
            } else {
                (x1 - x0).hypot(y1 - y0) / 2.0 / (sweep / 2.0).sin()
            };
            (x0 * y1 - x1 * y0) / 2.0 + radius * radius / 2.0 * (sweep - sweep.sin())
        })
        .sum()
}

fn extent(contour: &[[f64; 3]]) -> [f64; 2] {
    let size = |axis: usize| {
        let values = contour.iter().map(|v| v[axis]);
        values.clone().fold(f64::MIN, f64::max) - values.fold(f64::MAX, f64::min)
    };
    [size(0), size(1)]
}

/// The pieces of every cut edge in a pattern, flattened finely: area within, openings taken off.
fn svg_area(bytes: &[u8]) -> f64 {
    let tree = usvg::Tree::from_data(bytes, &usvg::Options::default()).unwrap();
    let scale = 25.4 / 96.0;
    let mut total = 0.0;
    for id in ["outline", "opening"] {
        let Some(usvg::Node::Group(group)) = tree.node_by_id(id) else { continue };
        for node in group.children() {
            let usvg::Node::Path(path) = node else { panic!("{node:?}") };
            total += path_area(path.data(), path.abs_transform()) * scale * scale;
        }
    }
    total.abs()
}

fn path_area(path: &resvg::tiny_skia::Path, transform: resvg::tiny_skia::Transform) -> f64 {
    use kurbo::{Affine, BezPath, Shape};
    use resvg::tiny_skia::PathSegment as S;
    let point = |p: resvg::tiny_skia::Point| (f64::from(p.x), f64::from(p.y));
    let mut bez = BezPath::new();
    for segment in path.segments() {
        match segment {
            S::MoveTo(p) => bez.move_to(point(p)),
            S::LineTo(p) => bez.line_to(point(p)),
            S::QuadTo(a, p) => bez.quad_to(point(a), point(p)),
            S::CubicTo(a, b, p) => bez.curve_to(point(a), point(b), point(p)),
            S::Close => bez.close_path(),
        }
    }
    let t = transform;
    let map = [t.sx, t.ky, t.kx, t.sy, t.tx, t.ty].map(f64::from);
    (Affine::new(map) * bez).area()
}

/// What summary.json says of each part is what its DXF and SVG hold.
#[test]
fn the_summary_is_what_the_drawings_hold() {
    let out = tempfile::tempdir().unwrap();
    let made = out.path().join("made");
    status(&run(&["make", SHED, "--quiet", "--out", made.to_str().unwrap()]), 0);
    let files = files(&made);
    let summary: Json = serde_json::from_slice(&files[Path::new("summary.json")]).unwrap();
    for holder in summary["holders"].as_array().unwrap() {
        for part in holder["parts"].as_array().unwrap() {
            let name =
                format!("{}/{}", holder["name"].as_str().unwrap(), part["name"].as_str().unwrap());
            let figure = |key: &str| part[key].as_f64().unwrap();
            let drawing = loaded(&files[Path::new(&format!("{name}.dxf"))]);
            let outline = contours(&drawing, "CUT_OUTLINE");
            assert_eq!(outline.len(), 1, "{name}");
            let openings = contours(&drawing, "CUT_OPENING");
            assert_eq!(openings.len() as u64, part["openings"].as_u64().unwrap(), "{name}");
            let net: f64 = outline.iter().chain(&openings).map(|c| area(c)).sum();
            assert!((net - figure("area")).abs() < 0.01, "{name}: {net}, not {}", figure("area"));
            let [length, width] = extent(&outline[0]);
            assert!((length - figure("length")).abs() < 1e-3, "{name}: {length}");
            assert!((width - figure("width")).abs() < 1e-3, "{name}: {width}");
            let circles = drawing.entities().filter(|e| {
                e.common.layer.starts_with("DRILL") || e.common.layer.starts_with("SINK")
            });
            // With its back up only where all such work is there; what leans is on no machine.
            let up = if faces_with_work(part) == ["back"].into() { "back" } else { "show" };
            let bored = part["drillings"].as_array().unwrap().iter();
            let bored =
                bored.filter(|d| d["lean"] == 0.0 && (d["depth"].is_null() || d["face"] == up));
            assert_eq!(circles.count(), bored.count(), "{name}");
            // The SVG's reader turns quarter circles into cubics that run up to 2.7e-4 of the
            // radius outside, and so hold up to 3e-4 more than a circle does.
            let drawn = svg_area(&files[Path::new(&format!("{name}.svg"))]);
            let round: f64 = openings.iter().map(|c| area(c).abs()).sum();
            assert!(
                (drawn - figure("area")).abs() < 5e-5 * figure("area") + 3e-4 * round,
                "{name}: {drawn}, not {}",
                figure("area")
            );
        }
    }
}

#[test]
fn papers_versions_and_units_are_as_asked() {
    let project = Project::new(&[("holders/sash.toml", SASH)]);
    status(&project.run("make", &[]), 0);
    let plain = project.made();
    let shelf = Path::new("sash/shelf.dxf");
    status(&project.run("make", &["--paper", "a4", "--dxf", "r12", "--dxf-units", "in"]), 0);
    let made = project.made();
    assert!(made.contains_key(Path::new("sash/pages-a4.pdf")));
    assert!(
        !made.contains_key(Path::new("sash/pages-letter.pdf")),
        "a page of the run before is left"
    );
    let (mm, inches) = (loaded(&plain[shelf]), loaded(&made[shelf]));
    assert_eq!(mm.header.version, dxf::enums::AcadVersion::R2000);
    assert_eq!(inches.header.version, dxf::enums::AcadVersion::R12);
    let [a, b] = [&mm, &inches].map(|drawing| contours(drawing, "CUT_OUTLINE").remove(0));
    for (a, b) in a.iter().zip(&b) {
        assert!((a[0] - b[0] * 25.4).abs() < 1e-3 && (a[1] - b[1] * 25.4).abs() < 1e-3);
        assert!((a[2] - b[2]).abs() < 1e-9);
    }
    assert_eq!(a.len(), b.len());
}

/// The bit's center runs half of its 1/4 in outside the edge: the upright grows by 1/8 in all
/// round, and its area by perimeter × 1/8 in and the four quarter circles at its corners.
#[test]
fn outlines_offset_by_the_bit_run_half_a_bit_outside() {
    let project = Project::new(&[("holders/sash.toml", &format!("{SASH}made_by = \"router\"\n"))]);
    status(&project.run("make", &["--offset-by-bit"]), 0);
    let part = project.summary()["holders"][0]["parts"]
        .as_array()
        .unwrap()
        .iter()
        .find(|p| p["name"] == "upright")
        .unwrap()
        .clone();
    let figure = |key: &str| part[key].as_f64().unwrap();
    let outline =
        contours(&loaded(&project.made()[Path::new("sash/upright.dxf")]), "CUT_OUTLINE").remove(0);
    let half = 3.175;
    let wanted = figure("area") + figure("perimeter") * half + PI * half * half;
    assert!((area(&outline) - wanted).abs() < 0.01, "{}, not {wanted}", area(&outline));
    let (before, router) = DEFAULT_SHOP.split_once("[router]").unwrap();
    let (_, after) = router.split_once("[cleat]").unwrap();
    project.write("shop.toml", &format!("{before}[cleat]{after}"));
    project.write("holders/sash.toml", SASH);
    let output = project.run("make", &["--offset-by-bit"]);
    status(&output, 2);
    assert!(said(&output).contains("no CNC router"), "{}", said(&output));
}

#[test]
fn a_style_in_the_projects_own_folder_may_not_leave_it() {
    let project = Project::new(&[("holders/sash.toml", &SASH.replace("slotted-shelf", "../x"))]);
    project.write("styles/y.toml", "title = \"y\"");
    project.write("x.toml", "title = \"x\"");
    let output = project.run("make", &[]);
    status(&output, 2);
    assert!(said(&output).contains("there is no style \"../x\""), "{}", said(&output));
}

/// A holder of the mallet rack, a style of a person's own.
const MALLETS: &str = include_str!("stages/styles/rack.toml");

fn write_mallet_rack(folder: &Path) {
    std::fs::create_dir_all(folder.join("groups")).unwrap();
    let [style, group] =
        [include_str!("stages/styles/mallet-rack.toml"), include_str!("stages/styles/rubber.toml")];
    std::fs::write(folder.join("mallet-rack.toml"), style).unwrap();
    std::fs::write(folder.join("groups/rubber.toml"), group).unwrap();
}

/// From a folder named on the command line, and from the project's own.
#[test]
fn a_style_of_ones_own_is_found_in_a_folder_named_and_in_the_projects_own() {
    let folder = tempfile::tempdir().unwrap();
    let holder = folder.path().join("rack.toml");
    std::fs::write(&holder, MALLETS).unwrap();
    let run =
        |args: &[&std::ffi::OsStr]| Command::cargo_bin("cleatwright").unwrap().args(args).assert();
    let (make, check) = ("make".as_ref(), "check".as_ref());
    run(&[check, holder.as_ref()]).code(2);
    let apart = folder.path().join("elsewhere");
    write_mallet_rack(&apart);
    run(&[check, holder.as_ref(), "--styles".as_ref(), apart.as_ref()]).code(0);
    let listed = run(&["styles".as_ref(), "--styles".as_ref(), apart.as_ref()]).success();
    let listed = String::from_utf8_lossy(&listed.get_output().stdout).into_owned();
    assert!(listed.contains("mallet-rack"), "{listed}");

    let project = folder.path().join("project");
    std::fs::create_dir_all(project.join("holders")).unwrap();
    std::fs::rename(&holder, project.join("holders/rack.toml")).unwrap();
    run(&[make, project.as_ref()]).code(2);
    write_mallet_rack(&project.join("styles"));
    run(&[make, project.as_ref()]).code(0);
    for file in ["shelf.svg", "shelf.dxf", "bracket.svg", "bracket.dxf", "pages-letter.pdf"] {
        assert!(project.join("made/rack").join(file).is_file(), "{file}");
    }
}
