//! Text with formulas in braces: `Heads {head_width} wide collide at {pitch}.`

use std::str::FromStr;

use super::{Formula, FormulaError, Names};
use crate::length::Units;
use crate::limits;

/// A text whose `{formulas}` are replaced by their values.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    pieces: Vec<Piece>,
}

#[derive(Debug, Clone, PartialEq)]
enum Piece {
    Text(String),
    Formula(Formula),
}

impl Template {
    /// The text with every formula worked out and written in `units`.
    ///
    /// # Errors
    /// When a formula can't be worked out.
    pub fn fill(&self, names: &dyn Names, units: Units) -> Result<String, FormulaError> {
        let mut text = String::new();
        for piece in &self.pieces {
            match piece {
                Piece::Text(plain) => text.push_str(plain),
                Piece::Formula(formula) => text.push_str(&formula.evaluate(names)?.write(units)),
            }
            if text.len() > limits::SAID {
                return Err(FormulaError::SaysTooMuch);
            }
        }
        Ok(text)
    }

    /// The formulas in it.
    pub fn formulas(&self) -> impl Iterator<Item = &Formula> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Formula(formula) => Some(formula),
            Piece::Text(_) => None,
        })
    }
}

impl FromStr for Template {
    type Err = FormulaError;

    fn from_str(text: &str) -> Result<Self, FormulaError> {
        let mut pieces = Vec::new();
        let mut rest = text;
        while let Some(open) = rest.find('{') {
            let (plain, braced) = rest.split_at(open);
            let close = braced.find('}').ok_or_else(|| FormulaError::OpenBrace(text.to_owned()))?;
            pieces.push(Piece::Text(plain.to_owned()));
            pieces.push(Piece::Formula(braced[1..close].parse()?));
            rest = &braced[close + 1..];
        }
        pieces.push(Piece::Text(rest.to_owned()));
        Ok(Self { pieces })
    }
}
