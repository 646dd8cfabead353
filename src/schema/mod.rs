//! JSON Schemas (draft 2020-12) of the files that a person writes, for editors and for checks without this program.
//!
//! Their keys are those of the readers' own tables, so that a reader and its schema can't drift apart. What hangs on more
//! than one key, such as which keys exclude each other, is left to the reader.

mod of_style;
mod readings;
mod tidy;

use std::fmt;

use schemars::generate::{SchemaGenerator, SchemaSettings};
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

use crate::inputs::Inputs;
use crate::inventory::{ReadingNames, ToolsFile};
use crate::length::Units;
use crate::reading::Problem;
use crate::shop::ShopFile;
use crate::style::{HolderKeys, Library, StyleFile, Styles};
use crate::wall::WallKeys;

/// The schema of one kind of file. It is written as JSON.
#[derive(Debug, Clone, PartialEq)]
pub struct FileSchema(Schema);

impl FileSchema {
    /// Of a holder file of whatever style.
    pub fn holder() -> Self {
        Self::of::<HolderKeys>("Holder file", generator())
    }

    /// Of a holder file of the style called `name`, with its measures and choices, told in `units`.
    ///
    /// # Errors
    /// When there is none of that name, or its file is wrong.
    pub fn holder_of(inputs: &Inputs, name: &str, units: Units) -> Result<Self, Vec<Problem>> {
        let style = Styles::of(inputs).find(name)?;
        let mut generator = generator();
        let [measures, choices] = of_style::asked(&style, units, &mut generator);
        let mut holder = Self::of::<HolderKeys>("Holder file", generator);
        holder.says(&["style", "const"], name.into());
        for (table, keys) in [("measures", measures), ("choices", choices)] {
            holder.says(&[table, "properties"], keys.into());
            holder.says(&[table, "additionalProperties"], false.into());
        }
        Ok(holder)
    }

    /// Of a style file, of a group of parts, and of the vocabulary.
    pub fn style() -> Self {
        Self::of::<StyleFile>("Style file", generator())
    }

    /// Of a shop file.
    pub fn shop() -> Self {
        Self::of::<ShopFile>("Shop file", generator())
    }

    /// Of an inventory, with the readings of all styles.
    pub fn tools(inputs: &Inputs) -> Self {
        let names = ReadingNames::of(&Library::with(inputs));
        let mut generator = generator();
        let readings = readings::asked(&names, &mut generator);
        let mut tools = Self::of::<ToolsFile>("Inventory", generator);
        readings.into_iter().for_each(|(name, reading)| {
            tools.says(&["tool", "items", "properties", &name], reading);
        });
        tools
    }

    /// Of a wall file.
    pub fn wall() -> Self {
        Self::of::<WallKeys>("Wall file", generator())
    }

    fn of<T: JsonSchema>(title: &str, generator: SchemaGenerator) -> Self {
        let mut schema = generator.into_root_schema_for::<T>();
        schema.insert("title".to_owned(), title.into());
        Self(schema)
    }

    /// Puts `value` where `path` leads among the properties of the file.
    fn says(&mut self, path: &[&str], value: Value) {
        let properties = self.0.get_mut("properties");
        let Some((last, before)) = path.split_last() else { return };
        let table = before.iter().try_fold(properties, |at, key| Some(at?.get_mut(key)));
        if let Some(table) = table.flatten().and_then(Value::as_object_mut) {
            table.insert((*last).to_owned(), value);
        }
    }
}

impl fmt::Display for FileSchema {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{:#}", self.0.as_value())
    }
}

fn generator() -> SchemaGenerator {
    let settings = SchemaSettings::draft2020_12();
    settings.with_transform(RecursiveTransform(tidy::tidied)).into_generator()
}
