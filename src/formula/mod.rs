//! Formulas: ordinary arithmetic on named values, with units checked.
//!
//! ```
//! use cleatwright::formula::{Formula, FormulaError, Names, Value};
//! use cleatwright::length::Quantity;
//!
//! struct Measures;
//! impl Names for Measures {
//!     fn value(&self, name: &str) -> Result<Value, FormulaError> {
//!         match name {
//!             "bar" => Ok(Value::from(Quantity::mm(9.5))),
//!             _ => Err(FormulaError::UnknownName { name: name.into(), hint: String::new() }),
//!         }
//!     }
//! }
//! let gap: Formula = "bar + 1/8 in".parse()?;
//! assert_eq!(gap.evaluate(&Measures)?, Value::from(Quantity::mm(12.675)));
//! assert!("bar + 2".parse::<Formula>()?.evaluate(&Measures).is_err());
//! # Ok::<(), FormulaError>(())
//! ```

mod evaluate;
mod expression;
mod list;
mod operate;
mod parse;
mod template;
mod token;
mod value;

use thiserror::Error;

pub use evaluate::Names;
pub use expression::Formula;
pub use template::Template;
pub use value::Value;

use crate::length::{Dimension, ReadingError};
use crate::limits;

/// A text that is no formula, and where in it that shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Misread {
    /// What is wrong.
    pub error: FormulaError,
    /// In bytes of the text; empty at its end where something lacks.
    pub at: std::ops::Range<usize>,
}

/// What is wrong with a formula.
#[derive(Debug, Clone, PartialEq, Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum FormulaError {
    #[error("the formula is empty")]
    Empty,
    #[error("can't read the figure \"{text}\": {why}")]
    Reading { text: String, why: ReadingError },
    #[error("\"{0}\" has no meaning in a formula")]
    Letter(char),
    #[error("a quoted word has no closing quote")]
    OpenQuote,
    #[error("expected {wanted} but found {found}")]
    Unexpected { wanted: &'static str, found: String },
    #[error("a formula of {0} characters; at most {most}", most = limits::TEXT)]
    TooLong(usize),
    #[error("a formula of {0} figures, names and signs; at most {most}", most = limits::TOKENS)]
    TooMany(usize),
    #[error(
        "the formula is nested too deeply: more than {} levels, or more than {} names that \
             depend on each other",
        limits::NESTING,
        limits::CHAIN
    )]
    TooDeep,
    #[error("a list of more than {most} entries", most = limits::LIST)]
    TooManyEntries,
    #[error("a list of {0} entries does not go with one of {1}")]
    Unequal(usize, usize),
    #[error("with its formulas worked out the text has more than {most} characters", most = limits::SAID)]
    SaysTooMuch,
    #[error("no value is named \"{name}\"{hint}")]
    UnknownName { name: String, hint: String },
    #[error("no function is named \"{0}\"; known are {known}", known = evaluate::FUNCTIONS.join(", "))]
    UnknownFunction(String),
    #[error("{function} takes {wanted}, not {given}")]
    Arguments { function: String, wanted: &'static str, given: usize },
    #[error("can't {verb} {left} and {right}")]
    Mixed {
        verb: &'static str,
        left: String,
        right: String,
        /// The bare number that stands where a figure of the other's dimension belongs.
        bare: Option<(f64, Dimension)>,
    },
    #[error("{what} needs {wanted}, not {given}")]
    Kind { what: String, wanted: &'static str, given: String },
    #[error("entry {wanted} of a list was asked for, and it has {size}")]
    NoEntry { wanted: f64, size: usize },
    #[error("{0} has not as many entries as it needs")]
    Entries(String),
    #[error("division by zero")]
    DivisionByZero,
    #[error("the result is not a number that can be used")]
    NotFinite,
    #[error("the square root of {0} has no unit")]
    Root(Dimension),
    #[error("{0} depends on itself")]
    Circle(String),
    /// A name whose value is wrong, which was told where it is given.
    #[error("a value it uses is wrong")]
    Told,
    /// A figure that the shop cannot supply: not the formula's fault.
    #[error("no drill or forstner bit of the shop is at least {least_mm:.2} mm")]
    NoBit { least_mm: f64 },
    /// The same for a figure of the router.
    #[error("the shop has no CNC router")]
    NoRouter,
    #[error("\"{0}\" does not close its brace")]
    OpenBrace(String),
}
