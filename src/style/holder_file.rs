//! The parameter file of one holder.

use std::collections::BTreeSet;
use std::sync::Arc;

use indexmap::IndexMap;
use serde::Deserialize;

use super::library::{Library, Style};
use crate::length::Units;
use crate::limits;
use crate::reading::{Entry, Problem, Problems, Source, Spanned, nearest, nearest_name};

/// What one holder file says.
#[derive(Debug, Clone)]
pub(crate) struct HolderFile {
    pub source: Source,
    /// Name of the holder: the file's name, made safe as a folder name.
    pub name: String,
    /// What a person calls it.
    pub title: String,
    /// What bare lengths are in; `None` when the file does not say.
    pub units: Option<Units>,
    /// Whether the holder hangs already: nothing more is cut or bought for it.
    pub built: bool,
    /// What it takes from another file, where it is read from the record of how the holder was made.
    pub as_made: Option<Arc<AsMade>>,
    pub style: Arc<Style>,
    pub measures: Entries,
    pub choices: Entries,
    /// Where a missing measure is asked for: the line of the style.
    pub style_span: std::ops::Range<usize>,
    /// What is wrong with its keys; told together with what is wrong with its values.
    pub wrong: Problems,
}

/// Values by name, as they stand in the file.
pub(crate) type Entries = IndexMap<Spanned<String>, Spanned<Entry>>;

/// What a holder that was made takes from elsewhere than its record.
#[derive(Debug, Clone)]
pub(crate) struct AsMade {
    /// The person's file as it is now.
    pub now: HolderFile,
    /// The measures and choices that are read from it.
    pub follows: BTreeSet<String>,
    /// The choices that were left open when it was made.
    pub left_open: Vec<String>,
    /// What its middle was marked for, such as "over a stud".
    pub middle: Option<String>,
}

/// What stands in a holder file, key by key.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HolderKeys {
    pub style: Spanned<String>,
    pub title: Option<Spanned<String>>,
    pub units: Option<Units>,
    #[serde(default)]
    pub built: bool,
    #[serde(default)]
    pub measures: Entries,
    #[serde(default)]
    pub choices: Entries,
}

impl HolderFile {
    /// Reads a holder file called `name`. A measure or choice that is not one of the style's is kept
    /// in `wrong`; what is under a misspelled name is read as the one it is nearest to.
    ///
    /// # Errors
    /// When it is no TOML, or there is no such style.
    pub(crate) fn read(source: Source, name: &str, library: &Library) -> Result<Self, Problems> {
        let (keys, wrong) = source.parse_all::<HolderKeys>();
        let Some(keys) = keys else { return Err(wrong) };
        Self::of(keys, (source, name), library, wrong)
    }

    /// The holder file called `name` that says `raw`; `wrong` is what could not be read of it.
    ///
    /// # Errors
    /// When there is no such style.
    pub(crate) fn of(
        mut raw: HolderKeys,
        (source, name): (Source, &str),
        library: &Library,
        mut wrong: Problems,
    ) -> Result<Self, Problems> {
        wrong.keep(short_title(&source, raw.title.as_ref()));
        let style_name = raw.style.get_ref();
        let style = wrong.keep(library.style(style_name)).map(|style| {
            let message = format!("style: there is no style \"{style_name}\"");
            let none = source.problem(raw.style.span(), message);
            style.ok_or_else(|| none.with_help(library.advice(style_name)))
        });
        let Some(style) = style.and_then(|style| wrong.keep(style)) else { return Err(wrong) };
        renamed(&mut raw.choices, &style);
        let measures: Vec<&str> = style.measures().map(|(name, _, _)| name).collect();
        let choices: Vec<&str> = style.choices().map(|(name, _, _)| name).collect();
        let mut strays = Entries::new();
        for (table, entries, own, other) in [
            ("measures", &mut raw.measures, &measures, &choices),
            ("choices", &mut raw.choices, &choices, &measures),
        ] {
            let (kept, more) =
                sort(&source, table, std::mem::take(entries), [own, other], &mut wrong);
            *entries = kept;
            strays.extend(more);
        }
        for (name, entry) in strays {
            let measure = measures.contains(&name.get_ref().as_str());
            let table = if measure { &mut raw.measures } else { &mut raw.choices };
            table.entry(name).or_insert(entry);
        }
        Ok(Self {
            name: name.to_owned(),
            title: one_line(raw.title.as_ref().map_or(&style.own().title, |title| title.get_ref())),
            units: raw.units,
            built: raw.built,
            as_made: None,
            style: Arc::new(style),
            measures: raw.measures,
            choices: raw.choices,
            style_span: raw.style.span(),
            wrong,
            source,
        })
    }
}

impl HolderFile {
    /// Whether it says what a choice is.
    pub(crate) fn states(&self, choice: &str) -> bool {
        self.choices.keys().any(|stated| stated.get_ref() == choice)
    }

    /// The file that says what the measure or choice `name` is: of a holder that was made the one of now, where it
    /// follows that.
    pub(crate) fn who_says(&self, name: &str) -> &Self {
        let now = self.as_made.as_ref().filter(|made| made.follows.contains(name));
        now.map_or(self, |made| &made.now)
    }

    /// Whether a choice that the file states was left open when the holder was made.
    pub(crate) fn was_left_open(&self, choice: &str) -> bool {
        self.as_made.as_ref().is_some_and(|made| made.left_open.iter().any(|open| open == choice))
    }

    /// Name and text of the file beside it that a choice names; `None` where it names none that can be read.
    pub(crate) fn file_named(&self, choice: &str) -> Option<(String, String)> {
        let (_, entry) = self.choices.iter().find(|(name, _)| name.get_ref() == choice)?;
        let Entry::Text(name) = entry.get_ref() else { return None };
        let text = self.source.beside(name, choice, entry.span()).ok()?;
        Some((name.clone(), text))
    }

    /// The same file with one choice set to `value`, as if it stood where the style is named.
    #[must_use]
    pub(crate) fn with_choice(&self, name: &str, value: Entry) -> Self {
        let mut file = self.clone();
        file.choices.retain(|known, _| known.get_ref() != name);
        let at = self.style_span.clone();
        file.choices.insert(Spanned::new(at.clone(), name.to_owned()), Spanned::new(at, value));
        file
    }
}

/// The units that a file says at its top, whatever else is wrong in its tables.
pub(crate) fn units_of(source: &Source) -> Option<Units> {
    #[derive(Deserialize)]
    struct Said {
        units: Option<Units>,
    }
    toml::from_str::<Said>(source.text()).ok()?.units
}

/// Whether a holder file says at its top that the holder is built, whatever else is wrong in it.
#[cfg(feature = "cli")]
pub(crate) fn says_built(source: &Source) -> bool {
    #[derive(Deserialize)]
    struct Said {
        #[serde(default)]
        built: bool,
    }
    toml::from_str::<Said>(source.text()).is_ok_and(|said| said.built)
}

/// Calls choices by their names of today.
fn renamed(choices: &mut Entries, style: &Style) {
    for (name, choice, _) in style.choices() {
        let Some(formerly) = &choice.formerly else { continue };
        let known = |wanted: &str, choices: &Entries| {
            choices.keys().position(|key| key.get_ref() == wanted)
        };
        let (Some(at), None) = (known(formerly, choices), known(name, choices)) else { continue };
        if let Some((key, entry)) = choices.shift_remove_index(at) {
            // What was a number then is one still, whatever the file measures in.
            let number = match entry.get_ref() {
                Entry::Number(number) => Some(Entry::Text(format!("#{number}"))),
                _ => None,
            };
            let entry = number.map_or(entry.clone(), |said| Spanned::new(entry.span(), said));
            choices.insert(Spanned::new(key.span(), name.to_owned()), entry);
        }
    }
}

/// A title has to fit into the title block.
fn short_title(source: &Source, title: Option<&Spanned<String>>) -> Result<(), Problem> {
    let letters = title.map_or(0, |title| title.get_ref().chars().count());
    let Some(title) = title.filter(|_| letters > limits::NAME) else { return Ok(()) };
    let message = format!("title: it has {letters} characters");
    let help = format!("write one of at most {}", limits::NAME);
    Err(source.problem(title.span(), message).with_help(help))
}

/// Drawings have one line for a title: breaks and runs of spaces become one space.
fn one_line(title: &str) -> String {
    let words: Vec<&str> = title
        .split(|c: char| c.is_whitespace() || c.is_control())
        .filter(|w| !w.is_empty())
        .collect();
    words.join(" ")
}

/// The entries of `table` under the names that are meant, and those that belong in the other table.
fn sort(
    source: &Source,
    table: &str,
    entries: Entries,
    [names, elsewhere]: [&[&str]; 2],
    wrong: &mut Problems,
) -> (Entries, Entries) {
    let given: Vec<String> = entries.keys().map(|name| name.get_ref().clone()).collect();
    let (mut kept, mut strays) = (Entries::new(), Entries::new());
    for (name, entry) in entries {
        let text = name.get_ref().as_str();
        if names.contains(&text) {
            kept.insert(name, entry);
            continue;
        }
        wrong.add(unknown(source, table, &name, [names, elsewhere]));
        if elsewhere.contains(&text) {
            strays.insert(name, entry);
        } else if let Some(meant) = nearest_name(text, names)
            && !given.iter().any(|given| given == meant)
        {
            kept.insert(Spanned::new(name.span(), meant.to_owned()), entry);
        }
    }
    (kept, strays)
}

fn unknown(
    source: &Source,
    table: &str,
    name: &Spanned<String>,
    [names, elsewhere]: [&[&str]; 2],
) -> Problem {
    let text = name.get_ref().as_str();
    let message = format!("{table}.{text}: this style has no such name among its {table}");
    let other = if table == "measures" { "choices" } else { "measures" };
    let help = if elsewhere.contains(&text) {
        format!("it is one of the {other}: move it under [{other}]")
    } else {
        nearest(text, names)
    };
    source.problem(name.span(), message).with_help(help)
}
