//! What a person is told of a style, and what is written for them to begin from.

use crate::style::{Library, guide, start};

#[test]
fn a_guide_tells_every_measure_and_choice_with_its_range() {
    let library = Library::built_in();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        let told = guide(&style);
        for (measure, spec, _) in style.measures() {
            assert!(told.contains(measure) && told.contains(&spec.ask), "{told}");
        }
        for (choice, spec, _) in style.choices() {
            assert!(told.contains(choice) && told.contains(&spec.ask), "{told}");
            let range = spec.range.iter().flatten().map(ToString::to_string);
            range.for_each(|end| assert!(told.contains(&end), "{told}"));
        }
    }
}

#[test]
fn a_new_file_states_what_its_style_wants_stated() {
    let library = Library::built_in();
    let started = start(&library.style("peg").unwrap().unwrap());
    for line in ["count = 8", "spare = 2", "# made_by = \"hand\""] {
        assert!(started.lines().any(|l| l == line), "{line:?} is not in: {started}");
    }
}
