//! A formula read and ready to work out.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;
use std::sync::Arc;

use super::parse::{Inches, parse};
use super::token::{EITHER, Placed, Token, tokens};
use super::{FormulaError, Misread, Value};
use crate::length::{Units, in_round_mm};

/// A formula, with the text it was read from. Cheap to clone.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula(Arc<ReadFormula>);

#[derive(Debug, PartialEq)]
struct ReadFormula {
    text: String,
    root: Node,
    /// Every name it uses, in order.
    names: Vec<String>,
}

impl Formula {
    /// The value called `name`, for a formula that nobody wrote.
    pub(crate) fn named(name: &str) -> Self {
        Self::of(name.to_owned(), Node::Name(name.to_owned()))
    }

    fn of(text: String, root: Node) -> Self {
        let mut names = BTreeSet::new();
        collect(&root, &mut names);
        let names = names.into_iter().map(str::to_owned).collect();
        Self(Arc::new(ReadFormula { text, root, names }))
    }

    pub(super) fn root(&self) -> &Node {
        &self.0.root
    }

    /// A word, as if it stood in single quotes.
    pub(crate) fn word(word: &str) -> Self {
        Self::of(format!("'{word}'"), Node::Value(Value::Word(word.to_owned())))
    }
}

/// The tree of a formula.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Node {
    Value(Value),
    Name(String),
    Call(String, Vec<Node>),
    Negative(Box<Node>),
    Not(Box<Node>),
    Two(Operator, Box<Node>, Box<Node>),
    If(Box<Node>, Box<Node>, Box<Node>),
}

/// What stands between two operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Operator {
    Add,
    Subtract,
    Multiply,
    Divide,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
    Equal,
    Unequal,
    And,
    Or,
}

impl Formula {
    /// Reads a formula, and tells where in `text` it can't be read.
    ///
    /// # Errors
    /// When it is no formula.
    pub fn read(text: &str) -> Result<Self, Misread> {
        Ok(Self::of(text.trim().to_owned(), parse(text, Inches::AsWritten)?))
    }

    /// Reads a formula of a style, which serves projects in inches and in millimeters alike: a length
    /// written in inches is, in a project in millimeters, the round figure nearest to it
    /// ([`in_round_mm`](crate::length::in_round_mm)), and what `either` is given stands as written.
    ///
    /// # Errors
    /// When it is no formula.
    pub(crate) fn of_style(text: &str) -> Result<Self, Misread> {
        Ok(Self::of(text.trim().to_owned(), parse(text, Inches::Round)?))
    }

    /// The formula as it was written.
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// A formula of a style as it is written where all are in `units`: with the round millimeters that its
    /// inches stand for, and of `either` the one that holds.
    pub(crate) fn text_in(&self, units: Units) -> String {
        let Ok(tokens) = tokens(&self.0.text) else { return self.0.text.clone() };
        let mut written = String::new();
        let mut at = 0;
        let mut rest = tokens.as_slice();
        while let [(token, place), after @ ..] = rest {
            let (text, used) = match token {
                Token::Name(name) if name == EITHER => one_of(&self.0.text, rest, units),
                Token::Inches(quantity) if units == Units::Millimeters => {
                    (units.length(in_round_mm(quantity.value)), 1)
                }
                _ => (self.0.text[place.clone()].to_owned(), 1),
            };
            written += &self.0.text[at..place.start];
            written += &text;
            at = rest.get(used - 1).map_or(self.0.text.len(), |(_, place)| place.end);
            rest = after.get(used - 1..).unwrap_or_default();
        }
        written
    }

    /// Every name it uses, each once.
    pub fn names(&self) -> impl Iterator<Item = &str> + Clone {
        self.0.names.iter().map(String::as_str)
    }
}

/// The argument that holds of the `either(…)` at the start of `tokens`, and how many of them the call takes.
fn one_of(text: &str, tokens: &[Placed], units: Units) -> (String, usize) {
    let (mut depth, mut from, mut arguments) = (0, None, Vec::new());
    for (i, (token, place)) in tokens.iter().enumerate().skip(1) {
        let sign = if let Token::Sign(sign) = token { *sign } else { "" };
        depth += usize::from(sign == "(");
        if depth == 1 && [",", ")"].contains(&sign) {
            arguments.push(text[from.unwrap_or(place.start)..place.start].trim());
            from = Some(place.end);
        }
        from.get_or_insert(place.end);
        depth -= usize::from(sign == ")");
        if depth == 0 {
            let wanted = arguments.get(usize::from(units == Units::Millimeters));
            return (wanted.map_or(String::new(), |one| (*one).to_owned()), i + 1);
        }
    }
    (text.to_owned(), tokens.len())
}

fn collect<'a>(node: &'a Node, names: &mut BTreeSet<&'a str>) {
    match node {
        Node::Value(_) => {}
        Node::Name(name) => {
            names.insert(name);
        }
        Node::Call(_, arguments) => arguments.iter().for_each(|a| collect(a, names)),
        Node::Negative(inner) | Node::Not(inner) => collect(inner, names),
        Node::Two(_, a, b) => [a, b].into_iter().for_each(|n| collect(n, names)),
        Node::If(a, b, c) => [a, b, c].into_iter().for_each(|n| collect(n, names)),
    }
}

impl FromStr for Formula {
    type Err = FormulaError;

    fn from_str(text: &str) -> Result<Self, FormulaError> {
        Self::read(text).map_err(|misread| misread.error)
    }
}

impl fmt::Display for Formula {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.text)
    }
}

#[cfg(test)]
mod tests {
    use super::{Formula, Units};

    #[test]
    fn a_formula_of_a_style_is_written_in_either_system() {
        let table = [
            ("max(3/4 in, foot + 1/4 in)", "max(20 mm, foot + 6 mm)"),
            ("either(3/8 in, 10 mm) + x", "10 mm + x"),
            ("2 * either(max(1 in, a), max(b, 30 mm))", "2 * max(b, 30 mm)"),
            ("a / 2", "a / 2"),
        ];
        for (text, metric) in table {
            let formula = Formula::of_style(text).unwrap();
            assert_eq!(formula.text_in(Units::Millimeters), metric);
        }
        let either = Formula::of_style("either(3/8 in, 10 mm) + x").unwrap();
        assert_eq!(either.text_in(Units::Inches), "3/8 in + x");
    }
}
