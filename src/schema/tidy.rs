//! What schemas made of a reader's types say too much.

use schemars::Schema;
use serde_json::{Map, Value};

/// Without what has no meaning here: TOML has no null, no value has a format, and a description is one line.
pub(super) fn tidied(schema: &mut Schema) {
    let Some(keys) = schema.as_object_mut() else { return };
    keys.shift_remove("format");
    if let Some(Value::String(text)) = keys.get_mut("description") {
        *text = text.replace('\n', " ");
    }
    for list in ["type", "enum", "anyOf"] {
        without_null(keys, list);
    }
    alone(keys);
}

fn without_null(keys: &mut Map<String, Value>, list: &str) {
    let is_null = |value: &Value| {
        value.is_null() || value == "null" || value.get("type").is_some_and(|is| is == "null")
    };
    if let Some(Value::Array(values)) = keys.get_mut(list) {
        values.retain(|value| !is_null(value));
    }
}

/// One type by itself, and what is left of two by itself.
fn alone(keys: &mut Map<String, Value>) {
    if let Some([one]) = keys.get("type").and_then(Value::as_array).map(Vec::as_slice) {
        let one = one.clone();
        keys.insert("type".to_owned(), one);
    }
    let of_one = |list: &Value| match list.as_array().map(Vec::as_slice) {
        Some([Value::Object(one)]) => Some(one.clone()),
        _ => None,
    };
    if let Some(one) = keys.get("anyOf").and_then(of_one) {
        keys.shift_remove("anyOf");
        one.into_iter().for_each(|(key, value)| {
            keys.entry(key).or_insert(value);
        });
    }
}
