//! Text with formulas in braces: `Heads {head_width} wide collide at {pitch}.`

use std::str::FromStr;

use super::{Formula, FormulaError, Misread, Names};
use crate::length::Units;
use crate::limits;

/// A text whose `{formulas}` are replaced by their values.
#[derive(Debug, Clone, PartialEq)]
pub struct Template {
    pieces: Vec<TemplatePart>,
}

#[derive(Debug, Clone, PartialEq)]
enum TemplatePart {
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
                TemplatePart::Text(plain) => text.push_str(plain),
                TemplatePart::Formula(formula) => {
                    text.push_str(&formula.evaluate(names)?.write(units));
                }
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
            TemplatePart::Formula(formula) => Some(formula),
            TemplatePart::Text(_) => None,
        })
    }
}

impl Template {
    /// Reads a text with formulas in braces, and tells where in `text` one can't be read.
    ///
    /// # Errors
    /// When a brace is not closed or holds no formula.
    pub fn read(text: &str) -> Result<Self, Misread> {
        Self::read_with(text, Formula::read)
    }

    /// The same for a text of a style, whose formulas are [`Formula::of_style`].
    ///
    /// # Errors
    /// When a brace is not closed or holds no formula.
    pub(crate) fn of_style(text: &str) -> Result<Self, Misread> {
        Self::read_with(text, Formula::of_style)
    }

    fn read_with(
        text: &str,
        read: impl Fn(&str) -> Result<Formula, Misread>,
    ) -> Result<Self, Misread> {
        let mut pieces = Vec::new();
        let mut at = 0;
        while let Some(open) = text[at..].find('{').map(|open| at + open) {
            let Some(close) = text[open..].find('}').map(|close| open + close) else {
                let error = FormulaError::OpenBrace(text.to_owned());
                return Err(Misread { error, at: open..open + 1 });
            };
            let formula = read(&text[open + 1..close]).map_err(|misread| {
                let Misread { error, at } = misread;
                Misread { error, at: open + 1 + at.start..open + 1 + at.end }
            })?;
            pieces.push(TemplatePart::Text(text[at..open].to_owned()));
            pieces.push(TemplatePart::Formula(formula));
            at = close + 1;
        }
        pieces.push(TemplatePart::Text(text[at..].to_owned()));
        Ok(Self { pieces })
    }
}

impl FromStr for Template {
    type Err = FormulaError;

    fn from_str(text: &str) -> Result<Self, FormulaError> {
        Self::read(text).map_err(|misread| misread.error)
    }
}
