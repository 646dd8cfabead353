//! What a measuring sheet says beside names and boxes.

use super::MeasuringSheet;
use crate::length::Units;
use crate::reading::Kind;
use crate::style::{AskedCount, AskedOf};

/// Below the title: what the style hangs, and how the picture is meant.
pub(super) fn head(sheet: &MeasuringSheet<'_>) -> [String; 2] {
    let units = match sheet.units {
        Units::Inches => "All lengths in inches, as the tape reads: 1 3/8.",
        Units::Millimeters => "All lengths in mm.",
    };
    let tool = match is_asked_of(sheet, AskedOf::Measures) {
        true => "Measure your own tool. Its picture is drawn to fit, not to scale.",
        false => {
            "There is no tool to measure for this style. Its picture is drawn to fit, not to scale."
        }
    };
    [format!("{}: hangs {}.", sheet.name, sheet.hangs), format!("{tool} {units}")]
}

/// At the foot: the style's remarks, then where the figures go.
pub(super) fn foot(sheet: &MeasuringSheet<'_>) -> Vec<String> {
    let remarks = sheet.sketch.remarks.iter().cloned();
    remarks.chain([where_to(sheet)]).collect()
}

fn where_to(sheet: &MeasuringSheet<'_>) -> String {
    let headings = [(AskedOf::Measures, "[measures]"), (AskedOf::Choices, "[choices]")];
    let headings = headings.into_iter().filter(|(of, _)| is_asked_of(sheet, *of));
    let headings: Vec<&str> = headings.map(|(_, heading)| heading).collect();
    format!(
        "Write the figures into holders/NAME.toml, under {}, each behind its name{}.{} \"cleatwright start {}\" prints a \
         file to begin from.",
        headings.join(" and "),
        length_example(sheet),
        mass_example(sheet),
        sheet.name
    )
}

fn is_asked_of(sheet: &MeasuringSheet<'_>, of: AskedOf) -> bool {
    sheet.asked.iter().any(|figure| figure.of == of)
}

fn length_example(sheet: &MeasuringSheet<'_>) -> &'static str {
    let each = sheet.asked.iter().any(|figure| figure.count == AskedCount::Each);
    match (sheet.units, each) {
        (Units::Inches, false) => ": name = \"1 3/8\"",
        (Units::Inches, true) => ", in the order of the table: name = [\"3/4\", \"5/8\"]",
        (Units::Millimeters, false) => ": name = 35",
        (Units::Millimeters, true) => ", in the order of the table: name = [35, 19.5]",
    }
}

fn mass_example(sheet: &MeasuringSheet<'_>) -> &'static str {
    let asked = sheet.asked.iter().any(|figure| figure.kind == Kind::Mass);
    match sheet.units {
        _ if !asked => "",
        Units::Inches => " A mass has its unit: \"4.6 lb\", \"2.1 kg\".",
        Units::Millimeters => " A mass has its unit: \"2.1 kg\", \"850 g\".",
    }
}
