//! Tokens to a tree: `if … then … else …`, or, and, not, comparison, sum, product, sign.

use super::expression::{Node, Operator};
use super::token::{EITHER, Placed, Token, tokens};
use super::{FormulaError, Misread, Value};
use crate::length::{Quantity, in_round_mm};
use crate::limits;

/// What a length written in inches means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Inches {
    /// Just that.
    AsWritten,
    /// That in a project in inches; in one in millimeters the round figure that stands for it. What
    /// `either` is given is as written.
    Round,
}

pub(super) fn parse(text: &str, inches: Inches) -> Result<Node, Misread> {
    let whole = |error| Misread { error, at: 0..text.len() };
    let letters = text.chars().count();
    if letters > limits::TEXT {
        return Err(whole(FormulaError::TooLong(letters)));
    }
    let tokens = tokens(text)?;
    if tokens.is_empty() {
        return Err(whole(FormulaError::Empty));
    }
    if tokens.len() > limits::TOKENS {
        return Err(whole(FormulaError::TooMany(tokens.len())));
    }
    let mut parser = Parser { tokens, at: 0, depth: 0, inches };
    parser.all_of_it().map_err(|error| Misread { at: parser.place(text, &error), error })
}

struct Parser {
    tokens: Vec<Placed>,
    at: usize,
    depth: usize,
    inches: Inches,
}

/// A level of precedence: each sign with what it means.
type Precedence = &'static [(&'static str, Operator)];

const SUM: Precedence = &[("+", Operator::Add), ("-", Operator::Subtract)];
const PRODUCT: Precedence = &[("*", Operator::Multiply), ("/", Operator::Divide)];
const COMPARISON: Precedence = &[
    ("<", Operator::Less),
    ("<=", Operator::LessOrEqual),
    (">", Operator::Greater),
    (">=", Operator::GreaterOrEqual),
    ("=", Operator::Equal),
    ("!=", Operator::Unequal),
];
const AND: Precedence = &[("and", Operator::And)];
const OR: Precedence = &[("or", Operator::Or)];

type Parsed = Result<Node, FormulaError>;

impl Parser {
    fn all_of_it(&mut self) -> Parsed {
        let node = self.whole()?;
        match self.peek() {
            None => Ok(node),
            Some(_) => Err(self.unexpected("an operator such as + or *, or the end")),
        }
    }

    /// Where in `text` the parser came to a stop; past the last sign where the end was not expected.
    fn place(&self, text: &str, error: &FormulaError) -> std::ops::Range<usize> {
        let end = text.trim_end().len();
        match (self.tokens.get(self.at), error) {
            (_, FormulaError::TooDeep) => 0..text.len(),
            (Some((_, at)), _) => at.clone(),
            (None, _) => end..end,
        }
    }

    fn whole(&mut self) -> Parsed {
        self.depth += 1;
        if self.depth > limits::NESTING {
            return Err(FormulaError::TooDeep);
        }
        let node = if self.take("if") { self.condition() } else { self.alternatives() };
        self.depth -= 1;
        node
    }

    fn condition(&mut self) -> Parsed {
        let condition = self.whole()?;
        self.need("then", "\"then\"")?;
        let yes = self.whole()?;
        self.need("else", "\"else\"")?;
        let no = self.whole()?;
        Ok(Node::If(Box::new(condition), Box::new(yes), Box::new(no)))
    }

    fn alternatives(&mut self) -> Parsed {
        self.chain(OR, |p| p.chain(AND, Self::negation))
    }

    fn negation(&mut self) -> Parsed {
        if self.take("not") {
            return Ok(Node::Not(Box::new(self.nested(Self::negation)?)));
        }
        let left = self.sum()?;
        match self.operator(COMPARISON) {
            Some(operator) => Ok(Node::Two(operator, Box::new(left), Box::new(self.sum()?))),
            None => Ok(left),
        }
    }

    fn sum(&mut self) -> Parsed {
        self.chain(SUM, |p| p.chain(PRODUCT, Self::signed))
    }

    fn signed(&mut self) -> Parsed {
        if self.take("-") {
            return Ok(Node::Negative(Box::new(self.nested(Self::signed)?)));
        }
        self.operand()
    }

    fn operand(&mut self) -> Parsed {
        match self.peek().cloned() {
            Some(Token::Figure(quantity)) => self.advance(Node::Value(quantity.into())),
            Some(Token::Inches(quantity)) => self.advance(self.written(quantity)),
            Some(Token::Word(word)) => self.advance(Node::Value(Value::Word(word))),
            Some(Token::Name(name)) => self.named(name),
            Some(Token::Sign("(")) => {
                self.at += 1;
                let inner = self.whole()?;
                self.need(")", "\")\"")?;
                Ok(inner)
            }
            _ => Err(self.unexpected("a figure, a name or \"(\"")),
        }
    }

    fn named(&mut self, name: String) -> Parsed {
        let reserved = ["if", "then", "else", "and", "or", "not"];
        if reserved.contains(&name.as_str()) {
            return Err(self.unexpected("a figure, a name or \"(\""));
        }
        self.at += 1;
        if !self.take("(") {
            return Ok(match name.as_str() {
                "yes" => Node::Value(Value::Truth(true)),
                "no" => Node::Value(Value::Truth(false)),
                _ => Node::Name(name),
            });
        }
        if self.take(")") {
            return Ok(Node::Call(name, Vec::new()));
        }
        let inches = self.inches;
        if name == EITHER {
            self.inches = Inches::AsWritten;
        }
        let arguments = self.arguments()?;
        self.inches = inches;
        Ok(Node::Call(name, arguments))
    }

    fn arguments(&mut self) -> Result<Vec<Node>, FormulaError> {
        let mut arguments = vec![self.whole()?];
        while self.take(",") {
            arguments.push(self.whole()?);
        }
        self.need(")", "\",\" or \")\"")?;
        Ok(arguments)
    }

    /// A length written in inches.
    fn written(&self, inches: Quantity) -> Node {
        let written = Node::Value(inches.into());
        match self.inches {
            Inches::AsWritten => written,
            Inches::Round => {
                let round = Node::Value(Quantity::mm(in_round_mm(inches.value)).into());
                Node::Call(EITHER.to_owned(), vec![written, round])
            }
        }
    }

    /// Operands of the next tighter level, joined by this level's signs from left to right.
    fn chain(&mut self, level: Precedence, operand: impl Fn(&mut Self) -> Parsed) -> Parsed {
        let mut left = operand(self)?;
        while let Some(operator) = self.operator(level) {
            left = Node::Two(operator, Box::new(left), Box::new(operand(self)?));
        }
        Ok(left)
    }

    fn nested(&mut self, inner: impl Fn(&mut Self) -> Parsed) -> Parsed {
        self.depth += 1;
        if self.depth > limits::NESTING {
            return Err(FormulaError::TooDeep);
        }
        let node = inner(self);
        self.depth -= 1;
        node
    }

    fn operator(&mut self, level: Precedence) -> Option<Operator> {
        let (_, operator) = level.iter().find(|(sign, _)| self.is_next(sign))?;
        self.at += 1;
        Some(*operator)
    }

    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.at).map(|(token, _)| token)
    }

    fn is_next(&self, text: &str) -> bool {
        match self.peek() {
            Some(Token::Sign(sign)) => *sign == text,
            Some(Token::Name(name)) => name == text,
            _ => false,
        }
    }

    fn take(&mut self, text: &str) -> bool {
        let next = self.is_next(text);
        self.at += usize::from(next);
        next
    }

    fn need(&mut self, text: &str, wanted: &'static str) -> Result<(), FormulaError> {
        if self.take(text) { Ok(()) } else { Err(self.unexpected(wanted)) }
    }

    fn advance(&mut self, node: Node) -> Parsed {
        self.at += 1;
        Ok(node)
    }

    fn unexpected(&self, wanted: &'static str) -> FormulaError {
        let found = self.peek().map_or_else(|| "the end".to_owned(), Token::describe);
        FormulaError::Unexpected { wanted, found }
    }
}
