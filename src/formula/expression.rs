//! A formula read and ready to work out.

use std::collections::BTreeSet;
use std::fmt;
use std::str::FromStr;

use super::parse::{Inches, parse};
use super::{FormulaError, Misread, Value};

/// A formula, with the text it was read from.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    text: String,
    pub(super) root: Node,
}

impl Formula {
    /// The value called `name`, for a formula that nobody wrote.
    pub(crate) fn named(name: &str) -> Self {
        Self { text: name.to_owned(), root: Node::Name(name.to_owned()) }
    }

    /// A word, as if it stood in single quotes.
    pub(crate) fn word(word: &str) -> Self {
        Self { text: format!("'{word}'"), root: Node::Value(Value::Word(word.to_owned())) }
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
        Ok(Self { text: text.trim().to_owned(), root: parse(text, Inches::AsWritten)? })
    }

    /// Reads a formula of a style, which serves projects in inches and in millimeters alike: a length
    /// written in inches is, in a project in millimeters, the round figure nearest to it
    /// ([`in_round_mm`](crate::length::in_round_mm)), and what `either` is given stands as written.
    ///
    /// # Errors
    /// When it is no formula.
    pub(crate) fn of_style(text: &str) -> Result<Self, Misread> {
        Ok(Self { text: text.trim().to_owned(), root: parse(text, Inches::Round)? })
    }

    /// The formula as it was written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Every name it uses.
    pub fn names(&self) -> BTreeSet<&str> {
        let mut names = BTreeSet::new();
        collect(&self.root, &mut names);
        names
    }
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
        f.write_str(&self.text)
    }
}
