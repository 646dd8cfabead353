//! Measures that are lists: read entry by entry, told by their line, and worked with in formulas.

use std::collections::BTreeMap;

use crate::formula::{Formula, FormulaError, Names, Value};
use crate::length::{Dimension, Quantity};

use super::{made, text, try_made, usual_shop};

const HEADS: &str = "widest_below = \"1/4\"\nneck_thickness = \"1/4\"\ntool_mass = \"0.2 kg\"";

struct Known(BTreeMap<&'static str, Value>);

impl Names for Known {
    fn value(&self, name: &str) -> Result<Value, FormulaError> {
        let unknown = || FormulaError::UnknownName { name: name.into(), hint: String::new() };
        self.0.get(name).cloned().ok_or_else(unknown)
    }
}

fn worked(formula: &str) -> Result<Value, FormulaError> {
    let lengths = [6.0, 8.0, 9.5].map(|mm| Value::from(Quantity::mm(mm)));
    let words = ["no", "yes"].map(|word| Value::Word(word.into()));
    let known = [("sizes", Value::List(lengths.into())), ("open", Value::List(words.into()))];
    formula.parse::<Formula>()?.evaluate(&Known(known.into()))
}

fn mm(formula: &str) -> f64 {
    let value = worked(formula).unwrap_or_else(|e| panic!("{formula}: {e}"));
    value.figure(Dimension::LENGTH).unwrap_or_else(|| panic!("{formula}: {value:?}"))
}

#[test]
fn what_formulas_do_with_lists() {
    for (formula, length) in [
        ("item(sizes, 1)", 6.0),
        ("item(sizes, 1 + 2)", 9.5),
        ("so_far(sizes, 0)", 0.0),
        ("so_far(sizes, 2)", 14.0),
        ("sum(sizes)", 23.5),
        ("max(sizes)", 9.5),
        ("min(sizes, 7 mm)", 6.0),
        ("sum(abs(sizes - 8 mm))", 3.5),
        ("max(sizes, 1 cm)", 10.0),
        ("sum(list(sizes, 1.5 mm))", 25.0),
        ("sum(list()) + 1 mm", 1.0),
        ("how_many(sizes) * 1 mm", 3.0),
        ("how_many(list()) * 1 mm", 0.0),
    ] {
        assert!((mm(formula) - length).abs() < 1e-9, "{formula}: {}", mm(formula));
    }
    assert_eq!(worked("item(open, 2) = 'yes'"), Ok(Value::Truth(true)));
    assert_eq!(worked("item(sizes, 4)"), Err(FormulaError::NoEntry { wanted: 4.0, size: 3 }));
    assert!(matches!(worked("so_far(sizes, -1)"), Err(FormulaError::NoEntry { .. })));
    assert!(matches!(worked("item(sizes, 1.5)"), Err(FormulaError::Kind { .. })));
    assert!(matches!(worked("item(sizes)"), Err(FormulaError::Arguments { .. })));
    assert_eq!(worked("sum(sizes + 1 mm)"), worked("sum(sizes) + 3 mm"));
    assert_eq!(worked("sum(2 * sizes - sizes)"), worked("sum(sizes)"));
    assert_eq!(worked("sizes + list(1 mm)"), Err(FormulaError::Unequal(3, 1)));
    assert!(matches!(worked("sizes + 1 kg"), Err(FormulaError::Mixed { .. })));
    assert!(matches!(worked("max(list())"), Err(FormulaError::Arguments { .. })));
    assert!(matches!(worked("sum(open)"), Err(FormulaError::Mixed { .. })));
}

/// Whole degrees whose tangents are known. CRC Standard Mathematical Tables: tan 45 deg = 1,
/// tan 30 deg = 1 / sqrt 3.
#[test]
fn arc_tangents_are_angles() {
    for (formula, degrees) in [("atan(1)", 45.0), ("atan(1 / sqrt(3))", 30.0), ("atan(0)", 0.0)] {
        let angle = worked(formula).unwrap().figure(Dimension::ANGLE);
        assert!((angle.unwrap() - degrees).abs() < 1e-9, "{formula}: {angle:?}");
    }
}

#[test]
fn a_single_figure_stands_for_all() {
    let list = "shank_diameter = [\"1/4\", \"1/2\"]\nhead_width = [1, 1]\n";
    let single = "shank_diameter = [\"1/4\", \"1/2\"]\nhead_width = 1\n";
    let holders =
        [list, single].map(|m| made(&text("hole-rail", &format!("{m}{HEADS}"), ""), &usual_shop()));
    assert_eq!(holders[0], holders[1]);
    let Some(Value::List(heads)) = holders[1].values.get("head_width") else { panic!("no list") };
    assert_eq!(heads.len(), 2);
}

/// Each fault is told with the entry's line in the file and what would be right.
#[test]
fn a_wrong_entry_names_its_line() {
    for (measures, choices, line, says) in [
        (
            "shank_diameter = [\n\"1/4\",\n\"9\",\n]\nhead_width = 1\n",
            "",
            7,
            "entry 2: 9 in is out of range",
        ),
        (
            "shank_diameter = [\n\"1/4\",\n\"2 kg\",\n]\nhead_width = 1\n",
            "",
            7,
            "entry 2: \"2 kg\" is a mass",
        ),
        (
            "shank_diameter = [\"1/4\", \"1/2\"]\nhead_width = [1, 1, 1]\n",
            "",
            6,
            "head_width has 3 entries, shank_diameter has 2",
        ),
        ("shank_diameter = [[\"1/4\"]]\nhead_width = 1\n", "", 5, "entry 1"),
        ("shank_diameter = [true]\nhead_width = 1\n", "", 5, "true is not a number"),
        (
            "shank_diameter = [\"1/4\"]\nhead_width = 1\n",
            "open = [\"maybe\"]",
            12,
            "\"maybe\" is not one of its options",
        ),
        (
            "shank_diameter = [\"1/4\"]\nhead_width = 1\n",
            "open = [\"yes\", \"no\"]",
            12,
            "open has 2 entries, shank_diameter has 1",
        ),
        ("shank_diameter = [\"1/4\"]\nhead_width = 1\n", "fit = [\"1/8\"]", 12, "is not a number"),
    ] {
        let file = text("hole-rail", &format!("{measures}{HEADS}"), choices);
        let error = try_made(&file, &usual_shop()).unwrap_err().to_string();
        assert!(error.contains(says), "{error}\nlacks {says}");
        assert!(
            error.contains(&format!("line {line}")),
            "{error}\nis not on line {line} of\n{file}"
        );
    }
}
