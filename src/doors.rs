//! The ways in for what a person writes. `tests/fuzz` knocks at them with anything at all, and tests
//! with what it found: each must come to an end without a panic.

use std::collections::BTreeMap;

use crate::formula::{Formula, FormulaError, Names, Template, Value};
use crate::kernel::fit_arcs;
use crate::length::{Quantity, Reading, Units, read};
use crate::reading::{Kind, svg_path};
use crate::style::{Library, Style};
use crate::{Inputs, Options, render, work_out};

/// A holder that any shop with plywood can make.
const SHELF: &str = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"3/8\"\n\
                     head_width = \"1 1/4\"\ntool_length = \"30\"\ntool_mass = \"2 kg\"\n";

/// The one holder of each project here.
const HOLDER: &str = "holders/holder.toml";

/// Reads a figure, and writes it in both units.
pub fn length(text: &str) {
    if let Ok(quantity) = read(text) {
        let _ = [Units::Inches, Units::Millimeters].map(|units| units.quantity(quantity));
    }
    let _ = Reading::at_start_of(text);
}

/// Reads a formula and a text with formulas in braces, and works them out with a few names.
pub fn formula(text: &str) {
    if let Ok(formula) = text.parse::<Formula>() {
        let _ = formula.evaluate(&Few).map(|value| value.write(Units::Inches));
    }
    if let Ok(template) = text.parse::<Template>() {
        let _ = template.fill(&Few, Units::Millimeters);
    }
}

/// Reads a style, and works out a holder of it with measures of middling size.
pub fn style(text: &str) {
    let inputs = Inputs::new().with("styles/odd.toml", text);
    if let Ok(Some(style)) = Library::with(&inputs).style("odd") {
        let _ = work_out(&quick(inputs).with(HOLDER, &holder_of(&style)));
    }
}

/// Reads a holder file, works the holder out and writes all its files.
pub fn holder(text: &str) {
    if let Ok(worked) = work_out(&quick(Inputs::new()).with(HOLDER, text)) {
        let _ = render(&worked, &Options::default(), &mut BTreeMap::new());
    }
}

/// Reads a shop file, and works out a shelf and its plans of what it has.
pub fn shop(text: &str) {
    let _ = work_out(&quick(Inputs::new()).with(HOLDER, SHELF).with("shop.toml", text));
}

/// Reads an SVG file and turns its path into lines and arcs.
pub fn outline(text: &str) {
    if let Ok(path) = svg_path(text, None) {
        let _ = fit_arcs(&path);
    }
}

/// Without thinking long about how to saw.
fn quick(inputs: Inputs) -> Inputs {
    inputs.with_cutting_steps(1)
}

/// A holder file with a figure for each measure of `style`.
fn holder_of(style: &Style) -> String {
    let figure = |kind| match kind {
        Kind::Length => "\"2 in\"",
        Kind::Mass => "\"1 kg\"",
        Kind::Angle => "\"10 deg\"",
        Kind::Count | Kind::Number => "3",
    };
    let measures =
        style.measures().map(|(name, measure, _)| format!("{name} = {}\n", figure(measure.kind)));
    format!("style = \"odd\"\n[measures]\n{}", measures.collect::<String>())
}

/// A length, a list, a word and a yes.
struct Few;

impl Names for Few {
    fn value(&self, name: &str) -> Result<Value, FormulaError> {
        let length = |mm| Value::from(Quantity::mm(mm));
        match name {
            "a" => Ok(length(9.5)),
            "b" => Ok(Value::List(vec![length(1.0), length(25.4), length(300.0)])),
            "c" => Ok(Value::Word("hand".to_owned())),
            "d" => Ok(Value::Truth(true)),
            _ => Err(FormulaError::UnknownName { name: name.to_owned(), hint: String::new() }),
        }
    }

    fn bit_at_least(&self, mm: f64) -> Option<f64> {
        (mm < 50.0).then_some(50.0)
    }
}
