//! Whether a file's texts, lists and tables are within the limits, before anything is made of them.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::{Problem, Source};
use crate::limits;

/// The first thing in the file that is beyond a limit. What is no TOML is left to its reader.
pub(super) fn beyond(source: &Source) -> Option<Problem> {
    if let Some(message) =
        limits::too_long("the file", source.text().len() as u64, limits::FILE_BYTES)
    {
        return Some(source.problem(0..0, message));
    }
    let document = DeTable::parse(source.text()).ok()?;
    let (at, message) = table(document.get_ref(), &document.span())?;
    Some(source.problem(at.start..at.start, message))
}

type Beyond = (Range<usize>, String);

fn table(table: &DeTable<'_>, at: &Range<usize>) -> Option<Beyond> {
    many(table.len(), "keys in one table", at).or_else(|| {
        table
            .iter()
            .find_map(|(key, inner)| text(key.get_ref(), &key.span()).or_else(|| value(inner)))
    })
}

/// The reader lets no more than 80 lists and tables stand within one another.
fn value(spanned: &Spanned<DeValue<'_>>) -> Option<Beyond> {
    let at = spanned.span();
    match spanned.get_ref() {
        DeValue::String(said) => text(said, &at),
        DeValue::Array(entries) => many(entries.len(), "entries in one list", &at)
            .or_else(|| entries.iter().find_map(value)),
        DeValue::Table(inner) => table(inner, &at),
        _ => None,
    }
}

fn text(said: &str, at: &Range<usize>) -> Option<Beyond> {
    let has = said.chars().count();
    (has > limits::TEXT)
        .then(|| (at.clone(), format!("a text of {has} characters; at most {}", limits::TEXT)))
}

fn many(has: usize, what: &str, at: &Range<usize>) -> Option<Beyond> {
    (has > limits::ENTRIES)
        .then(|| (at.clone(), format!("{has} {what}; at most {}", limits::ENTRIES)))
}
