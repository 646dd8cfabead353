//! Readings that a holder file may leave out: what holds then, where it is told, and how they are given.

use crate::Inputs;
use crate::formula::Value;
use crate::holder::{Holder, build};
use crate::length::{Dimension, Units};
use crate::reading::{Problems, Source};
use crate::style::{HolderFile, Library, guide, start};

use super::{IN, near, usual_shop};

/// A plain rail for brushes: each hangs by its head in a notch of its own.
const RAIL: &str = r#"title = "Brush rail"
hangs = "brushes"
makes = "a rail"
include = ["back", "spacer-strip"]

[measures]
head_width = {}
tail_width = { ask = "How wide is the tail?", length = ["1/8 in", "6 in"], default = "head_width" }
tail_depth = { ask = "How deep is the tail?", length = ["1/8 in", "6 in"], default = "1/2 in" }
tail_room = { ask = "How much room does it want?", length = ["0 in", "12 in"], default = "tail_width / 3" }
tool_mass = {}

[choices]
sheet = {}

[workings]
hang_width = "6 in + sum(head_width) + max(tail_width, tail_depth, tail_room)"
hang_height = "6 in"
acts_out = "front + 1 in"

[weights]
mass = "sum(tool_mass)"
path = ["back"]
"#;

const READ: &str = "head_width = 1\ntool_mass = \"0.1 kg\"\n";

fn each() -> String {
    RAIL.replace("include", "measured = \"each\"\ninclude")
}

fn tried(style: &str, measures: &str) -> Result<Holder, Problems> {
    let library = Library::with(&Inputs::new().with("styles/brush-rail.toml", style));
    let text = format!("style = \"brush-rail\"\nunits = \"in\"\n[measures]\n{measures}");
    let file = HolderFile::read(Source::new("brushes.toml", text), "brushes", &library)?;
    build(&file, &usual_shop())
}

/// The lengths under `name`, in inches.
fn inches(style: &str, measures: &str, name: &str) -> Vec<f64> {
    let holder = tried(style, measures).unwrap_or_else(|wrong| panic!("{wrong}"));
    let figure = |value: &Value| value.figure(Dimension::LENGTH).unwrap() / IN;
    holder.values[name].entries().iter().map(figure).collect()
}

#[track_caller]
fn each_near(got: &[f64], wanted: &[f64]) {
    assert_eq!(got.len(), wanted.len(), "{got:?}");
    got.iter().zip(wanted).for_each(|(got, wanted)| near(*got, *wanted));
}

#[test]
fn the_default_holds_until_it_is_read() {
    let of = |more: &str, name: &str| inches(RAIL, &format!("{READ}{more}"), name);
    each_near(&of("", "tail_width"), &[1.0]);
    each_near(&of("", "tail_depth"), &[0.5]);
    // 1/3 in, on the next mark of the tape.
    each_near(&of("", "tail_room"), &[0.375]);
    each_near(&of("tail_width = 3", "tail_width"), &[3.0]);
    each_near(&of("tail_width = 3", "tail_room"), &[1.0]);
    each_near(&of("tail_width = \"head_width + 1/4 in\"", "tail_width"), &[1.25]);
}

#[test]
fn of_a_list_it_holds_entry_by_entry() {
    let two = "head_width = [1, 1.5]\ntool_mass = \"0.1 kg\"\n";
    let of = |more: &str, name: &str| inches(&each(), &format!("{two}{more}"), name);
    each_near(&of("", "tail_width"), &[1.0, 1.5]);
    each_near(&of("", "tail_depth"), &[0.5, 0.5]);
    each_near(&of("tail_width = [3, 1.5]", "tail_room"), &[1.0, 0.5]);
    each_near(&of("tail_width = 3", "tail_width"), &[3.0, 3.0]);
}

#[test]
fn it_is_not_missed_and_must_be_in_range() {
    let says = |style: &str, measures: &str, wanted: &[&str]| {
        let told = tried(style, measures).map(|holder| holder.findings).unwrap_err().to_string();
        assert!(wanted.iter().all(|word| told.contains(word)), "{told}");
        told
    };
    let told = says(RAIL, "", &["measures.head_width is missing", "measures.tool_mass"]);
    assert!(!told.contains("tail"), "{told}");
    says(RAIL, &format!("{READ}tail_width = 7"), &["measures.tail_width: 7 in is out of range"]);
    says(
        RAIL,
        &format!("{READ}tail_width = \"9 * head_width\""),
        &["measures.tail_width: 9 in is out of range"],
    );
    let far = RAIL.replace("default = \"1/2 in\"", "default = \"7 in\"");
    says(&far, READ, &["measures.tail_depth: its default of 7 in is not in its range"]);
    let unknown = RAIL.replace("default = \"head_width\"", "default = \"hat_width\"");
    says(&unknown, READ, &["hat_width"]);
}

#[test]
fn the_guide_and_a_new_file_tell_the_default() {
    let library = Library::with(&Inputs::new().with("styles/brush-rail.toml", RAIL));
    let style = library.style("brush-rail").unwrap().unwrap();
    let told = guide(&style, Units::Inches);
    let started = start(&style, Units::Inches);
    for left_out in
        ["; if left out: head_width", "; if left out: 1/2 in", "; if left out: tail_width / 3"]
    {
        assert!(told.contains(left_out) && started.contains(left_out), "{told}{started}");
    }
    let lines = [
        "head_width = \"\"",
        "# tail_width = \"head_width\"",
        "# tail_depth = \"1/2 in\"",
        "# tail_room = \"on_tape(tail_width / 3)\"",
    ];
    for line in lines {
        assert!(started.lines().any(|l| l == line), "{line:?} is not in: {started}");
    }
}

/// The record states it as it was, so that a default of another day changes nothing.
#[test]
fn the_record_states_what_it_came_to() {
    let holder = format!("style = \"brush-rail\"\nunits = \"in\"\n[measures]\n{READ}");
    let inputs = Inputs::new().with("styles/brush-rail.toml", RAIL);
    let inputs = inputs.with("holders/brushes.toml", &holder);
    let worked = crate::work_out(&inputs).unwrap();
    let record = worked.holders[0].record.as_deref().unwrap();
    assert!(record.contains("\ntail_width = \"1 in\"\n"), "{record}");
}
