//! The ways in for what a person writes. `tests/fuzz` knocks at them with anything at all, and tests
//! with what it found: each must come to an end without a panic.

use crate::carry::judge;
use crate::cutting::{self, Budget};
use crate::drawing;
use crate::export::{dxf, svg};
use crate::formula::{Formula, FormulaError, Names, Template, Value};
use crate::holder::{Holder, build};
use crate::kernel::fit_arcs;
use crate::length::{Quantity, Reading, Units, read};
use crate::reading::{Kind, Problem, Source, svg_path};
use crate::router;
use crate::shop::{DEFAULT_SHOP, Shop, read_shop};
use crate::style::{HolderFile, Library, Style};

/// A holder that any shop with plywood can make.
const SHELF: &str = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"3/8\"\n\
                     head_width = \"1 1/4\"\ntool_length = \"30\"\ntool_mass = \"2 kg\"\n";

/// Reads a figure, and writes it in both units.
pub fn length(text: &str) {
    if let Ok(quantity) = read(text) {
        let _ = [Units::Inches, Units::Millimetres].map(|units| units.quantity(quantity));
    }
    let _ = Reading::at_start_of(text);
}

/// Reads a formula and a text with formulas in braces, and works them out with a few names.
pub fn formula(text: &str) {
    if let Ok(formula) = text.parse::<Formula>() {
        let _ = formula.evaluate(&Few).map(|value| value.write(Units::Inches));
    }
    if let Ok(template) = text.parse::<Template>() {
        let _ = template.fill(&Few, Units::Millimetres);
    }
}

/// Reads a style, and makes a holder of it with measures of middling size.
pub fn style(text: &str) {
    let mut library = Library::built_in();
    library.add("odd", Source::new("odd.toml", text));
    if let Ok(Some(style)) = library.style("odd") {
        let _ = made(&holder_of(&style), &library, DEFAULT_SHOP);
    }
}

/// Reads a holder file, makes the holder and draws it.
pub fn holder(text: &str) {
    if let Ok((holder, _)) = made(text, &Library::built_in(), DEFAULT_SHOP) {
        draw(&holder);
    }
}

/// Reads a shop file, and makes a shelf and its plans of what it has.
pub fn shop(text: &str) {
    if let Ok((holder, shop)) = made(SHELF, &Library::built_in(), text) {
        let holders = [holder];
        let plan = router::plan(&holders, &shop);
        let _ = cutting::plan(&holders, &shop, &plan, Budget { steps: 1 });
    }
}

/// Reads an SVG file and turns its path into lines and arcs.
pub fn outline(text: &str) {
    if let Ok(path) = svg_path(text, None) {
        let _ = fit_arcs(&path);
    }
}

fn made(holder: &str, library: &Library, shop: &str) -> Result<(Holder, Shop), Problem> {
    let shop = read_shop(&Source::new("shop.toml", shop))?;
    let file = HolderFile::read(Source::new("holder.toml", holder), "holder", library)?;
    let mut holder = build(&file, &shop)?;
    judge(&mut holder, &file, &shop);
    Ok((holder, shop))
}

fn draw(holder: &Holder) {
    for part in &holder.parts {
        let options = dxf::Options { version: dxf::Version::R2000, units: Units::Inches };
        let _ = dxf::write(part, dxf::Follow::Edges, options);
        let _ = svg::write(&drawing::pattern(part, holder.units, &holder.title));
    }
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
