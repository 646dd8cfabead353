//! Input that would take for ever, or fill the memory, ends at a limit; what fuzzing found stays
//! mended.

use crate::doors;
use crate::formula::{Formula, FormulaError, Template};
use crate::length::{Quantity, Units};
use crate::reading::{Source, svg_path};
use crate::shop::{DEFAULT_SHOP, read_shop};

/// Every text that once made a panic, a hang or a blow-up, by the door it came in at. A new file in
/// `tests/fuzz/found` is tried without a line here.
#[test]
fn what_fuzzing_found_stays_mended() {
    type Door = (&'static str, fn(&str));
    let doors: [Door; 6] = [
        ("length", doors::length),
        ("formula", doors::formula),
        ("style", doors::style),
        ("holder", doors::holder),
        ("shop", doors::shop),
        ("outline", doors::outline),
    ];
    let found = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/found");
    let mut tried = 0;
    for (name, door) in doors {
        // Git keeps no folder for a door at which nothing was found.
        for entry in std::fs::read_dir(found.join(name)).into_iter().flatten() {
            let bytes = std::fs::read(entry.unwrap().path()).unwrap();
            door(&String::from_utf8_lossy(&bytes));
            tried += 1;
        }
    }
    assert!(tried >= 6, "only {tried} texts in {}", found.display());
}

#[track_caller]
fn refused(text: &str, wanted: &FormulaError) {
    assert_eq!(text.parse::<Formula>().as_ref(), Err(wanted));
}

#[test]
fn a_formula_has_an_end() {
    refused(&format!("{}1 in", "1 in + ".repeat(143_000)), &FormulaError::TooLong(1_001_004));
    refused(&format!("{}1{}", "(".repeat(900), ")".repeat(900)), &FormulaError::TooMany(1801));
    refused(&format!("{}1{}", "(".repeat(70), ")".repeat(70)), &FormulaError::TooDeep);
    refused(&format!("{}1", "-".repeat(100)), &FormulaError::TooDeep);
    refused(&format!("{}1", "1+".repeat(128)), &FormulaError::TooMany(257));
    let longest = format!("{}1", "1+".repeat(127));
    assert!(longest.parse::<Formula>().is_ok());
}

/// 100 m is the furthest that anything reaches, and a sum may well come to more: all of it is
/// written, in sixty-fourths of an inch too.
#[test]
fn a_length_of_any_size_is_written() {
    for mm in [1e5, 1e19, 1e40, f64::MAX / 2.0, -1e40, f64::MIN_POSITIVE] {
        for units in [Units::Inches, Units::Millimeters] {
            assert!(!units.quantity(Quantity::mm(mm)).is_empty(), "{mm}");
        }
    }
    // 254 × 10^18 mm are 10^19 inches, more than half of what 64 bits hold.
    assert_eq!(Units::Inches.quantity(Quantity::mm(254e18)), "10000000000000000000 in");
}

struct Long;

impl crate::formula::Names for Long {
    fn value(&self, _: &str) -> Result<crate::formula::Value, FormulaError> {
        Ok(crate::formula::Value::Word("w".repeat(1_000)))
    }
}

#[test]
fn a_text_with_formulas_has_an_end() {
    let text: Template = "{w}".repeat(11).parse().unwrap();
    assert_eq!(text.fill(&Long, Units::Inches), Err(FormulaError::SaysTooMuch));
    let text: Template = "{w}".repeat(10).parse().unwrap();
    assert_eq!(text.fill(&Long, Units::Inches).unwrap().len(), 10_000);
}

#[track_caller]
fn no_shop(text: &str, says: &str) {
    let problem = read_shop(&Source::new("shop.toml", text)).unwrap_err();
    assert!(problem.to_string().contains(says), "{problem}");
}

#[test]
fn a_shop_has_an_end() {
    let dowels = "[[dowel]]\ndiameter = 10\nlength = 900\n".repeat(201);
    no_shop(
        &format!("units = \"mm\"\n{dowels}"),
        "201 kinds of sheet, board and dowel; at most 200",
    );
    let bits = vec!["5"; 301].join(", ");
    no_shop(&format!("units = \"mm\"\n[bits]\ndrill = [{bits}]\n"), "301 bits; at most 300");
    let offcuts = "[[offcut]]\nof = \"ply\"\nlength = 9\nwidth = 9\n".repeat(301);
    no_shop(&format!("units = \"mm\"\n{offcuts}"), "301 offcuts; at most 300");
    let name = "p".repeat(61);
    let sheet = "[[sheet]]\nlength = 9\nwidth = 9\nthickness = 1\n";
    no_shop(&format!("units = \"mm\"\n{sheet}name = \"{name}\"\n"), "has 61 characters");
    assert!(read_shop(&Source::new("shop.toml", DEFAULT_SHOP)).is_ok());
}

#[track_caller]
fn no_outline(body: &str, says: &str) {
    let text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\">{body}</svg>"
    );
    let error = svg_path(&text, None).unwrap_err().to_string();
    assert!(error.contains(says), "{error}");
}

#[test]
fn an_outline_has_an_end() {
    let rect = "<rect width=\"5\" height=\"5\"/>";
    let nested = format!("{}{rect}{}", "<g>".repeat(16_000), "</g>".repeat(16_000));
    no_outline(&nested, "more than 100 groups stand within each other");
    no_outline(&"<g/>".repeat(60_000), "not well-formed XML");
    let attributes: String = (0..100_000).map(|i| format!(" a{i} = '1'")).collect();
    no_outline(&format!("<rect{attributes}/>"), "more than 250 attributes in one element");
    let steps = "more than 10000 points, lines and curves in one path";
    no_outline(&format!("<path d=\"M0,0{}z\"/>", "h.1v.1".repeat(9_000)), steps);
    no_outline(&format!("<path d=\"{}\"/>", "M0,0".repeat(90_000)), steps);
    no_outline(&format!("<polygon points=\"{}\"/>", "1 1 ".repeat(90_000)), steps);
}
