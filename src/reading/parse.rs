//! TOML to plain data, with all that is wrong told at once: what can't be read is left out, and
//! the rest read again.

use std::collections::BTreeSet;
use std::ops::Range;

use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::{DeArray, DeString, DeTable, DeValue, Deserializer};

use super::Source;
use super::bounded::beyond;
use super::entry::UNITS;
use super::problem::{Problem, Problems, nearest, nearest_name};
use super::syntax::syntax;
use crate::formula::{Formula, Misread, Template};
use crate::limits;

/// What an error begins with when a value should be a formula and is none.
pub(crate) const FORMULA: &str = "the formula can't be read: ";

/// The same for a text with formulas in braces.
pub(crate) const TEXT: &str = "the text can't be read: ";

type Span = Range<usize>;

impl Source {
    /// The text as a `T`.
    ///
    /// # Errors
    /// Each a [`Problem`] at its line: it is not TOML, a key is unknown (the nearest known one is
    /// suggested) or missing, a value is of the wrong kind, or a text or list is too long.
    pub fn parse<T: DeserializeOwned>(&self) -> Result<T, Problems> {
        match self.parse_all() {
            (Some(read), problems) => problems.or(read),
            (None, problems) => Err(problems),
        }
    }

    /// The text as a `T`, as far as it can be read once what is wrong is left out; with what is
    /// wrong. Without a problem there always is a `T`.
    pub fn parse_all<T: DeserializeOwned>(&self) -> (Option<T>, Problems) {
        match beyond(self) {
            Some(problem) => (None, problem.into()),
            None => parse(self),
        }
    }
}

fn parse<T: DeserializeOwned>(source: &Source) -> (Option<T>, Problems) {
    let mut problems = Problems::default();
    let mut tree = match DeTable::parse(source.text()) {
        Ok(tree) => tree,
        Err(error) => return (None, syntax(source, &error).into()),
    };
    // What was told already is not missed a second time.
    let mut told = BTreeSet::new();
    // Tables with a key that nobody knows: one that seems to be missing there may be it.
    let mut strays = BTreeSet::new();
    // Where values were left out: what that makes wrong of the table around them is no second fault.
    let mut left_out: Vec<Vec<String>> = Vec::new();
    for _ in 0..limits::PROBLEMS {
        let error = match T::deserialize(Deserializer::from(tree.clone())) {
            Ok(read) => return (Some(read), problems),
            Err(error) => error,
        };
        let fault = Fault::new(&error);
        let span = error.span().unwrap_or_default();
        let place = find(tree.get_ref(), &span).unwrap_or_default();
        let follows = match &fault {
            Fault::Missing(key) => told.contains(key) || strays.contains(&place.path),
            Fault::Other(_) => left_out
                .iter()
                .any(|path| path.len() > place.path.len() && path.starts_with(&place.path)),
            _ => false,
        };
        if !follows {
            problems.add(fault.tell(source, &span, &place));
        }
        let meant = fault.meant().map(str::to_owned);
        if let (Fault::UnknownKey { .. }, None, Some((_, table))) =
            (&fault, &meant, place.path.split_last())
        {
            strays.insert(table.to_vec());
        }
        told.extend(place.path.last().cloned());
        left_out.push(place.path.clone());
        if !leave_out(tree.get_mut(), &span, meant.as_deref()) {
            break;
        }
    }
    (None, problems)
}

/// What serde found wrong; read back from its words, so that known keys stay in one place.
enum Fault {
    UnknownKey { key: String, known: Vec<String> },
    UnknownWord { word: String, known: Vec<String> },
    Missing(String),
    Kind { found: String, wanted: String },
    Other(String),
}

impl Fault {
    fn new(error: &toml::de::Error) -> Self {
        let message = error.message().trim();
        let mut quoted = message.split('`').skip(1).step_by(2).map(str::to_owned);
        let mut first = || quoted.next().unwrap_or_default();
        if message.starts_with("unknown field ") {
            return Self::UnknownKey { key: first(), known: quoted.collect() };
        }
        if message.starts_with("unknown variant ") {
            return Self::UnknownWord { word: first(), known: quoted.collect() };
        }
        if message.starts_with("missing field ") {
            return Self::Missing(first());
        }
        let kind =
            message.strip_prefix("invalid type: ").or(message.strip_prefix("invalid value: "));
        match kind.and_then(|kind| kind.split_once(", expected ")) {
            Some((found, wanted)) => {
                Self::Kind { found: found.to_owned(), wanted: wanted.to_owned() }
            }
            None => Self::Other(message.replace(" as i128", "")),
        }
    }

    /// The key that was meant by an unknown one.
    fn meant(&self) -> Option<&str> {
        let Self::UnknownKey { key, known } = self else { return None };
        nearest_name(key, &known.iter().map(String::as_str).collect::<Vec<_>>())
    }

    fn tell(&self, source: &Source, span: &Span, place: &TreePlace) -> Problem {
        let (key, table) = (place.key(), place.table());
        let names = |known: &[String]| known.join(", ");
        match self {
            Self::UnknownKey { key, known } => {
                let known: Vec<&str> = known.iter().map(String::as_str).collect();
                let message = format!("the key \"{key}\" is not known {table}");
                source.problem(span.clone(), message).with_help(nearest(key, &known))
            }
            Self::UnknownWord { word, known } => {
                let message = format!("{key}\"{word}\" is not known here");
                let help = format!("write one of: {}", names(known));
                let problem = source.problem(span.clone(), message).with_help(help);
                if place.path == [UNITS] { problem.of_topic(UNITS) } else { problem }
            }
            Self::Missing(missing) => source
                .problem(
                    span.clone(),
                    format!("the key \"{missing}\" is missing {}", place.within()),
                )
                .with_help(format!("write {missing} = …")),
            Self::Kind { found, wanted } => {
                let (wanted, help) = words(wanted, found, place);
                let message = format!("{key}{} is given where {wanted} is needed", given(found));
                source.problem(span.clone(), message).with_help(help)
            }
            Self::Other(message) => misread(source, span, place, message)
                .unwrap_or_else(|| source.problem(span.clone(), format!("{key}{message}"))),
        }
    }
}

/// What a value should be, in plain words, and how to write it.
fn words(wanted: &str, found: &str, place: &TreePlace) -> (String, String) {
    let bare = found.split('`').nth(1).unwrap_or("…");
    match wanted {
        "a sequence" if found == "map" => {
            let table = place.path.join(".");
            (
                "a list of tables".to_owned(),
                format!("write [[{table}]], there may be more than one"),
            )
        }
        "a string" => ("a text".to_owned(), format!("write it in quotes: \"{bare}\"")),
        "a boolean" => ("yes or no".to_owned(), "write true or false, without quotes".to_owned()),
        "a sequence" => ("a list".to_owned(), "write a list in brackets: [ … ]".to_owned()),
        "a map" => ("a table".to_owned(), "write its keys below a line in brackets".to_owned()),
        other if other.starts_with("struct ") => {
            ("a table of keys".to_owned(), "write its keys below a line in brackets".to_owned())
        }
        other => (other.to_owned(), String::new()),
    }
}

/// A value by what serde calls it.
fn given(found: &str) -> String {
    match found.split_once(' ') {
        Some(("integer" | "boolean", value)) => value.replace('`', ""),
        Some(("floating", value)) => value.trim_start_matches("point ").replace('`', ""),
        Some(("string", text)) => text.to_owned(),
        _ if found == "map" => "one table".to_owned(),
        _ if found == "sequence" => "a list".to_owned(),
        _ => found.to_owned(),
    }
}

/// A value that should be a formula, with the very part marked at which reading it stops.
fn misread(source: &Source, span: &Span, place: &TreePlace, message: &str) -> Option<Problem> {
    let formula = message.starts_with(FORMULA);
    if !formula && !message.starts_with(TEXT) {
        return None;
    }
    let text = place.text.as_deref()?;
    let Misread { at, .. } =
        if formula { Formula::read(text).err()? } else { Template::read(text).err()? };
    Some(
        source.problem(source.part_of(span.clone(), text, at), format!("{}{message}", place.key())),
    )
}

/// Where an error lies in the tree.
#[derive(Default)]
struct TreePlace {
    /// The keys that lead to it.
    path: Vec<String>,
    /// The value there, if it is a text.
    text: Option<String>,
}

impl TreePlace {
    /// The key, to begin a message with; empty at the top of the file.
    fn key(&self) -> String {
        if self.path.is_empty() { String::new() } else { format!("{}: ", self.path.join(".")) }
    }

    /// The table in which the key stands.
    fn table(&self) -> String {
        match self.path.split_last() {
            Some((_, table)) if !table.is_empty() => format!("in [{}]", table.join(".")),
            _ => "at the top of this file".to_owned(),
        }
    }

    /// The table that lacks a key.
    fn within(&self) -> String {
        match self.path.as_slice() {
            [] => "at the top of this file".to_owned(),
            path => format!("in [{}]", path.join(".")),
        }
    }
}

fn find(table: &DeTable<'_>, span: &Span) -> Option<TreePlace> {
    table.iter().find_map(|(key, value)| {
        let mut place = find_in(value, span).or_else(|| {
            let text = value.get_ref().as_str().map(str::to_owned);
            let here = covers(&key.span(), span) || covers(&value.span(), span);
            here.then_some(TreePlace { path: Vec::new(), text })
        })?;
        place.path.insert(0, key.get_ref().to_string());
        Some(place)
    })
}

fn find_in(value: &Spanned<DeValue<'_>>, span: &Span) -> Option<TreePlace> {
    match value.get_ref() {
        DeValue::Table(table) => find(table, span),
        DeValue::Array(entries) => entries.iter().find_map(|entry| {
            let text = entry.get_ref().as_str().map(str::to_owned);
            let here =
                || covers(&entry.span(), span).then_some(TreePlace { path: Vec::new(), text });
            find_in(entry, span).or_else(here)
        }),
        _ => None,
    }
}

fn covers(outer: &Span, inner: &Span) -> bool {
    outer.start <= inner.start && inner.end <= outer.end && !outer.is_empty()
}

/// Takes the entry at `span` out, or calls it `meant` where nothing is called so. False when there
/// is none.
fn leave_out(table: &mut DeTable<'_>, span: &Span, meant: Option<&str>) -> bool {
    let keys: Vec<Spanned<DeString<'_>>> = table.keys().cloned().collect();
    keys.into_iter().any(|key| {
        let Some(value) = table.get_mut(&key) else { return false };
        if leave_out_of(value, span, meant) {
            return true;
        }
        if !covers(&key.span(), span) && !covers(&value.span(), span) {
            return false;
        }
        let Some(value) = table.remove(&key) else { return false };
        if let Some(meant) = meant.filter(|meant| table.keys().all(|key| key.get_ref() != meant)) {
            let named = DeString::Owned(meant.to_owned());
            table.insert(Spanned::new(key.span(), named), value);
        }
        true
    })
}

fn leave_out_of(value: &mut Spanned<DeValue<'_>>, span: &Span, meant: Option<&str>) -> bool {
    match value.get_mut() {
        DeValue::Table(table) => leave_out(table, span, meant),
        DeValue::Array(entries) => {
            if entries.iter_mut().any(|entry| leave_out_of(entry, span, meant)) {
                return true;
            }
            let mut kept = DeArray::new();
            let others = entries.iter().filter(|entry| !covers(&entry.span(), span));
            others.cloned().for_each(|entry| kept.push(entry));
            let fewer = kept.len() < entries.len();
            *entries = kept;
            fewer
        }
        _ => false,
    }
}
