//! What a formula works out to.

use crate::length::{Dimension, Quantity, Tape, Units};

/// A figure, a word, true or false, or a list of such, one entry a tool.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A figure with its dimension.
    Figure(Quantity),
    /// A word, such as the name of an option.
    Word(String),
    /// Yes or no.
    Truth(bool),
    /// Values one after another.
    List(Vec<Value>),
}

impl Value {
    /// What it is, in words, for messages.
    pub fn describe(&self) -> String {
        match self {
            Self::Figure(quantity) => quantity.dimension.to_string(),
            Self::Word(word) => format!("the word '{word}'"),
            Self::Truth(_) => "a yes or no".to_owned(),
            Self::List(_) => "a list".to_owned(),
        }
    }

    /// Whether it is a figure and no word, list, yes or no.
    pub(crate) fn is_figure(&self) -> bool {
        matches!(self, Self::Figure(_))
    }

    /// Lengths up to the next mark of the tape.
    pub(crate) fn on_tape(self, tape: Tape) -> Self {
        match self {
            Self::Figure(Quantity { value, dimension: Dimension::LENGTH }) => {
                Quantity::mm(tape.up(value)).into()
            }
            Self::List(entries) => {
                Self::List(entries.into_iter().map(|entry| entry.on_tape(tape)).collect())
            }
            other => other,
        }
    }

    /// The figure, if it is one of `dimension`. A plain 0 passes for any: nought is nought in
    /// every unit.
    pub fn figure(&self, dimension: Dimension) -> Option<f64> {
        match self {
            Self::Figure(q) if q.dimension == dimension => Some(q.value),
            Self::Figure(q) if q.value == 0.0 && q.dimension == Dimension::NUMBER => Some(0.0),
            _ => None,
        }
    }
}

impl Value {
    /// The values of a list in order; just itself for a single one.
    pub fn entries(&self) -> &[Self] {
        match self {
            Self::List(entries) => entries,
            single => std::slice::from_ref(single),
        }
    }

    /// A list whose entries are all the same as one of them.
    pub(crate) fn alike(self) -> Self {
        match self {
            Self::List(mut entries) if entries.windows(2).all(|two| two[0] == two[1]) => {
                entries.pop().unwrap_or(Self::List(entries))
            }
            other => other,
        }
    }

    /// As it is written in `units` for a person: `1 3/8 in`, `no`, `1/4 in, 5/16 in`.
    pub fn write(&self, units: Units) -> String {
        match self {
            Self::Figure(quantity) => units.quantity(*quantity),
            Self::Word(word) => word.clone(),
            Self::Truth(truth) => (if *truth { "yes" } else { "no" }).to_owned(),
            Self::List(entries) => {
                entries.iter().map(|entry| entry.write(units)).collect::<Vec<_>>().join(", ")
            }
        }
    }
}

impl From<Quantity> for Value {
    fn from(quantity: Quantity) -> Self {
        Self::Figure(quantity)
    }
}
