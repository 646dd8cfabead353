//! What formulas can do with lists: one entry a tool, counted from 1.

use super::expression::Operator;
use super::operate::{Evaluated, alike, finite, paired, two};
use super::{FormulaError, Value};
use crate::length::{Dimension, Quantity};
use crate::limits;

/// `list(a, b, …)`: the values in a list; lists among them are taken in entry by entry.
pub(super) fn of(given: &[Value]) -> Evaluated {
    let entries = given.iter().flat_map(Value::entries);
    if entries.clone().count() > limits::LIST {
        return Err(FormulaError::TooManyEntries);
    }
    Ok(Value::List(entries.cloned().collect()))
}

/// `item(list, n)`: its entry `n`.
pub(super) fn item(given: &[Value]) -> Evaluated {
    let (entries, n) = list_and_count("item", given)?;
    let entry = (n >= 1.0).then(|| entries.get(n as usize - 1)).flatten();
    entry.cloned().ok_or(FormulaError::NoEntry { wanted: n, size: entries.len() })
}

/// `so_far(list, n)`: the sum of its first `n` entries.
pub(super) fn so_far(given: &[Value]) -> Evaluated {
    let (entries, n) = list_and_count("so_far", given)?;
    let first = (n >= 0.0).then(|| entries.get(..n as usize)).flatten();
    sum(first.ok_or(FormulaError::NoEntry { wanted: n, size: entries.len() })?)
}

/// `larger(a, b)`: of two lists the larger of each pair of entries; one figure stands for as many.
pub(super) fn larger(given: &[Value]) -> Evaluated {
    let [a, b] = given else { return Err(arguments("larger", "two lists", given)) };
    paired(a, b, &|a, b| {
        let (left, right, dimension) = alike("compare", a, b)?;
        finite(left.max(right), dimension)
    })
}

/// `how_many(list)`: how many entries it has.
pub(super) fn size(given: &[Value]) -> Evaluated {
    match given {
        [list] => Ok(Quantity::number(list.entries().len() as f64).into()),
        _ => Err(arguments("how_many", "one list", given)),
    }
}

/// The sum of `entries`; a plain 0, which is nought in every unit, when there are none.
pub(super) fn sum(entries: &[Value]) -> Evaluated {
    let nought = Value::from(Quantity::number(0.0));
    entries.iter().try_fold(nought, |sum, entry| two(Operator::Add, &sum, entry))
}

/// The two arguments of a function on a list and a whole number.
fn list_and_count<'a>(
    function: &str,
    given: &'a [Value],
) -> Result<(&'a [Value], f64), FormulaError> {
    let [list, count] = given else {
        return Err(arguments(function, "a list and a whole number", given));
    };
    let number = count.figure(Dimension::NUMBER).filter(|n| (n - n.round()).abs() < 1e-9);
    let number = number.ok_or_else(|| FormulaError::Kind {
        what: function.to_owned(),
        wanted: "a whole number",
        given: count.describe(),
    })?;
    Ok((list.entries(), number.round()))
}

fn arguments(function: &str, wanted: &'static str, given: &[Value]) -> FormulaError {
    FormulaError::Arguments { function: function.to_owned(), wanted, given: given.len() }
}
