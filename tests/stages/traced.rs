//! A traced tool end to end: from an SVG file beside the holder to an opening with play.

use super::folder;
use crate::holder::Level;
use crate::{Inputs, work_out};

const TRACED: &str = "tests/outside/traced";

#[test]
fn an_opening_is_larger_than_the_tool_by_its_clearance() {
    let worked = work_out(&folder::inputs(TRACED)).unwrap();
    let holder = &worked.holders[0].holder;
    assert!(holder.findings.iter().all(|f| f.level == Level::Note), "{:?}", holder.findings);
    let part = |name: &str| holder.parts.iter().find(|part| part.name == name).unwrap();
    let tool = part("handle").region.outline();
    let opening = part("board").region.openings()[0].clone();
    // Steiner's formula holds for this curve too: it is smooth, and nowhere hollowed tighter than
    // the clearance.
    let by = 25.4 / 16.0;
    let wanted = tool.area() + tool.perimeter() * by + std::f64::consts::PI * by * by;
    assert!((opening.area().abs() - wanted).abs() < 0.01 * by * tool.perimeter());
    // 520 units of a page 6 in wide and 600 units across; turned by 90 degrees it stands upright.
    assert!((part("handle").width() - 520.0 * 0.254).abs() < 0.5, "{}", part("handle").width());
}

/// The style alone.
fn fitted_board() -> Inputs {
    let style = include_str!("../outside/traced/styles/fitted-board.toml");
    Inputs::new().with("styles/fitted-board.toml", style)
}

#[test]
fn a_file_outside_the_project_or_absent_is_told() {
    for (file, says) in [("../x.svg", "leads out"), ("x.svg", "no such file"), ("", "leads out")] {
        let holder = format!("style = \"fitted-board\"\n[choices]\ntrace = \"{file}\"\n");
        let problems = work_out(&fitted_board().with("holders/a.toml", &holder)).unwrap_err();
        let told = problems[0].to_string();
        assert!(
            told.contains("line 3") && told.contains("choices.trace") && told.contains(says),
            "{told}"
        );
    }
}

#[test]
fn a_crossing_is_told_from_the_corner_of_the_path() {
    // The two strokes cross in the middle of 40 by 30 mm, far from the page's corner.
    let bow_tie = "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='100mm' \
                   viewBox='0 0 200 100'><path d='M60,60 L100,90 100,60 60,90z'/></svg>";
    let holder = "style = \"fitted-board\"\nunits = \"mm\"\n[choices]\ntrace = \"tie.svg\"\n";
    let inputs = fitted_board().with("holders/a.toml", holder).with("holders/tie.svg", bow_tie);
    let told = work_out(&inputs).unwrap_err()[0].to_string();
    assert!(told.contains("line 4") && told.contains("20 mm from its left"), "{told}");
    assert!(told.contains("15 mm from its bottom"), "{told}");
}
