//! The parameter file of one holder.

use std::sync::Arc;

use indexmap::IndexMap;
use serde::Deserialize;

use super::library::{Library, Style};
use crate::length::Units;
use crate::limits;
use crate::reading::{Entry, Problem, Source, Spanned, nearest};

/// What one holder file says.
#[derive(Debug, Clone)]
pub struct HolderFile {
    pub source: Source,
    /// Name of the holder: the file's name, made safe as a folder name.
    pub name: String,
    /// What a person calls it.
    pub title: String,
    /// What bare lengths are in; `None` when the file does not say.
    pub units: Option<Units>,
    pub style: Arc<Style>,
    pub measures: Entries,
    pub choices: Entries,
    /// Where a missing measure is asked for: the line of the style.
    pub style_span: std::ops::Range<usize>,
}

/// Values by name, as they stand in the file.
pub type Entries = IndexMap<Spanned<String>, Spanned<Entry>>;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Raw {
    style: Spanned<String>,
    title: Option<Spanned<String>>,
    units: Option<Units>,
    #[serde(default)]
    measures: Entries,
    #[serde(default)]
    choices: Entries,
}

impl HolderFile {
    /// Reads a holder file called `name`.
    ///
    /// # Errors
    /// When a key or the style is unknown, or a measure or choice is not one of the style's.
    pub fn read(source: Source, name: &str, library: &Library) -> Result<Self, Problem> {
        let raw: Raw = source.parse()?;
        let style_name = raw.style.get_ref();
        let style = library.style(style_name)?.ok_or_else(|| {
            let message = format!("style: there is no style \"{style_name}\"");
            source.problem(raw.style.span(), message).with_help(library.advice(style_name))
        })?;
        if let Some(title) = &raw.title {
            let letters = title.get_ref().chars().count();
            if letters > limits::NAME {
                let message = format!(
                    "title: it has {letters} characters, and {} are the most",
                    limits::NAME
                );
                return Err(source.problem(title.span(), message));
            }
        }
        let measures: Vec<&str> = style.measures().map(|(name, _, _)| name).collect();
        let choices: Vec<&str> = style.choices().map(|(name, _, _)| name).collect();
        known(&source, "measures", &raw.measures, &measures, &choices)?;
        known(&source, "choices", &raw.choices, &choices, &measures)?;
        Ok(Self {
            name: name.to_owned(),
            title: one_line(raw.title.as_ref().map_or(&style.own().title, |title| title.get_ref())),
            units: raw.units,
            style: Arc::new(style),
            measures: raw.measures,
            choices: raw.choices,
            style_span: raw.style.span(),
            source,
        })
    }
}

impl HolderFile {
    /// The same file with one choice set to `value`, as if it stood where the style is named.
    #[must_use]
    pub fn with_choice(&self, name: &str, value: Entry) -> Self {
        let mut file = self.clone();
        file.choices.retain(|known, _| known.get_ref() != name);
        let at = self.style_span.clone();
        file.choices.insert(Spanned::new(at.clone(), name.to_owned()), Spanned::new(at, value));
        file
    }
}

/// Drawings have one line for a title: breaks and runs of spaces become one space.
fn one_line(title: &str) -> String {
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect();
    words.join(" ")
}

fn known(
    source: &Source,
    table: &str,
    entries: &Entries,
    names: &[&str],
    elsewhere: &[&str],
) -> Result<(), Problem> {
    for name in entries.keys() {
        let text = name.get_ref().as_str();
        if names.contains(&text) {
            continue;
        }
        let message = format!("{table}.{text}: this style has no such name among its {table}");
        let other = if table == "measures" { "choices" } else { "measures" };
        let help = if elsewhere.contains(&text) {
            format!("it is one of the {other}: move it under [{other}]")
        } else {
            nearest(text, names)
        };
        return Err(source.problem(name.span(), message).with_help(help));
    }
    Ok(())
}
