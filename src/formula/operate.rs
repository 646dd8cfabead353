//! What is done to two values, and what a value must be for it.

use super::expression::Operator;
use super::{FormulaError, Value};
use crate::length::{Dimension, Quantity};

/// What a formula, or part of one, comes to.
pub(super) type Evaluated = Result<Value, FormulaError>;

/// Arithmetic and comparisons; `and` and `or` look at their right side only where it counts.
pub(super) fn two(operator: Operator, left: &Value, right: &Value) -> Evaluated {
    let arithmetic = [Operator::Add, Operator::Subtract, Operator::Multiply, Operator::Divide];
    if arithmetic.contains(&operator) && [left, right].iter().any(|v| matches!(v, Value::List(_))) {
        return paired(left, right, &|a, b| two(operator, a, b));
    }
    match operator {
        Operator::Add => {
            let (a, b, dimension) = alike("add", left, right)?;
            finite(a + b, dimension)
        }
        Operator::Subtract => {
            let (a, b, dimension) = alike("subtract", left, right)?;
            finite(a - b, dimension)
        }
        Operator::Multiply => {
            let (a, b) = (figure(left, "*")?, figure(right, "*")?);
            finite(a.value * b.value, a.dimension.times(b.dimension))
        }
        Operator::Divide => {
            let (a, b) = (figure(left, "/")?, figure(right, "/")?);
            if b.value == 0.0 {
                return Err(FormulaError::DivisionByZero);
            }
            finite(a.value / b.value, a.dimension.per(b.dimension))
        }
        _ => compare(operator, left, right).map(Value::Truth),
    }
}

/// What is done entry by entry: to two lists of one length, or to a list and one figure for all of it.
pub(super) fn paired(
    left: &Value,
    right: &Value,
    one: &dyn Fn(&Value, &Value) -> Evaluated,
) -> Evaluated {
    let entries = |value: &Value, size: usize| match value {
        Value::List(entries) => entries.clone(),
        single => vec![single.clone(); size],
    };
    let size = |value: &Value| match value {
        Value::List(entries) => Some(entries.len()),
        _ => None,
    };
    let (Some(a), Some(b)) = (size(left).or(size(right)), size(right).or(size(left))) else {
        return one(left, right);
    };
    if a != b {
        return Err(FormulaError::Unequal(a, b));
    }
    let pairs = entries(left, a).into_iter().zip(entries(right, b));
    pairs.map(|(a, b)| one(&a, &b)).collect::<Result<_, _>>().map(Value::List)
}

/// Comparisons. Lengths closer than the coordinate tolerance count as equal, so that a figure
/// that is right on the limit passes whichever unit it was written in.
fn compare(operator: Operator, left: &Value, right: &Value) -> Result<bool, FormulaError> {
    let equality = matches!(operator, Operator::Equal | Operator::Unequal);
    if equality && !matches!((left, right), (Value::Figure(_), Value::Figure(_))) {
        let same_kind = std::mem::discriminant(left) == std::mem::discriminant(right);
        if !same_kind {
            return Err(mixed("compare", left, right));
        }
        return Ok((left == right) == (operator == Operator::Equal));
    }
    let (a, b, dimension) = alike("compare", left, right)?;
    let near = if dimension == Dimension::LENGTH { crate::tolerance::COORDINATE } else { 1e-9 };
    let equal = (a - b).abs() <= near;
    Ok(match operator {
        Operator::Less => a < b && !equal,
        Operator::LessOrEqual => a < b || equal,
        Operator::Greater => a > b && !equal,
        Operator::GreaterOrEqual => a > b || equal,
        Operator::Unequal => !equal,
        _ => equal,
    })
}

/// Two figures of one dimension. A plain 0 goes with any.
pub(super) fn alike(
    verb: &'static str,
    left: &Value,
    right: &Value,
) -> Result<(f64, f64, Dimension), FormulaError> {
    if let (Value::Figure(a), Value::Figure(b)) = (left, right) {
        let dimension = if left.figure(b.dimension).is_some() { b.dimension } else { a.dimension };
        if let (Some(a), Some(b)) = (left.figure(dimension), right.figure(dimension)) {
            return Ok((a, b, dimension));
        }
    }
    Err(mixed(verb, left, right))
}

fn mixed(verb: &'static str, left: &Value, right: &Value) -> FormulaError {
    FormulaError::Mixed { verb, left: left.describe(), right: right.describe(), bare: None }
}

pub(super) fn figure(value: &Value, what: &str) -> Result<Quantity, FormulaError> {
    match value {
        Value::Figure(quantity) => Ok(*quantity),
        _ => Err(needs(what, "a figure", value)),
    }
}

pub(super) fn truth(value: &Value, what: &str) -> Result<bool, FormulaError> {
    match value {
        Value::Truth(truth) => Ok(*truth),
        _ => Err(needs(what, "a yes or no", value)),
    }
}

fn needs(what: &str, wanted: &'static str, value: &Value) -> FormulaError {
    FormulaError::Kind { what: what.to_owned(), wanted, given: value.describe() }
}

pub(super) fn finite(value: f64, dimension: Dimension) -> Evaluated {
    if value.is_finite() {
        Ok(Quantity { value, dimension }.into())
    } else {
        Err(FormulaError::NotFinite)
    }
}
