//! Styles of a person's own: the guide to writing them followed to the letter, and a style tried out.

use std::path::Path;
use std::process::{Command, Output};

use super::{Project, said, status};

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    let program = assert_cmd::cargo::cargo_bin("cleatwright");
    Command::new(program).current_dir(folder).args(arguments).output().unwrap()
}

fn guide() -> String {
    let output = super::run(&["styles", "writing"]);
    status(&output, 0);
    String::from_utf8(output.stdout).unwrap()
}

/// The blocks of the guide in some language, in order.
fn blocks(guide: &str, language: &str) -> Vec<String> {
    let fence = format!("```{language}\n");
    guide
        .split(&fence)
        .skip(1)
        .filter_map(|rest| Some(rest.split_once("```")?.0.to_owned()))
        .collect()
}

/// From an empty folder to a made holder, with what the guide says and nothing else.
#[test]
fn the_guides_tutorial_leads_to_a_made_holder() {
    let guide = guide();
    let folder = tempfile::tempdir().unwrap();
    let at = |path: &str| folder.path().join(path);
    for made in ["styles", "holders"] {
        std::fs::create_dir(at(made)).unwrap();
    }
    std::fs::write(at("styles/tape-rail.toml"), blocks(&guide, "toml").concat()).unwrap();
    let commands: Vec<String> = blocks(&guide, "sh")
        .iter()
        .flat_map(|block| block.lines().map(str::to_owned).collect::<Vec<_>>())
        .collect();
    assert_eq!(commands.len(), 3, "{commands:?}");
    for command in &commands {
        let (line, into) = command.split_once(" > ").unwrap_or((command, ""));
        let words: Vec<&str> = line.split(' ').skip(1).collect();
        let output = run_in(folder.path(), &words);
        status(&output, 0);
        if into.is_empty() {
            continue;
        }
        let mut holder = String::from_utf8(output.stdout).unwrap();
        for filled in ["tool_width = \"4 in\"", "tool_mass = \"6 oz\""] {
            assert!(guide.contains(filled), "the guide says {filled}");
            let empty = format!("{} = \"\"", filled.split(' ').next().unwrap());
            assert!(holder.contains(&empty), "{holder}");
            holder = holder.replace(&empty, filled);
        }
        std::fs::write(at(into), holder).unwrap();
    }
    for file in ["peg.svg", "back.svg", "back.dxf", "steps.md", "load.md", "pages-letter.pdf"] {
        assert!(at("made/tape").join(file).is_file(), "{file} is made");
    }
}

/// No name is taken that the guide does not tell.
#[test]
fn the_guide_names_every_word_that_is_taken() {
    let guide = guide();
    for word in "n if then else and or not yes no cleat saw router wall".split(' ') {
        assert!(
            guide.contains(&format!(" {word}")) || guide.contains(&format!("`{word}")),
            "{word}"
        );
    }
}

const LEDGE: &str = r#"title = "Ledge"
hangs = "coils of rope"
makes = "a board on two arms"
include = ["back", "spacer-strip"]
[measures]
tool_mass = {}
[choices]
sheet = {}
[workings]
hang_width = "12 in"
hang_height = "8 in"
acts_out = "front + 3 in"
idle = "1 in"
[parts.arm]
about = "carries the coils"
size = "6 in, 4 in"
edges = { left = "against the back" }
sits = { faces = "left", in_front_of = "back", x = "2 in" }
[screws."back to the arms"]
through = "back"
into = "arm"
from_ends = "1 in"
[weights]
mass = "tool_mass"
path = ["arm", "back"]
"#;

#[test]
fn a_sound_style_is_tried_and_passes() {
    let project = Project::new(&[("styles/ledge.toml", LEDGE)]);
    let output = run_in(project.0.path(), &["styles", "check", "styles/ledge.toml"]);
    status(&output, 0);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("workings.idle: nothing uses it"), "{said}");
    assert!(
        said.contains("300 holders were tried") && said.ends_with("No problems found.\n"),
        "{said}"
    );
}

#[test]
fn a_style_with_a_part_in_the_air_does_not_pass() {
    let off = LEDGE.replace("x = \"2 in\"", "x = \"2 in\", z = \"3 in\"");
    let project = Project::new(&[("styles/ledge.toml", &off)]);
    let output = run_in(project.0.path(), &["styles", "check", "styles/ledge.toml"]);
    status(&output, 1);
    let said = String::from_utf8(output.stdout).unwrap();
    assert!(said.contains("Wrong") && said.contains("arm"), "{said}");
    assert!(said.contains("style = \"ledge\""), "a file that shows it: {said}");
}

#[test]
fn a_style_that_stands_in_for_a_built_in_one_says_so() {
    let project = Project::new(&[("styles/peg.toml", LEDGE)]);
    let output = run_in(project.0.path(), &["styles", "check", "styles/peg.toml"]);
    status(&output, 0);
    assert!(String::from_utf8(output.stdout).unwrap().contains("stands in for the built-in style"));
}

#[test]
fn what_is_wrong_in_a_style_is_told_with_file_and_line() {
    let wrong = LEDGE.replace("front + 3 in", "fornt + 3 in");
    let project = Project::new(&[("styles/ledge.toml", &wrong)]);
    let output = run_in(project.0.path(), &["styles", "check", "styles/ledge.toml"]);
    status(&output, 2);
    assert!(said(&output).contains("ledge.toml, line 12"), "{}", said(&output));
    for (words, says) in [
        (&["styles", "check"][..], "which style file"),
        (&["styles", "check", "nowhere.toml"], "there is no such style file"),
    ] {
        let output = run_in(project.0.path(), words);
        status(&output, 2);
        assert!(said(&output).contains(says), "{}", said(&output));
    }
}

#[test]
fn a_built_in_style_is_printed_with_its_groups() {
    let output = super::run(&["styles", "dock", "--file"]);
    status(&output, 0);
    let text = String::from_utf8(output.stdout).unwrap();
    for file in
        ["templates/dock.toml", "groups/brackets.toml", "groups/upright.toml", "groups/making.toml"]
    {
        assert!(text.contains(file), "{file}");
    }
    let vocabulary = String::from_utf8(super::run(&["styles", "vocabulary"]).stdout).unwrap();
    assert!(vocabulary.contains("bar_thickness"));
}

/// A file in `styles/` that no holder uses is read too.
#[test]
fn a_style_that_no_holder_uses_is_read_too() {
    let wrong = LEDGE.replace("[workings]", "[workngs]");
    let files = [("holders/sash.toml", super::SASH), ("styles/ledge.toml", &wrong)];
    let project = Project::new(&files);
    let output = super::run(&["check", project.0.path().to_str().unwrap()]);
    status(&output, 2);
    assert!(said(&output).contains("workngs"), "{}", said(&output));
}
