//! Working a formula out, with units checked.

use super::expression::{Node, Operator};
use super::operate::{Evaluated, alike, figure, finite, truth, two};
use super::token::EITHER;
use super::{Formula, FormulaError, Value, list};
use crate::length::{Dimension, Quantity, Tape, Units};

/// What gives names their values.
pub trait Names {
    /// The value named `name`.
    ///
    /// # Errors
    /// When no value has that name, or it can't be worked out itself.
    fn value(&self, name: &str) -> Result<Value, FormulaError>;

    /// The smallest drill or forstner bit of the shop that is at least `mm` wide.
    fn bit_at_least(&self, mm: f64) -> Option<f64> {
        let _ = mm;
        None
    }

    /// The narrowest slot that the router of the shop mills, in mm.
    fn narrowest_milled(&self) -> Option<f64> {
        None
    }

    /// The units of what is worked out: which of two sizes is meant by `either`.
    fn units(&self) -> Units {
        Units::Inches
    }

    /// The tape whose marks `on_tape` comes up to.
    fn tape(&self) -> Tape {
        Tape::usual(self.units())
    }
}

/// The functions a formula may call.
pub(super) const FUNCTIONS: [&str; 21] = [
    "min",
    "max",
    "ceil",
    "floor",
    "round",
    "abs",
    "sqrt",
    "sin",
    "cos",
    "tan",
    "atan",
    "bit_at_least",
    "cut_width",
    EITHER,
    "list",
    "item",
    "so_far",
    "how_many",
    "larger",
    "sum",
    "on_tape",
];

impl Formula {
    /// Works the formula out.
    ///
    /// # Errors
    /// When a name is unknown, units do not agree, or the result is no usable number.
    pub fn evaluate(&self, names: &dyn Names) -> Evaluated {
        self.root().evaluate(names)
    }
}

impl Node {
    fn evaluate(&self, names: &dyn Names) -> Evaluated {
        match self {
            Self::Value(value) => Ok(value.clone()),
            Self::Name(name) => names.value(name),
            Self::Call(function, arguments) => {
                let given: Vec<Value> =
                    arguments.iter().map(|a| a.evaluate(names)).collect::<Result<_, _>>()?;
                call(function, &given, names)
            }
            Self::Negative(inner) => {
                let quantity = figure(&inner.evaluate(names)?, "a minus sign")?;
                Ok(Quantity { value: -quantity.value, ..quantity }.into())
            }
            Self::Not(inner) => Ok(Value::Truth(!truth(&inner.evaluate(names)?, "\"not\"")?)),
            Self::Two(Operator::And, a, b) => {
                let both = truth(&a.evaluate(names)?, "\"and\"")?
                    && truth(&b.evaluate(names)?, "\"and\"")?;
                Ok(Value::Truth(both))
            }
            Self::Two(Operator::Or, a, b) => {
                let either =
                    truth(&a.evaluate(names)?, "\"or\"")? || truth(&b.evaluate(names)?, "\"or\"")?;
                Ok(Value::Truth(either))
            }
            Self::Two(operator, a, b) => {
                let (left, right) = (a.evaluate(names)?, b.evaluate(names)?);
                two(*operator, &left, &right)
                    .map_err(|error| error.with_bare(bare(a, &right).or_else(|| bare(b, &left))))
            }
            Self::If(condition, yes, no) => {
                let holds = truth(&condition.evaluate(names)?, "\"if\"")?;
                if holds { yes.evaluate(names) } else { no.evaluate(names) }
            }
        }
    }
}

fn call(function: &str, given: &[Value], names: &dyn Names) -> Evaluated {
    match function {
        "min" | "max" => extreme(function, given),
        "ceil" => whole(function, given, f64::ceil),
        "floor" => whole(function, given, f64::floor),
        "round" => whole(function, given, f64::round),
        "abs" => match only(function, given)? {
            Value::List(entries) => each_of(function, entries, names),
            single => {
                let quantity = figure(single, function)?;
                finite(quantity.value.abs(), quantity.dimension)
            }
        },
        "sqrt" => {
            let quantity = figure(only(function, given)?, function)?;
            let root = quantity.dimension.root();
            finite(quantity.value.sqrt(), root.ok_or(FormulaError::Root(quantity.dimension))?)
        }
        "sin" => turned(function, given, f64::sin),
        "cos" => turned(function, given, f64::cos),
        "tan" => turned(function, given, f64::tan),
        "atan" => {
            let slope = of_kind(function, given, Dimension::NUMBER, "a plain number")?;
            finite(slope.atan().to_degrees(), Dimension::ANGLE)
        }
        EITHER => either(given, names.units()),
        "list" => list::of(given),
        "item" => list::item(given),
        "so_far" => list::so_far(given),
        "how_many" => list::size(given),
        "larger" => list::larger(given),
        "on_tape" => Ok(only(function, given)?.clone().on_tape(names.tape())),
        "sum" => list::sum(only(function, given)?.entries()),
        "bit_at_least" => match only(function, given)? {
            Value::List(entries) => each_of(function, entries, names),
            _ => {
                let least_mm = of_kind(function, given, Dimension::LENGTH, "a length")?;
                let bit = names.bit_at_least(least_mm).ok_or(FormulaError::NoBit { least_mm })?;
                Ok(Quantity::mm(bit).into())
            }
        },
        "cut_width" => cut_width(given, names),
        _ => Err(FormulaError::UnknownFunction(function.to_owned())),
    }
}

/// `cut_width(width, made_by)`: how wide a slot or hole for `width` comes. By hand its end is bored with a bit of the
/// shop; by router it is as wide as it is to be, but no narrower than the bit mills.
fn cut_width(given: &[Value], names: &dyn Names) -> Evaluated {
    let function = "cut_width";
    let (width, made_by) = match given {
        [width, Value::Word(made_by)] => (width, made_by.as_str()),
        _ => {
            let wanted = "a length and the word 'hand' or 'router'";
            return Err(FormulaError::Arguments {
                function: function.to_owned(),
                wanted,
                given: given.len(),
            });
        }
    };
    match (width, made_by) {
        (Value::List(entries), _) => {
            let each =
                entries.iter().map(|entry| cut_width(&[entry.clone(), given[1].clone()], names));
            each.collect::<Result<_, _>>().map(Value::List)
        }
        (width, "router") => {
            let least = names.narrowest_milled().ok_or(FormulaError::NoRouter)?;
            let asked =
                of_kind(function, std::slice::from_ref(width), Dimension::LENGTH, "a length")?;
            Ok(Quantity::mm(asked.max(least)).into())
        }
        (width, _) => call("bit_at_least", std::slice::from_ref(width), names),
    }
}

/// A function of one value, of each entry of a list.
fn each_of(function: &str, entries: &[Value], names: &dyn Names) -> Evaluated {
    let each = entries.iter().map(|entry| call(function, std::slice::from_ref(entry), names));
    each.collect::<Result<_, _>>().map(Value::List)
}

/// `either(3/4 in, 20 mm)`: the first in a project in inches, the second in one in millimeters, so
/// that either is round.
fn either(given: &[Value], units: Units) -> Evaluated {
    let [inches, metric] = given else {
        let (function, wanted) = (EITHER.to_owned(), "one size in inches and one in millimeters");
        return Err(FormulaError::Arguments { function, wanted, given: given.len() });
    };
    Ok(if units == Units::Inches { inches.clone() } else { metric.clone() })
}

/// Of figures, and of the entries of lists.
fn extreme(function: &str, given: &[Value]) -> Evaluated {
    let figures: Vec<Value> = given.iter().flat_map(Value::entries).cloned().collect();
    let (first, rest) = figures.split_first().ok_or_else(|| wrong_count(function, 0))?;
    rest.iter().try_fold(first.clone(), |best, next| {
        let (a, b, dimension) = alike("compare", &best, next)?;
        finite(if function == "min" { a.min(b) } else { a.max(b) }, dimension)
    })
}

/// Rounding up or down. A quotient that should be whole but for the last bits counts as whole.
fn whole(function: &str, given: &[Value], round: fn(f64) -> f64) -> Evaluated {
    let number = of_kind(function, given, Dimension::NUMBER, "a plain number")?;
    let near = number.round();
    let number = if (number - near).abs() < 1e-9 { near } else { round(number) };
    finite(number, Dimension::NUMBER)
}

fn turned(function: &str, given: &[Value], of: fn(f64) -> f64) -> Evaluated {
    let degrees = of_kind(function, given, Dimension::ANGLE, "an angle")?;
    finite(of(degrees.to_radians()), Dimension::NUMBER)
}

fn of_kind(
    function: &str,
    given: &[Value],
    dimension: Dimension,
    wanted: &'static str,
) -> Result<f64, FormulaError> {
    let value = only(function, given)?;
    value.figure(dimension).ok_or_else(|| FormulaError::Kind {
        what: function.to_owned(),
        wanted,
        given: value.describe(),
    })
}

fn only<'a>(function: &str, given: &'a [Value]) -> Result<&'a Value, FormulaError> {
    match given {
        [one] => Ok(one),
        _ => Err(wrong_count(function, given.len())),
    }
}

fn wrong_count(function: &str, given: usize) -> FormulaError {
    FormulaError::Arguments { function: function.to_owned(), wanted: "one figure", given }
}

impl FormulaError {
    fn with_bare(mut self, number: Option<(f64, Dimension)>) -> Self {
        if let Self::Mixed { bare, .. } = &mut self {
            *bare = number;
        }
        self
    }
}

/// The number of `node`, written without a unit beside a figure that has one.
fn bare(node: &Node, beside: &Value) -> Option<(f64, Dimension)> {
    let Value::Figure(other) = beside else { return None };
    let number = written(node)?;
    (other.dimension != Dimension::NUMBER).then_some((number, other.dimension))
}

/// A number as it stands in the text of a formula: `7`, or `1/8`.
fn written(node: &Node) -> Option<f64> {
    match node {
        Node::Value(Value::Figure(number)) if number.dimension == Dimension::NUMBER => {
            Some(number.value)
        }
        Node::Two(Operator::Divide, above, below) => {
            let (above, below) = (written(above)?, written(below)?);
            (below != 0.0).then_some(above / below)
        }
        _ => None,
    }
}
