//! Schemas beside the readers they tell of: the same keys in every table, and all files at hand conform. A validator of
//! its own reads them in `tests/outside/test_schema.py`.

use std::collections::BTreeSet;

use miette::Diagnostic;
use serde::de::DeserializeOwned;
use serde_json::{Map, Value, json};

use super::words::files;
use crate::inventory::{ToolsFile, default_tools};
use crate::length::{UNIT_WORDS, Units, read_unit};
use crate::reading::Source;
use crate::schema::FileSchema;
use crate::shop::{ShopFile, default_shop};
use crate::style::{HolderKeys, Library, StyleFile, start};
use crate::wall::{WallKeys, default_wall};
use crate::{Inputs, Problem};

/// What no key is called, nor like.
const STRANGE: &str = "zzzz";

fn schema(of: &FileSchema) -> Value {
    serde_json::from_str(&of.to_string()).unwrap()
}

/// Every schema, by what it is of.
fn all() -> Vec<(String, Value)> {
    let inputs = Inputs::new();
    let kinds = [
        ("holder", FileSchema::holder()),
        ("style", FileSchema::style()),
        ("shop", FileSchema::shop()),
        ("tools", FileSchema::tools(&inputs)),
        ("wall", FileSchema::wall()),
    ];
    let mut all: Vec<_> = kinds.map(|(name, of)| (name.to_owned(), schema(&of))).into();
    for name in Library::built_in().names() {
        for units in [Units::Inches, Units::Millimeters] {
            let of = FileSchema::holder_of(&inputs, name, units).unwrap();
            all.push((name.to_owned(), schema(&of)));
        }
    }
    all
}

/// The schema itself, or the one that it refers to.
fn resolved<'s>(root: &'s Value, schema: &'s Value) -> &'s Value {
    match schema.get("$ref").and_then(Value::as_str) {
        Some(at) => root.pointer(at.trim_start_matches('#')).unwrap(),
        None => schema,
    }
}

fn list<'s>(schema: &'s Value, key: &str) -> &'s [Value] {
    schema.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn properties(schema: &Value) -> impl Iterator<Item = (&String, &Value)> {
    schema.get("properties").and_then(Value::as_object).into_iter().flatten()
}

/// Each closed table in a schema: the file that has a strange key there, and the keys that the table has. `within`
/// makes a file of what stands at this place.
fn tables(
    root: &Value,
    schema: &Value,
    within: &dyn Fn(Value) -> Value,
    found: &mut Vec<(Value, BTreeSet<String>)>,
) {
    let schema = resolved(root, schema);
    if schema.get("additionalProperties") == Some(&json!(false)) {
        let keys = properties(schema).map(|(key, _)| key.clone()).collect();
        found.push((within(json!({ STRANGE: 1 })), keys));
    }
    for (key, inner) in properties(schema) {
        tables(root, inner, &|value| within(json!({ key: value })), found);
    }
    if let Some(each) = schema.get("additionalProperties").filter(|each| each.is_object()) {
        tables(root, each, &|value| within(json!({ "one": value })), found);
    }
    if let Some(items) = schema.get("items") {
        let times = schema.get("minItems").and_then(Value::as_u64).unwrap_or(1) as usize;
        tables(root, items, &|value| within(json!(vec![value; times])), found);
    }
    for way in list(schema, "anyOf") {
        tables(root, way, within, found);
    }
    // Of tables that stand for words, all together are the keys.
    let tagged: Vec<&Value> =
        list(schema, "oneOf").iter().filter(|way| way["type"] == "object").collect();
    if !tagged.is_empty() {
        let keys = tagged.iter().flat_map(|way| properties(way)).map(|(key, _)| key.clone());
        found.push((within(json!({ STRANGE: 1 })), keys.collect()));
    }
    for (key, inner) in tagged.into_iter().flat_map(properties) {
        tables(root, inner, &|value| within(json!({ key: value })), found);
    }
}

/// The keys that the reader says it knows in the place of the strange one.
fn known<T: DeserializeOwned>(file: &Value) -> BTreeSet<String> {
    let text = toml::to_string(file).unwrap();
    let (_, problems) = Source::new("file.toml", text.as_str()).parse_all::<T>();
    let of_strange = |problem: &&Problem| problem.to_string().contains(STRANGE);
    let told =
        problems.iter().find(of_strange).unwrap_or_else(|| panic!("nothing said of\n{text}"));
    let help = told.help().unwrap().to_string();
    let names = help.strip_prefix("known here: ").or(help.strip_prefix("write one of: "));
    names.unwrap_or_else(|| panic!("{help}")).split(", ").map(str::to_owned).collect()
}

/// How many tables were compared.
fn alike<T: DeserializeOwned>(of: &FileSchema) -> usize {
    let (root, mut found) = (schema(of), Vec::new());
    tables(&root, &root, &|value| value, &mut found);
    for (file, keys) in &found {
        assert_eq!(known::<T>(file), *keys, "{file}");
    }
    found.len()
}

#[test]
fn schema_and_reader_know_the_same_keys_in_every_table() {
    assert_eq!(alike::<ShopFile>(&FileSchema::shop()), 14);
    assert_eq!(alike::<WallKeys>(&FileSchema::wall()), 11);
    assert_eq!(alike::<HolderKeys>(&FileSchema::holder()), 1);
    assert!(alike::<StyleFile>(&FileSchema::style()) > 200);
    // The rows of an inventory are read by another reader.
    let mut tools = schema(&FileSchema::tools(&Inputs::new()));
    tools["properties"]["tool"]["items"] = json!({});
    let mut found = Vec::new();
    tables(&tools, &tools, &|value| value, &mut found);
    let [(file, keys)] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(known::<ToolsFile>(file), *keys);
}

/// Every property by its path.
fn each_property(at: &str, schema: &Value, told: &mut dyn FnMut(String, &Value)) {
    match schema {
        Value::Object(keys) => {
            properties(schema).for_each(|(key, said)| told(format!("{at}/{key}"), said));
            keys.iter().for_each(|(key, inner)| each_property(&format!("{at}/{key}"), inner, told));
        }
        Value::Array(values) => values.iter().for_each(|inner| each_property(at, inner, told)),
        _ => {}
    }
}

/// But for the names of edges and of outlines, whose tables are told.
#[test]
fn schemas_say_what_every_key_is_for() {
    for (name, schema) in all() {
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        each_property(&name, &schema, &mut |at, said| {
            let told = said.get("description").and_then(Value::as_str);
            let named = at.contains("/edges/") || at.contains("/OutlineSpec/");
            assert!(
                named || told.is_some_and(|told| told.ends_with(['.', '?', '…'])),
                "{at}: {said}"
            );
        });
    }
}

#[test]
fn every_word_of_a_unit_is_read() {
    for (size, dimension, words) in UNIT_WORDS {
        for word in words {
            let unit = read_unit(word).unwrap();
            assert_eq!((unit.value, unit.dimension), (size, dimension), "{word}");
        }
    }
}

/// What is wrong with a value by a schema, as far as types, keys, words and ways go: figures and lengths are left out.
fn fault(root: &Value, schema: &Value, value: &Value) -> Option<String> {
    let of = |inner: &Value, value: &Value| fault(root, inner, value);
    let meant = resolved(root, schema);
    let ways = list(meant, "anyOf").iter().chain(list(meant, "oneOf"));
    if ways.clone().count() > 0 && ways.clone().all(|way| of(way, value).is_some()) {
        return Some(format!("{value} is none of {:?}", ways.collect::<Vec<_>>()));
    }
    let is = |name: &str| match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "integer" => value.as_f64().is_some_and(|value| value.fract() == 0.0),
        _ => value.is_number(),
    };
    let types = match &meant["type"] {
        Value::String(one) => vec![one.as_str()],
        types => types.as_array().into_iter().flatten().filter_map(Value::as_str).collect(),
    };
    let word = meant.get("const").is_none_or(|word| word == value);
    let words = list(meant, "enum");
    if !types.is_empty() && !types.into_iter().any(is)
        || !word
        || !words.is_empty() && !words.contains(value)
    {
        return Some(format!("{value} is not {meant}"));
    }
    let no_keys = Map::new();
    let keys = value.as_object().unwrap_or(&no_keys);
    let lacks = |key: &&Value| !keys.contains_key(key.as_str().unwrap());
    if let Some(key) = list(meant, "required").iter().find(lacks).filter(|_| value.is_object()) {
        return Some(format!("{key} is missing in {value}"));
    }
    let other = meant.get("additionalProperties").cloned().unwrap_or(json!({}));
    let inner = keys.iter().find_map(|(key, value)| match (&meant["properties"][key], &other) {
        (Value::Null, Value::Bool(false)) => Some(format!("{key} is not known")),
        (Value::Null, other) => of(other, value),
        (said, _) => of(said, value),
    });
    let entries = value.as_array().into_iter().flatten();
    inner.or(entries.filter_map(|entry| of(meant.get("items")?, entry)).next())
}

#[track_caller]
fn conforms(schema: &Value, name: &str, text: &str) {
    let value = serde_json::to_value(toml::from_str::<toml::Table>(text).unwrap()).unwrap();
    assert_eq!(fault(schema, schema, &value), None, "{name}");
}

#[test]
fn all_files_at_hand_conform() {
    let kinds = [
        ("holder", FileSchema::holder(), vec!["samples/boat-shed/holders"]),
        ("style", FileSchema::style(), vec!["templates", "templates/groups", "templates/try"]),
    ];
    for (kind, of, folders) in kinds {
        let of = schema(&of);
        let found: Vec<_> = folders.iter().flat_map(|folder| files(folder, "toml")).collect();
        assert!(found.len() > 10, "{kind}");
        found.iter().for_each(|(path, text)| conforms(&of, path, text));
    }
    let [shop, tools, wall] =
        [FileSchema::shop(), FileSchema::tools(&Inputs::new()), FileSchema::wall()];
    for (of, name) in [(&shop, "shop"), (&tools, "tools"), (&wall, "wall")] {
        let path = format!("samples/boat-shed-plan/{name}.toml");
        conforms(&schema(of), &path, &std::fs::read_to_string(&path).unwrap());
    }
}

#[test]
fn what_a_project_begins_with_conforms() {
    for units in [Units::Inches, Units::Millimeters] {
        conforms(&schema(&FileSchema::shop()), "shop", default_shop(units));
        conforms(&schema(&FileSchema::tools(&Inputs::new())), "tools", default_tools(units));
        conforms(&schema(&FileSchema::wall()), "wall", default_wall(units));
        for name in Library::built_in().names() {
            let style = Library::built_in().style(name).unwrap().unwrap();
            // A count that is still to be filled in is no TOML.
            let text = start(&style, units).replace("= \n", "= 1\n");
            let own = FileSchema::holder_of(&Inputs::new(), name, units).unwrap();
            conforms(&schema(&FileSchema::holder()), name, &text);
            conforms(&schema(&own), name, &text);
        }
    }
}

#[test]
fn the_small_check_finds_faults() {
    let shop = schema(&FileSchema::shop());
    for wrong in
        ["unit = \"in\"", "units = \"inch\"", "[saw]\nkerf = true", "[saw]\ntrim = 1", "[[saw]]"]
    {
        let value = serde_json::to_value(toml::from_str::<toml::Table>(wrong).unwrap()).unwrap();
        assert!(fault(&shop, &shop, &value).is_some(), "{wrong}");
    }
}
