//! The readings of a tool in the inventory, key by key.

use schemars::{Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value};

use super::of_style::reading;
use crate::inventory::ReadingNames;

/// Each reading that some style asks for. One that styles ask for as figures of several kinds may be any of these.
pub(super) fn asked(names: &ReadingNames, generator: &mut SchemaGenerator) -> Map<String, Value> {
    let each = names.asked().map(|(name, measures)| {
        let shapes: Vec<Schema> = measures.iter().map(|m| reading(m, generator)).collect();
        let mut shape = match shapes.as_slice() {
            [one] => one.clone(),
            shapes => json_schema!({ "anyOf": shapes }),
        };
        if let Some(measure) = measures.first() {
            shape.insert("description".to_owned(), measure.ask.clone().into());
        }
        (name.to_owned(), shape.to_value())
    });
    each.collect()
}
