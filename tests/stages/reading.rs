//! Figures as a tape, a scale and a protractor show them; how they are written back; formulas;
//! and arbitrary text in place of any of these.
//!
//! 1 in = 25.4 mm and 1 lb = 0.45359237 kg exactly: international yard and pound agreement of
//! 1959, as in NIST SP 811 appendix B.8.

use std::collections::BTreeMap;

use crate::formula::{Formula, FormulaError, Names, Template, Value};
use crate::length::{Dimension, Quantity, ReadingError, Units, read};
use crate::reading::Source;
use crate::shop::read_shop;
use crate::style::{HolderFile, Library, StyleFile};
use proptest::prelude::*;

const IN: f64 = 25.4;

fn mm(text: &str) -> f64 {
    let quantity = read(text).unwrap_or_else(|e| panic!("{text}: {e}"));
    assert_eq!(quantity.dimension, Dimension::LENGTH, "{text}");
    quantity.value
}

#[track_caller]
fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 1e-9, "{got}, not {wanted}");
}

#[test]
fn lengths_read_as_the_tape_does() {
    let table = [
        ("1 3/8 in", 1.375 * IN),
        ("3/4\"", 0.75 * IN),
        ("3/4 in", 0.75 * IN),
        ("4' 6 1/2\"", 54.5 * IN),
        ("4'6 1/2\"", 54.5 * IN),
        ("4'-6 1/2\"", 54.5 * IN),
        ("4 ft 6 1/2 in", 54.5 * IN),
        ("4′ 6 1/2″", 54.5 * IN),
        ("4' 6\"", 54.0 * IN),
        ("4' 1/2\"", 48.5 * IN),
        ("4'", 48.0 * IN),
        ("1 1/2 ft", 18.0 * IN),
        ("0.75 in", 0.75 * IN),
        (".75 in", 0.75 * IN),
        ("3 inches", 3.0 * IN),
        ("1-3/8 in", 1.375 * IN),
        ("19 mm", 19.0),
        ("19mm", 19.0),
        ("1.9 cm", 19.0),
        ("1.2 m", 1200.0),
        ("-1 3/8 in", -1.375 * IN),
        ("−19 mm", -19.0),
        ("  2″ ", 2.0 * IN),
        ("0 mm", 0.0),
        // As a word processor or a phone's keyboard writes them.
        ("40½ in", 40.5 * IN),
        ("40 ½ in", 40.5 * IN),
        ("½\"", 0.5 * IN),
        ("1⅜”", 1.375 * IN),
        ("4’ 6½”", 54.5 * IN),
        ("4‘ 6“", 54.0 * IN),
        ("6''", 6.0 * IN),
        ("4' 6''", 54.0 * IN),
        ("1\u{a0}3/8\u{202f}in", 1.375 * IN),
        ("1\u{2009}3/8\u{2009}in", 1.375 * IN),
        ("19\u{a0}mm", 19.0),
        ("1–3/8 in", 1.375 * IN),
        ("1‑3/8 in", 1.375 * IN),
        ("1 3⁄8 in", 1.375 * IN),
        ("3∕4 in", 0.75 * IN),
        ("–3/4 in", -0.75 * IN),
        ("3 IN", 3.0 * IN),
        ("19 MM", 19.0),
        ("3/4 in.", 0.75 * IN),
        ("19 millimeters", 19.0),
    ];
    for (text, wanted) in table {
        assert!((mm(text) - wanted).abs() < 1e-9, "{text}: {}, not {wanted}", mm(text));
    }
}

#[test]
fn masses_angles_and_counts() {
    let table = [
        ("2.1 kg", Quantity::kg(2.1)),
        ("850 g", Quantity::kg(0.85)),
        ("4 lb", Quantity::kg(4.0 * 0.453_592_37)),
        ("8 oz", Quantity::kg(0.5 * 0.453_592_37)),
        ("4 lbs", Quantity::kg(4.0 * 0.453_592_37)),
        ("1 pound", Quantity::kg(0.453_592_37)),
        ("4 lb 6 oz", Quantity::kg(4.375 * 0.453_592_37)),
        ("2.1 Kg", Quantity::kg(2.1)),
        ("2½ lbs.", Quantity::kg(2.5 * 0.453_592_37)),
        ("30 degrees", Quantity::degrees(30.0)),
        ("7½", Quantity::number(7.5)),
        ("2 1/2 lb", Quantity::kg(2.5 * 0.453_592_37)),
        ("15 deg", Quantity::degrees(15.0)),
        ("7.5°", Quantity::degrees(7.5)),
        ("7", Quantity::number(7.0)),
        ("3/4", Quantity::number(0.75)),
        ("1 3/8", Quantity::number(1.375)),
    ];
    for (text, wanted) in table {
        let got = read(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert_eq!(got.dimension, wanted.dimension, "{text}");
        assert!((got.value - wanted.value).abs() < 1e-12, "{text}: {}", got.value);
    }
}

#[test]
fn what_is_no_figure_says_why() {
    use ReadingError as E;
    let table = [
        ("", E::NoNumber),
        ("about two", E::NoNumber),
        (".", E::NoNumber),
        ("-", E::NoNumber),
        ("1/0 in", E::ZeroDenominator("1/0".into())),
        ("2 3/0 in", E::ZeroDenominator("3/0".into())),
        ("1 3/8 mm", E::MixedUnit("mm".into())),
        ("3 furlong", E::UnknownUnit("furlong".into())),
        ("3 in 4", E::LeftOver("4".into())),
        ("1.2.3 in", E::LeftOver(".3 in".into())),
        ("3 in in", E::LeftOver("in".into())),
        ("1e3 mm", E::LeftOver("e3 mm".into())),
        ("1,5 mm", E::Comma("1.5 mm".into())),
        ("40,5", E::Comma("40.5".into())),
        ("1,250 mm", E::Comma("1.250 mm or 1250 mm".into())),
        ("2 stone", E::UnknownUnit("stone".into())),
        ("1 3 / 8 in", E::LeftOver("3 / 8 in".into())),
    ];
    for (text, wanted) in table {
        assert_eq!(read(text), Err(wanted), "{text}");
    }
}

#[test]
fn inches_are_written_to_the_nearest_mark() {
    let inches = Units::Inches;
    let table = [
        (0.0, "0"),
        (0.75, "3/4"),
        (1.375, "1 3/8"),
        (2.0, "2"),
        (1.0 / 32.0, "1/32"),
        (1.0 / 64.0, "1/64"),
        (5.0 + 63.0 / 64.0, "5 63/64"),
        (-0.75, "-3/4"),
        (-12.5, "-12 1/2"),
        // Between the marks: the nearest 1/64, with a sign that it is not exact.
        (0.26, "≈ 17/64"),
        (0.997, "≈ 1"),
        // Less off a mark than any tape shows.
        (0.999, "1"),
        (-0.26, "≈ -17/64"),
        // Less than the first mark: thousandths.
        (1e-3, "0.001"),
        (-0.012, "-0.012"),
    ];
    for (value, wanted) in table {
        assert_eq!(inches.bare_length(value * IN), wanted);
    }
    assert_eq!(inches.length(1.375 * IN), "1 3/8 in");
}

#[test]
fn millimeters_are_written_to_a_tenth() {
    let table = [(19.0, "19 mm"), (12.7, "12.7 mm"), (19.05, "19.1 mm"), (-0.04, "0 mm")];
    for (value, wanted) in table {
        assert_eq!(Units::Millimeters.length(value), wanted);
    }
}

#[test]
fn every_sixty_fourth_reads_back_as_it_was() {
    for parts in -64 * 40..=64 * 40 {
        let value = f64::from(parts) / 64.0 * IN;
        let written = Units::Inches.length(value);
        assert!(!written.contains('≈'), "{written}");
        assert!((mm(&written) - value).abs() < 1e-9, "{written}");
    }
}

proptest! {
    /// The nearest 1/64 is never further than 1/128 in off.
    #[test]
    fn written_inches_read_back_close(value in -3000.0..3000.0_f64) {
        let written = Units::Inches.length(value);
        let back = mm(written.trim_start_matches("≈ "));
        prop_assert!((back - value).abs() <= IN / 128.0 + 1e-9, "{written}: {back}, was {value}");
        let exact = !written.starts_with('≈');
        prop_assert!(!exact || (back - value).abs() <= IN / 640.0 + 1e-9, "{written}: {back}, was {value}");
    }

    #[test]
    fn written_millimeters_read_back_close(value in -3000.0..3000.0_f64) {
        let written = Units::Millimeters.length(value);
        prop_assert!((mm(&written) - value).abs() <= 0.05 + 1e-6, "{written}, was {value}");
    }

    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        let _ = read(&text);
        let _ = text.parse::<Formula>();
        let _ = text.parse::<Template>();
    }

    /// Text made of the pieces figures and formulas are made of gets further in.
    #[test]
    fn any_heap_of_pieces_is_read_or_refused(pieces in prop::collection::vec(piece(), 0..24)) {
        let text = pieces.concat();
        let _ = read(&text);
        let _ = text.parse::<Template>();
        if let Ok(formula) = text.parse::<Formula>()
            && let Ok(Value::Figure(quantity)) = formula.evaluate(&shed())
        {
            prop_assert!(quantity.value.is_finite(), "{text} comes to {}", quantity.value);
        }
    }

    #[test]
    fn any_text_in_a_file_is_read_or_refused(text in any::<String>()) {
        files(&text);
    }

    /// Files that are TOML, with keys the program knows and values of every sort.
    #[test]
    fn any_heap_of_keys_is_read_or_refused(lines in prop::collection::vec(line(), 0..12)) {
        files(&lines.join("\n"));
    }
}

fn piece() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "1",
        "3/8",
        "0",
        "12.5",
        ".",
        "/",
        " ",
        " in",
        "\"",
        "'",
        "″",
        "′",
        " mm",
        " kg",
        "°",
        "-",
        "−",
        "+",
        "*",
        "(",
        ")",
        ",",
        "<",
        "<=",
        "=",
        "!=",
        "and",
        " or ",
        "not ",
        "if ",
        " then ",
        " else ",
        "min(",
        "sqrt(",
        "bit_at_least(",
        "bar",
        "count",
        "tilt",
        "'word'",
        "{",
        "}",
        "é",
        "\u{301}",
        "99999999999999999999999999999999999999999",
    ])
}

fn line() -> impl Strategy<Value = String> {
    let tables = vec![
        "[measures]",
        "[choices]",
        "[workings]",
        "[[parts]]",
        "[[screws]]",
        "[[checks]]",
        "[[sheet]]",
        "[[board]]",
        "[[dowel]]",
        "[[offcut]]",
        "[saw]",
        "[bits]",
        "[router]",
        "[cleat]",
        "[printer]",
        "[measures.bar]",
        "[choices.pitch]",
        "[[parts.cuts]]",
    ];
    let keys = vec![
        "style",
        "title",
        "units",
        "name",
        "thickness",
        "length",
        "width",
        "quantity",
        "grain",
        "diameter",
        "of",
        "kerf",
        "drill",
        "bit",
        "from",
        "bevel",
        "paper",
        "margin",
        "scale_x",
        "count",
        "bar_thickness",
        "head_width",
        "kind",
        "range",
        "default",
        "outline",
        "sits",
        "slot",
        "say",
        "stop",
        "include",
        "ask",
        "with",
    ];
    let values = vec![
        "1",
        "-1",
        "0.5",
        "nan",
        "-inf",
        "1e308",
        "true",
        "\"\"",
        "\"3/4\"",
        "\"19 mm\"",
        "\"in\"",
        "\"mm\"",
        "\"tongue\"",
        "\"twin-arm\"",
        "\"4 lb\"",
        "[]",
        "[1, 2]",
        "{}",
        "[\"1/4\"]",
        "1979-05-27",
        "\"{count}\"",
        "\"length\"",
    ];
    let keyed = (prop::sample::select(keys), prop::sample::select(values));
    prop_oneof![
        1 => prop::sample::select(tables).prop_map(str::to_owned),
        3 => keyed.prop_map(|(key, value)| format!("{key} = {value}")),
    ]
}

/// Reads a text as every kind of file; a refusal names the file.
fn files(text: &str) {
    let source = Source::new("shed.toml", text);
    let library = Library::built_in();
    let problems = [
        HolderFile::read(source.clone(), "shed", &library).err(),
        read_shop(&source).err(),
        source.parse::<StyleFile>().err(),
    ];
    for problem in problems.into_iter().flatten() {
        assert!(problem.to_string().starts_with("shed.toml, line "), "{problem}");
    }
}

/// Values for formulas: what a shed might measure.
struct Shed {
    values: BTreeMap<&'static str, Value>,
    formulas: BTreeMap<&'static str, Formula>,
}

fn shed() -> Shed {
    let figures = [
        ("bar", Quantity::mm(9.525)),
        ("count", Quantity::number(7.0)),
        ("mass", Quantity::kg(2.1)),
        ("tilt", Quantity::degrees(30.0)),
    ];
    let mut values: BTreeMap<_, _> = figures.into_iter().map(|(n, q)| (n, q.into())).collect();
    values.insert("mount", Value::Word("wall".into()));
    Shed { values, formulas: BTreeMap::new() }
}

impl Names for Shed {
    fn value(&self, name: &str) -> Result<Value, FormulaError> {
        if let Some(formula) = self.formulas.get(name) {
            return formula.evaluate(self);
        }
        let unknown = || FormulaError::UnknownName { name: name.into(), hint: String::new() };
        self.values.get(name).cloned().ok_or_else(unknown)
    }

    fn bit_at_least(&self, mm: f64) -> Option<f64> {
        [6.35, 12.7].into_iter().find(|bit| *bit >= mm)
    }
}

fn work(text: &str) -> Result<Value, FormulaError> {
    text.parse::<Formula>()?.evaluate(&shed())
}

fn worked(text: &str) -> Quantity {
    match work(text) {
        Ok(Value::Figure(quantity)) => quantity,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn products_before_sums_before_comparisons_before_not_and_or() {
    let table = [
        ("1 + 2 * 3", 7.0),
        ("(1 + 2) * 3", 9.0),
        ("10 - 4 - 3", 3.0),
        ("12 / 3 / 2", 2.0),
        ("12 / 3/4", 1.0),
        ("2 - -3", 5.0),
        ("-2 * -3", 6.0),
        ("2--3", 5.0),
        ("if 1 + 1 < 3 and not 2 < 1 then 5 else 6", 5.0),
        ("if no and no or yes then 5 else 6", 5.0),
        ("if no and (no or yes) then 5 else 6", 6.0),
        ("if not no and yes then 5 else 6", 5.0),
        ("if no then 1 else if yes then 2 else 3", 2.0),
        ("1 + (if yes then 2 else 3)", 3.0),
    ];
    for (text, wanted) in table {
        assert_eq!(worked(text), Quantity::number(wanted), "{text}");
    }
}

#[test]
fn figures_in_formulas_read_as_the_tape_does() {
    let table = [
        ("bar + 1/8 in", 12.7),
        ("1 3/8 in + 5/8 in", 2.0 * IN),
        ("4' 6 1/2\" - 6 1/2\"", 48.0 * IN),
        ("2 * 3/4 in", 1.5 * IN),
        ("3 in / 2", 1.5 * IN),
        ("bar - 1/8 in", 6.35),
        // A minus with room around it takes away, whatever stands before it.
        ("1 ft - 6 in", 6.0 * IN),
        ("4' - 6 1/2\"", 41.5 * IN),
        ("3 in - 1/2 in", 2.5 * IN),
        // Names that begin like a unit.
        ("2 * (if yes then bar else 1 in)", 19.05),
    ];
    for (text, wanted) in table {
        let got = worked(text);
        assert_eq!(got.dimension, Dimension::LENGTH, "{text}");
        assert!((got.value - wanted).abs() < 1e-9, "{text}: {}, not {wanted}", got.value);
    }
    // A number less a length is no length.
    assert!(matches!(work("5 - 1/2 in"), Err(FormulaError::Mixed { .. })));
}

#[test]
fn functions() {
    near(worked("min(3/4 in, 19 mm, 2 in)").value, 19.0);
    near(worked("max(3/4 in, 19 mm)").value, 19.05);
    assert_eq!(worked("ceil(7 / 2)"), Quantity::number(4.0));
    assert_eq!(worked("floor(7 / 2)"), Quantity::number(3.0));
    assert_eq!(worked("round(7 / 3)"), Quantity::number(2.0));
    // 3 / 0.1 is 30 but for the last bits.
    assert_eq!(worked("ceil(3 mm / 0.1 mm)"), Quantity::number(30.0));
    assert_eq!(worked("abs(-19 mm)"), Quantity::mm(19.0));
    assert_eq!(worked("sqrt(9 mm * 4 mm)"), Quantity::mm(6.0));
    near(worked("sin(tilt)").value, 0.5);
    near(worked("cos(60 deg)").value, 0.5);
    near(worked("tan(45 deg)").value, 1.0);
    assert_eq!(worked("bit_at_least(bar)"), Quantity::mm(12.7));
    assert!(matches!(work("bit_at_least(1 in)"), Err(FormulaError::NoBit { .. })));
    assert_eq!(worked("cut_width(bar, 'hand')"), Quantity::mm(12.7));
    assert!(matches!(work("cut_width(bar, 'router')"), Err(FormulaError::NoRouter)));
    assert!(matches!(work("cut_width(bar)"), Err(FormulaError::Arguments { .. })));
}

/// The very part is marked at which reading stops.
#[test]
fn what_is_no_formula_says_where() {
    let table = [
        ("bar + ", 5..5),
        ("(bar + 1 in", 11..11),
        ("bar count + 1", 4..9),
        ("bar + $ 2", 6..7),
        ("bar + 1/0 in", 6..7),
        ("½ in + then", 8..12),
    ];
    for (text, at) in table {
        assert_eq!(Formula::read(text).expect_err(text).at, at, "{text}");
    }
    assert_eq!(Template::read("ä {bar +} b").expect_err("no formula").at, 9..9);
    assert_eq!(Template::read("ä {bar").expect_err("no formula").at, 3..4);
}

#[test]
fn signs_of_a_word_processor_are_signs() {
    for (typed, plain) in [
        ("bar × 2", "bar * 2"),
        ("bar ÷ 2", "bar / 2"),
        ("bar − 1 mm", "bar - 1 mm"),
        ("bar – 1 mm", "bar - 1 mm"),
        ("2½ in + bar", "2 1/2 in + bar"),
        ("2 * ½", "2 * 0.5"),
    ] {
        assert_eq!(worked(typed), worked(plain), "{typed}");
    }
    assert_eq!(work("bar ≤ 1 in and bar ≥ 1 mm and bar ≠ 2 mm"), Ok(Value::Truth(true)));
}

/// What goes wrong names both sides.
#[test]
fn units_are_checked() {
    let table = [
        ("bar + count", "can't add a length and a plain number"),
        ("count - bar", "can't subtract a plain number and a length"),
        ("mass + bar", "can't add a mass and a length"),
        ("bar < mass", "can't compare a length and a mass"),
        ("mount = 3", "can't compare the word 'wall' and a plain number"),
        ("min(bar, count)", "can't compare a length and a plain number"),
        ("ceil(bar)", "ceil needs a plain number, not a length"),
        ("sin(2)", "sin needs an angle, not a plain number"),
        ("sqrt(bar)", "the square root of a length has no unit"),
        ("not bar", "\"not\" needs a yes or no, not a length"),
        ("if bar then 1 else 2", "\"if\" needs a yes or no, not a length"),
        ("-mount", "a minus sign needs a figure, not the word 'wall'"),
        ("bar / 0", "division by zero"),
        ("sqrt(-4)", "the result is not a number that can be used"),
        ("sag", "no value is named \"sag\""),
        ("sag(2)", "no function is named \"sag\"; known are min, max"),
        ("ceil(1, 2)", "ceil takes one figure, not 2"),
    ];
    for (text, wanted) in table {
        let error = work(text).expect_err(text).to_string();
        assert!(error.starts_with(wanted), "{text}: {error}");
    }
}

#[test]
fn products_carry_their_units() {
    assert_eq!(worked("2 mm * 3 mm").dimension, Dimension::AREA);
    assert_eq!(worked("6 mm * 3 mm / (2 mm)"), Quantity::mm(9.0));
    assert_eq!(worked("bar / 1 mm").dimension, Dimension::NUMBER);
    // A plain nought is nought in every unit, and nothing else is.
    assert_eq!(worked("bar - 0").dimension, Dimension::LENGTH);
    assert_eq!(work("bar > 0"), Ok(Value::Truth(true)));
}

#[test]
fn a_figure_on_the_limit_is_equal_in_either_unit() {
    for text in ["3/4 in = 19.05 mm", "3/4 in <= 19.05 mm", "19.05 mm >= 3/4 in", "mount = 'wall'"]
    {
        assert_eq!(work(text), Ok(Value::Truth(true)), "{text}");
    }
    for text in ["3/4 in < 19.05 mm", "3/4 in != 19.05 mm", "3/4 in > 19.052 mm", "mount != 'wall'"]
    {
        assert_eq!(work(text), Ok(Value::Truth(false)), "{text}");
    }
}

#[test]
fn what_is_no_formula_says_why() {
    let table = [
        ("", "the formula is empty"),
        ("   ", "the formula is empty"),
        ("1 +", "expected a figure, a name or \"(\" but found the end"),
        ("(1", "expected \")\" but found the end"),
        ("1)", "expected an operator such as + or *, or the end but found \")\""),
        ("bar count", "expected an operator such as + or *, or the end but found \"count\""),
        ("if yes then 1", "expected \"else\" but found the end"),
        ("'open", "a quoted word has no closing quote"),
        ("1 $ 2", "\"$\" has no meaning in a formula"),
        ("1/0 in", "can't read the figure"),
        ("then", "expected a figure, a name or \"(\" but found \"then\""),
        ("1 < 2 < 3", "expected an operator such as + or *, or the end but found \"<\""),
    ];
    for (text, wanted) in table {
        let error = text.parse::<Formula>().expect_err(text).to_string();
        assert!(error.starts_with(wanted), "{text}: {error}");
    }
}

#[test]
fn nesting_is_deep_enough_and_no_deeper() {
    let nested = |depth| format!("{}1{}", "(".repeat(depth), ")".repeat(depth));
    assert_eq!(worked(&nested(40)), Quantity::number(1.0));
    let texts = |times: usize| {
        [
            nested(times),
            format!("{}1", "-".repeat(times)),
            format!("{}yes", "not ".repeat(times)),
            "if ".repeat(times),
            "min(".repeat(times),
        ]
    };
    for text in texts(100) {
        assert_eq!(text.parse::<Formula>(), Err(FormulaError::TooDeep));
    }
    for text in texts(100_000) {
        assert_eq!(text.parse::<Formula>(), Err(FormulaError::TooLong(text.len())));
    }
}

/// A sum is a tree as deep as it is long.
#[test]
fn a_sum_is_long_enough_and_no_longer() {
    let sum = |terms| vec!["1"; terms].join(" + ");
    assert_eq!(worked(&sum(100)), Quantity::number(100.0));
    assert_eq!(sum(200).parse::<Formula>(), Err(FormulaError::TooMany(399)));
    assert_eq!(sum(100_000).parse::<Formula>(), Err(FormulaError::TooLong(399_997)));
}

#[test]
fn texts_take_in_figures_in_the_units_of_the_file() {
    let text: Template = "A bar {bar} thick, {count} of them, {mass}, at {tilt}; {mount}{if count > 9 then ', many' else ''}.".parse().expect("a text");
    let inches = text.fill(&shed(), Units::Inches).expect("figures");
    assert_eq!(inches, "A bar 3/8 in thick, 7 of them, 4.6 lb, at 30°; wall.");
    let metric = text.fill(&shed(), Units::Millimeters).expect("figures");
    assert!(metric.starts_with("A bar 9.5 mm thick"), "{metric}");
    assert!("open {bar".parse::<Template>().is_err());
    assert!("nothing {} here".parse::<Template>().is_err());
}
