//! What a formula works out to.

use crate::length::{Dimension, Quantity};

/// A figure, a word, or true or false.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Figure(Quantity),
    Word(String),
    Truth(bool),
}

impl Value {
    /// What it is, in words, for messages.
    pub fn describe(&self) -> String {
        match self {
            Self::Figure(quantity) => quantity.dimension.to_string(),
            Self::Word(word) => format!("the word '{word}'"),
            Self::Truth(_) => "a yes or no".to_owned(),
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

impl From<Quantity> for Value {
    fn from(quantity: Quantity) -> Self {
        Self::Figure(quantity)
    }
}
