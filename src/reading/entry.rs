//! A value as it stands in a file, before its kind is known.

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserialize, Deserializer, Error as _, MapAccess, SeqAccess, Visitor};

use super::{Problem, Source, Spanned};
use crate::length::{Dimension, Quantity, Units, read};

/// A text, number, yes/no or list of such as it stands in a file. What it means depends on the key: a bare
/// number for a length takes the file's units.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Entry {
    Text(String),
    Number(f64),
    Truth(bool),
    List(Vec<Spanned<Entry>>),
    /// `{ in = "3/4 in", mm = "20 mm" }`: one for each system of units, as it stands in the file.
    Either {
        inches: String,
        metric: String,
    },
}

impl fmt::Display for Entry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text(text) => write!(f, "{text:?}"),
            Self::Number(number) => write!(f, "{number}"),
            Self::Truth(truth) => write!(f, "{truth}"),
            Self::List(entries) => {
                let texts: Vec<String> = entries.iter().map(|e| e.get_ref().to_string()).collect();
                write!(f, "[{}]", texts.join(", "))
            }
            Self::Either { inches, metric } => write!(f, "{{ in = {inches:?}, mm = {metric:?} }}"),
        }
    }
}

impl<'de> Deserialize<'de> for Entry {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(EntryVisitor)
    }
}

struct EntryVisitor;

impl<'de> Visitor<'de> for EntryVisitor {
    type Value = Entry;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a figure such as \"1 3/8 in\", a number, a word, true or false, or a list")
    }
    fn visit_bool<E>(self, v: bool) -> Result<Entry, E> {
        Ok(Entry::Truth(v))
    }
    fn visit_i64<E>(self, v: i64) -> Result<Entry, E> {
        Ok(Entry::Number(v as f64))
    }
    fn visit_u64<E>(self, v: u64) -> Result<Entry, E> {
        Ok(Entry::Number(v as f64))
    }
    fn visit_f64<E>(self, v: f64) -> Result<Entry, E> {
        Ok(Entry::Number(v))
    }
    fn visit_str<E>(self, v: &str) -> Result<Entry, E> {
        Ok(Entry::Text(v.to_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Entry, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = seq.next_element()? {
            entries.push(entry);
        }
        Ok(Entry::List(entries))
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Entry, A::Error> {
        let Systems { inches, metric } = Systems::deserialize(MapAccessDeserializer::new(map))?;
        let [inches, metric] = [inches, metric].map(|Plain(text)| text);
        Ok(Entry::Either { inches, metric })
    }
}

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Systems {
    #[serde(rename = "in")]
    inches: Plain,
    #[serde(rename = "mm")]
    metric: Plain,
}

/// A text or a number, as a text.
struct Plain(String);

impl<'de> Deserialize<'de> for Plain {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match Entry::deserialize(deserializer)? {
            Entry::Text(text) => Ok(Self(text)),
            Entry::Number(number) => Ok(Self(number.to_string())),
            _ => Err(D::Error::custom("it is neither a text nor a number")),
        }
    }
}

/// A text as TOML has it, with its quotes.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::String(text.to_owned()).to_string()
}

/// What a figure is expected to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Kind {
    Length,
    Mass,
    Angle,
    /// A whole number, 0 or more.
    Count,
    /// Any plain number.
    Number,
}

impl Kind {
    /// The dimension of figures of this kind.
    pub(crate) fn dimension(self) -> Dimension {
        match self {
            Self::Length => Dimension::LENGTH,
            Self::Mass => Dimension::MASS,
            Self::Angle => Dimension::ANGLE,
            Self::Count | Self::Number => Dimension::NUMBER,
        }
    }

    /// What to write, with an example.
    pub(crate) fn example(self) -> &'static str {
        match self {
            Self::Length => "a length such as \"1 3/8 in\", \"3/4 in\" or \"19 mm\"",
            Self::Mass => "a mass such as \"2.1 kg\" or \"4 lb\"",
            Self::Angle => "an angle such as \"10 deg\"",
            Self::Count => "a whole number such as 7",
            Self::Number => "a number such as 1.5",
        }
    }

    /// Whether `quantity` is of this kind; a count must be whole and not negative.
    pub(crate) fn fits(self, quantity: Quantity) -> bool {
        let whole = quantity.value >= 0.0 && quantity.value.fract() == 0.0;
        quantity.dimension == self.dimension() && (self != Self::Count || whole)
    }
}

/// Reads `entry`, the value of `key` in `source`, as a figure of `kind` in mm, kg, degrees or
/// plain numbers. A bare number for a length takes `units`.
///
/// # Errors
/// When it is not a number, has another unit, or is a bare length in a file that names no units.
pub(crate) fn figure(
    entry: &Spanned<Entry>,
    kind: Kind,
    units: Option<Units>,
    key: &str,
    source: &Source,
) -> Result<f64, Problem> {
    let wrong = |what: String| source.problem(entry.span(), format!("{key}: {what}"));
    let value = entry.get_ref();
    let quantity = match value {
        Entry::Number(number) => Quantity::number(*number),
        Entry::Text(text) => {
            read(text).map_err(|e| wrong(e.to_string()).with_help(wanted(kind, units)))?
        }
        Entry::Truth(_) | Entry::List(_) | Entry::Either { .. } => {
            return Err(wrong(format!("{value} is not a number")).with_help(wanted(kind, units)));
        }
    };
    let quantity = with_units(quantity, kind, units).ok_or_else(|| {
        let unitless = wrong(format!("{value} has no unit"));
        unitless.with_help(bare_length_help(value)).of_topic(UNITS)
    })?;
    if !quantity.value.is_finite() {
        return Err(wrong(format!("{value} is not a number")).with_help(wanted(kind, units)));
    }
    if !kind.fits(quantity) {
        let is = quantity.dimension;
        let what =
            if kind.dimension() == is { "not a whole number".to_owned() } else { is.to_string() };
        return Err(wrong(format!("{value} is {what}")).with_help(wanted(kind, units)));
    }
    Ok(quantity.value)
}

fn with_units(quantity: Quantity, kind: Kind, units: Option<Units>) -> Option<Quantity> {
    let bare = kind == Kind::Length && quantity.dimension == Dimension::NUMBER;
    match (bare, units) {
        (false, _) => Some(quantity),
        (true, Some(units)) => Some(Quantity::mm(quantity.value * units.in_mm())),
        (true, None) if quantity.value == 0.0 => Some(Quantity::mm(0.0)),
        (true, None) => None,
    }
}

/// The key that says what bare figures are in.
pub(super) const UNITS: &str = "units";

fn wanted(kind: Kind, units: Option<Units>) -> String {
    if (kind, units) == (Kind::Length, Some(Units::Millimeters)) {
        return "write a length such as 35, \"19.5 mm\" or \"1.2 m\"".to_owned();
    }
    format!("write {}", kind.example())
}

fn bare_length_help(value: &Entry) -> String {
    let bare = value.to_string();
    let bare = bare.trim_matches('"');
    format!(
        "write \"{bare} in\" or \"{bare} mm\", or put units = \"in\" or units = \"mm\" at the top of the file"
    )
}
