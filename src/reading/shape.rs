//! How values look to what checks a file without this program: the pieces of its JSON Schema (draft 2020-12).
//!
//! A reader's own tables say their keys. What a figure is their types do not tell: there the key names a shape, as in
//! `#[schemars(with = "AsLength")]`. An [`Entry`](super::Entry) has no shape, and without one nothing compiles.
#![expect(dead_code, reason = "shapes stand for values in schemas alone")]

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Value, json};

use super::Kind;
use crate::length::{Dimension, KG_PER_POUND, MM_PER_FOOT, MM_PER_INCH, UNIT_WORDS};

/// A length as the tape reads; a bare one is in the units of the file.
#[derive(JsonSchema)]
#[schemars(rename = "length", transform = figure(Kind::Length))]
pub(crate) struct AsLength;

/// A mass with its unit.
#[derive(JsonSchema)]
#[schemars(rename = "mass", transform = figure(Kind::Mass))]
pub(crate) struct AsMass;

/// An angle with its unit.
#[derive(JsonSchema)]
#[schemars(rename = "angle", transform = figure(Kind::Angle))]
pub(crate) struct AsAngle;

/// A whole number.
#[derive(JsonSchema)]
#[schemars(rename = "count", transform = figure(Kind::Count))]
pub(crate) struct AsCount;

/// A number.
#[derive(JsonSchema)]
#[schemars(rename = "number", transform = figure(Kind::Number))]
pub(crate) struct AsNumber;

/// A wood screw as it is bought: by number or by thread, perhaps with its length.
#[derive(JsonSchema)]
#[schemars(rename = "screw", extend("type" = ["number", "string"], "exclusiveMinimum" = 0))]
#[schemars(extend("examples" = [8, "#8 x 1 1/4", "4x40"]))]
pub(crate) struct AsScrew;

/// A formula: a figure, or arithmetic on names.
#[derive(JsonSchema)]
#[schemars(untagged, inline, description = "")]
pub(crate) enum AsFormula {
    Plain(AsPlain),
    Systems(AsSystems),
}

/// A text or a number.
#[derive(JsonSchema)]
#[schemars(inline, description = "", extend("type" = ["string", "number"]))]
pub(crate) struct AsPlain;

/// One for each system of units.
#[derive(JsonSchema)]
#[schemars(rename = "either", deny_unknown_fields)]
pub(crate) struct AsSystems {
    /// In a project in inches.
    r#in: AsPlain,
    /// In one in mm.
    mm: AsPlain,
}

/// So many formulas: a list, or one text with commas between them.
#[derive(JsonSchema)]
#[schemars(untagged, inline, description = "")]
pub(crate) enum AsFigures<const COUNT: usize> {
    Text(#[schemars(extend("pattern" = ","))] String),
    List(#[schemars(length(min = COUNT, max = COUNT))] Vec<AsFormula>),
}

/// What a holder file may say for a measure or choice of some style.
#[derive(JsonSchema)]
#[schemars(rename = "value", extend("type" = ["string", "number", "boolean", "array"]))]
#[schemars(extend("items" = { "type": ["string", "number", "boolean"] }))]
pub(crate) struct AsValue;

/// One thing or another.
#[derive(JsonSchema)]
#[schemars(untagged, inline, description = "")]
pub(crate) enum AsEither<One, Other> {
    One(One),
    Other(Other),
}

/// A figure of `kind` in a schema.
pub(crate) fn shape_of(kind: Kind, generator: &mut SchemaGenerator) -> Schema {
    match kind {
        Kind::Length => generator.subschema_for::<AsLength>(),
        Kind::Mass => generator.subschema_for::<AsMass>(),
        Kind::Angle => generator.subschema_for::<AsAngle>(),
        Kind::Count => generator.subschema_for::<AsCount>(),
        Kind::Number => generator.subschema_for::<AsNumber>(),
    }
}

/// What a figure of `kind` may be, whatever reads it: as [`super::figure`] takes it.
fn figure(kind: Kind) -> impl FnMut(&mut Schema) {
    let (types, text, examples) = match kind {
        Kind::Length => {
            let examples = json!(["1 1/8", "5/16 in", "4' 6 1/2\"", "28 mm"]);
            (json!(["number", "string"]), length(), examples)
        }
        Kind::Mass => (json!("string"), mass(), json!(["2.1 kg", "850 g", "4 lb 6 oz"])),
        Kind::Angle => (json!("string"), angle(), json!(["45 deg"])),
        Kind::Count => (json!(["integer", "string"]), bare(false), json!([7])),
        Kind::Number => (json!(["number", "string"]), bare(false), json!([1.5])),
    };
    move |schema| {
        schema.insert("type".to_owned(), types.clone());
        schema.insert("pattern".to_owned(), format!("^\\s*{text}\\s*$").into());
        schema.insert("minimum".to_owned(), 0.into());
        schema.insert("examples".to_owned(), examples.clone());
    }
}

/// Any of `words` in any case, in lower case for an editor to offer.
pub(crate) fn in_any_case(words: &[&str]) -> Value {
    let spelled: Vec<String> = words.iter().map(|word| either_case(word)).collect();
    json!([{ "enum": words }, { "pattern": format!("^({})$", spelled.join("|")) }])
}

/// The key `key` under its name of before too.
pub(crate) fn formerly(key: &'static str, before: &'static str) -> impl FnMut(&mut Schema) {
    move |schema| {
        let Some(keys) = schema.get_mut("properties").and_then(Value::as_object_mut) else {
            return;
        };
        let Some(mut meant) = keys.get(key).cloned() else { return };
        if let Some(said) = meant.as_object_mut() {
            said.insert("deprecated".to_owned(), true.into());
        }
        keys.insert(before.to_owned(), meant);
    }
}

/// One character that is a fraction, as `length::read` knows them.
const VULGAR: &str = "[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]";
/// One hyphen or dash between two figures.
const DASH: &str = "[-‐‑‒–—]";
const SLASH: &str = "[/⁄∕]";

/// A number without a unit; without a fraction behind a whole number where it is `plain`.
fn bare(plain: bool) -> String {
    let simple = format!("[0-9]+\\.[0-9]*|\\.[0-9]+|[0-9]+{SLASH}[0-9]+|[0-9]+|{VULGAR}");
    if plain {
        return format!("(?:{simple})");
    }
    let mixed = format!("[0-9]+(?:{DASH}|\\s*){VULGAR}|[0-9]+(?:{DASH}|\\s+)[0-9]+{SLASH}[0-9]+");
    format!("(?:{mixed}|{simple})")
}

/// The words of units of `dimension` whose size `is` so, in either case, perhaps with the full stop of an abbreviation.
fn unit(dimension: Dimension, is: impl Fn(f64) -> bool) -> String {
    let units = UNIT_WORDS.into_iter().filter(|(size, of, _)| *of == dimension && is(*size));
    let words: Vec<String> = units.flat_map(|(.., words)| words).map(|w| either_case(w)).collect();
    format!("(?:{})\\.?", words.join("|"))
}

/// A word in either case; one letter alone is a unit only as it is.
fn either_case(word: &str) -> String {
    if word.chars().count() == 1 {
        return word.to_owned();
    }
    let either = |c: char| match c.is_ascii_alphabetic() {
        true => format!("[{}{}]", c.to_ascii_lowercase(), c.to_ascii_uppercase()),
        false => c.to_string(),
    };
    word.chars().map(either).collect()
}

fn length() -> String {
    let of = |size: f64| unit(Dimension::LENGTH, |other| other == size);
    let inch = format!("(?:[\"″”“]|''|′′|’’|‘‘|{})", of(MM_PER_INCH));
    let foot = format!("(?:['′’‘]|{})", of(MM_PER_FOOT));
    let metric = unit(Dimension::LENGTH, |size| ![MM_PER_INCH, MM_PER_FOOT].contains(&size));
    let (any, plain) = (bare(false), bare(true));
    let with_inches = format!("(?:(?:{DASH}|\\s*){any}\\s*{inch})?");
    format!("(?:{any}(?:\\s*{inch}|\\s*{foot}{with_inches})?|{plain}\\s*{metric})")
}

/// Ounces may follow pounds.
fn mass() -> String {
    let (any, all) = (bare(false), unit(Dimension::MASS, |_| true));
    let pound = unit(Dimension::MASS, |size| size == KG_PER_POUND);
    let ounce = unit(Dimension::MASS, |size| size == KG_PER_POUND / 16.0);
    format!("{any}\\s*(?:{all}|{pound}(?:{DASH}|\\s*){any}\\s*{ounce})")
}

fn angle() -> String {
    format!("{}\\s*(?:°|{})", bare(false), unit(Dimension::ANGLE, |_| true))
}
