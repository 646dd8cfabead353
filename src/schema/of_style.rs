//! What a style asks in a holder file, key by key.

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value};

use crate::length::Units;
use crate::reading::{AsScrew, Kind, shape_of};
use crate::style::{Choice, ChoiceKind, Expr, Many, Measure, Style, choice_told, measure_told};

type Keys = Map<String, Value>;

/// The measures and the choices of `style`.
pub(super) fn asked(style: &Style, units: Units, generator: &mut SchemaGenerator) -> [Keys; 2] {
    let (mut measures, mut choices) = (Keys::new(), Keys::new());
    for (name, measure, _) in style.measures() {
        let told = measure_told(style, measure, units);
        let shape = self::measure(measure, generator);
        measures.insert(name.to_owned(), described(shape, told));
    }
    for (name, choice, _) in style.choices() {
        let told = choice_told(style, choice, units);
        let said = described(self::choice(choice, generator), told);
        if let Some(formerly) = &choice.formerly {
            choices.insert(formerly.clone(), deprecated(said.clone()));
        }
        choices.insert(name.to_owned(), said);
    }
    [measures, choices]
}

fn described(mut shape: Schema, told: String) -> Value {
    shape.insert("description".to_owned(), told.into());
    shape.to_value()
}

fn deprecated(mut said: Value) -> Value {
    if let Some(keys) = said.as_object_mut() {
        keys.insert("deprecated".to_owned(), true.into());
    }
    said
}

/// One that has a default may be a formula too.
fn measure(measure: &Measure, generator: &mut SchemaGenerator) -> Schema {
    let one = reading(measure, generator);
    let whole = match &measure.default {
        Some(_) => or_formula(measure.kind, &measure.range),
        None => one.clone(),
    };
    listed(measure.many(), whole, &one)
}

/// A single figure read off the tool.
pub(super) fn reading(measure: &Measure, generator: &mut SchemaGenerator) -> Schema {
    if least(&measure.range).is_some_and(|least| least < 0.0) {
        return or_formula(measure.kind, &measure.range);
    }
    bounded(shape_of(measure.kind, generator), measure.kind, &measure.range)
}

fn choice(choice: &Choice, generator: &mut SchemaGenerator) -> Schema {
    let one = match (choice.kind, choice.kind.figure(), &choice.range) {
        (_, Some(kind), Some(range)) => or_formula(kind, range),
        (ChoiceKind::Word, ..) => json_schema!({ "enum": choice.options }),
        (ChoiceKind::Screw, ..) => generator.subschema_for::<AsScrew>(),
        _ => return json_schema!({ "type": "string" }),
    };
    listed(choice.many(), one.clone(), &one)
}

/// A figure or a formula: any text, for a formula may begin as it likes.
fn or_formula(kind: Kind, range: &[Expr; 2]) -> Schema {
    let shape = match kind {
        Kind::Length | Kind::Number => json_schema!({ "type": ["number", "string"] }),
        Kind::Count => json_schema!({ "type": ["integer", "string"] }),
        Kind::Mass | Kind::Angle => json_schema!({ "type": "string" }),
    };
    bounded(shape, kind, range)
}

/// A bare length is in the units of the file, which decide what is too much of it: that is left to the reader.
fn bounded(mut shape: Schema, kind: Kind, range: &[Expr; 2]) -> Schema {
    if matches!(kind, Kind::Count | Kind::Number) {
        for (key, bound) in ["minimum", "maximum"].into_iter().zip(range) {
            if let Some(bound) = bound.constant(Units::default()) {
                shape.insert(key.to_owned(), bound.value.into());
            }
        }
    }
    shape
}

fn least([least, _]: &[Expr; 2]) -> Option<f64> {
    least.constant(Units::default()).map(|least| least.value)
}

/// A value that may be a list is one for all, or one each.
fn listed(many: Many<'_>, whole: Schema, one: &Schema) -> Schema {
    match many {
        Many::One => whole,
        _ => json_schema!({ "anyOf": [whole, { "type": "array", "items": one }] }),
    }
}
