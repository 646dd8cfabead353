//! A value with the place it was read from.

use std::borrow::Borrow;
use std::borrow::Cow;
use std::ops::Range;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::Deserializer;

/// A value with the bytes of the file it was read from. It is equal to one that stands elsewhere, and a schema tells
/// of the value alone: the reader of TOML has a type for this that schemas do not know.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Spanned<T>(toml::Spanned<T>);

impl<T> Spanned<T> {
    /// `value`, which stands at `span`.
    pub(crate) fn new(span: Range<usize>, value: T) -> Self {
        Self(toml::Spanned::new(span, value))
    }

    /// The bytes it was read from.
    pub(crate) fn span(&self) -> Range<usize> {
        self.0.span()
    }

    /// The value.
    pub(crate) fn get_ref(&self) -> &T {
        self.0.get_ref()
    }

    /// The value alone.
    pub(crate) fn into_inner(self) -> T {
        self.0.into_inner()
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        toml::Spanned::deserialize(deserializer).map(Self)
    }
}

impl Borrow<str> for Spanned<String> {
    fn borrow(&self) -> &str {
        self.get_ref()
    }
}

impl<T: JsonSchema> JsonSchema for Spanned<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}
