//! What a person is told of a style, and what is written for them to begin from.

use crate::length::Units;
use crate::style::{Library, guide, start};

#[test]
fn a_guide_tells_every_measure_and_choice_with_its_range() {
    let library = Library::built_in();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        let told = guide(&style, Units::Inches);
        for (measure, spec, _) in style.measures() {
            assert!(told.contains(measure) && told.contains(&spec.ask), "{told}");
        }
        for (choice, spec, _) in style.choices() {
            assert!(told.contains(choice) && told.contains(&spec.ask), "{told}");
            assert_eq!(spec.range.is_some(), line(&told, choice).contains(", allowed "), "{told}");
        }
    }
}

/// What is told of a choice.
fn line<'t>(told: &'t str, choice: &str) -> &'t str {
    told.lines().find(|line| line.split_whitespace().next() == Some(choice)).unwrap()
}

#[test]
fn defaults_and_ranges_are_figures() {
    let library = Library::built_in();
    let told = guide(&library.style("slotted-shelf").unwrap().unwrap(), Units::Inches);
    assert!(told.contains("Tools to hang (default 6, allowed 1 to 40)"), "{told}");
    assert!(line(&told, "tab_fit").contains("default 0.004 in, allowed -0.012 in to"), "{told}");
    assert!(line(&told, "inset").contains("worked out from the rest, allowed 1/2 in to 10 in"));
}

#[test]
fn a_new_file_states_what_its_style_wants_stated() {
    let library = Library::built_in();
    let started = start(&library.style("peg").unwrap().unwrap(), Units::Inches);
    for line in ["count = 8", "# spare = 2", "# made_by = \"hand\""] {
        assert!(started.lines().any(|l| l == line), "{line:?} is not in: {started}");
    }
}
