//! Cutting a formula's text into tokens.

use std::ops::Range;

use super::{FormulaError, Misread};
use crate::length::{Dimension, Quantity, Reading, has_vulgar, starts_figure};

/// The function that is given one size in inches and one in millimeters.
pub(super) const EITHER: &str = "either";

/// The smallest pieces of a formula.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    /// A figure, with its unit if it has one: `1 3/8 in` is one token.
    Figure(Quantity),
    /// A length that is written in inches or feet.
    Inches(Quantity),
    /// A name, possibly of a property: `sheet.thickness`.
    Name(String),
    /// A word in single quotes.
    Word(String),
    /// An operator, parenthesis or comma.
    Sign(&'static str),
}

impl Token {
    pub(super) fn describe(&self) -> String {
        match self {
            Self::Figure(_) | Self::Inches(_) => "a figure".to_owned(),
            Self::Name(name) => format!("\"{name}\""),
            Self::Word(word) => format!("'{word}'"),
            Self::Sign(sign) => format!("\"{sign}\""),
        }
    }
}

/// Longer signs first, so that `<=` is not read as `<`.
const SIGNS: [&str; 13] = ["<=", ">=", "!=", "<", ">", "=", "+", "-", "*", "/", "(", ")", ","];

/// Signs as a keyboard or word processor may write them.
const TYPED_OTHERWISE: [(char, &str); 9] = [
    ('×', "*"),
    ('·', "*"),
    ('÷', "/"),
    ('∕', "/"),
    ('−', "-"),
    ('–', "-"),
    ('≤', "<="),
    ('≥', ">="),
    ('≠', "!="),
];

/// A token and the bytes of the text it was cut from.
pub(super) type Placed = (Token, Range<usize>);

pub(super) fn tokens(text: &str) -> Result<Vec<Placed>, Misread> {
    let mut found = Vec::new();
    let mut at = text.len() - text.trim_start().len();
    while let Some(first) = text[at..].chars().next() {
        let (token, used) = next(&text[at..], first)
            .map_err(|error| Misread { error, at: at..at + first.len_utf8() })?;
        found.push((token, at..at + used));
        at += used;
        at += text[at..].len() - text[at..].trim_start().len();
    }
    Ok(found)
}

fn next(rest: &str, first: char) -> Result<(Token, usize), FormulaError> {
    if starts_figure(first) {
        return figure(rest);
    }
    if first.is_alphabetic() {
        let end = rest.find(|c: char| !(c.is_alphanumeric() || "_.".contains(c)));
        let end = end.unwrap_or(rest.len());
        return Ok((Token::Name(rest[..end].to_owned()), end));
    }
    if let Some(quoted) = rest.strip_prefix('\'') {
        let end = quoted.find('\'').ok_or(FormulaError::OpenQuote)?;
        return Ok((Token::Word(quoted[..end].to_owned()), end + 2));
    }
    if let Some((_, sign)) = TYPED_OTHERWISE.iter().find(|(typed, _)| *typed == first) {
        return Ok((Token::Sign(sign), first.len_utf8()));
    }
    let sign = SIGNS.iter().find(|sign| rest.starts_with(**sign));
    sign.map(|sign| (Token::Sign(sign), sign.len())).ok_or(FormulaError::Letter(first))
}

/// A figure with its unit as one token. Without a unit only the decimal number is taken, so that
/// `a / 3/4` stays ordinary arithmetic.
fn figure(rest: &str) -> Result<(Token, usize), FormulaError> {
    let reading = Reading::at_start_of(rest)
        .map_err(|why| FormulaError::Reading { text: rest.to_owned(), why })?;
    if reading.in_inches {
        return Ok((Token::Inches(reading.quantity), reading.used));
    }
    let tape = has_vulgar(&rest[..reading.used]);
    if tape || reading.quantity.dimension != Dimension::NUMBER {
        return Ok((Token::Figure(reading.quantity), reading.used));
    }
    let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(rest.len());
    let number = rest[..end].parse().map_err(|_| FormulaError::Letter('.'))?;
    Ok((Token::Figure(Quantity::number(number)), end))
}
