//! The smallest things that a style file says: formulas, texts with formulas in them, repeats.

use std::fmt;

use serde::Deserialize;
use serde::de::{Deserializer, Error as _};

use crate::formula::{Formula, Template};
use crate::reading::{Entry, FORMULA, Spanned, TEXT};

/// A formula and where it stands in its file.
#[derive(Debug, Clone)]
pub(crate) struct Expr {
    pub formula: Formula,
    pub span: std::ops::Range<usize>,
}

impl fmt::Display for Expr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.formula.fmt(f)
    }
}

/// A text with formulas in braces and where it stands in its file.
#[derive(Debug, Clone)]
pub(crate) struct Say {
    pub template: Template,
    pub span: std::ops::Range<usize>,
}

/// A point or size on a part: x and y.
pub(crate) type Pair = [Expr; 2];

/// The same again, with `n` counting 1, 2, 3 … in every formula of what is repeated.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RepeatSpec {
    pub count: Expr,
    /// How far each is moved from the one before, besides what formulas make of `n`.
    #[serde(default)]
    pub step: Vec<Expr>,
}

impl<'de> Deserialize<'de> for Expr {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let entry = Spanned::<Entry>::deserialize(deserializer)?;
        let text = match entry.get_ref() {
            Entry::Text(text) => text.clone(),
            other => other.to_string(),
        };
        let formula = text.parse().map_err(|e| D::Error::custom(format!("{FORMULA}{e}")))?;
        Ok(Self { formula, span: entry.span() })
    }
}

impl<'de> Deserialize<'de> for Say {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Spanned::<String>::deserialize(deserializer)?;
        let template =
            text.get_ref().parse().map_err(|e| D::Error::custom(format!("{TEXT}{e}")))?;
        Ok(Self { template, span: text.span() })
    }
}

/// The one option that is given, or what to say where there is none or more than one.
pub(super) fn exactly_one<T, const OPTIONS: usize>(
    options: [Option<T>; OPTIONS],
    rule: &'static str,
) -> Result<T, &'static str> {
    let mut given = options.into_iter().flatten();
    match (given.next(), given.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(rule),
    }
}

/// A list whose entries are blamed each at its own place: the reader of TOML knows the place of a wrapped value, not
/// that of an entry.
pub(super) fn each<'de, D, T>(deserializer: D) -> Result<Vec<T>, D::Error>
where
    D: Deserializer<'de>,
    T: Deserialize<'de>,
{
    let entries = Vec::<Wrapped<T>>::deserialize(deserializer)?;
    Ok(entries.into_iter().map(|Wrapped(entry)| entry).collect())
}

#[derive(Deserialize)]
struct Wrapped<T>(T);
