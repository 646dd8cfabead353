//! What a check has to say.

use crate::formula::FormulaError;
use crate::length::{Dimension, Quantity, Units};
use crate::reading::{Problem, Problems};
use crate::style::Level;

/// One thing a check found, with the figures and the way out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Finding {
    pub level: Level,
    /// A short name for the kind of thing, the same for every holder: "head-falls-through".
    pub code: String,
    pub message: String,
}

/// The code of what was settled.
pub(crate) const SETTLED: &str = "settled";

impl Finding {
    pub(crate) fn stop(code: impl Into<String>, message: impl Into<String>) -> Self {
        Self { level: Level::Stop, code: code.into(), message: message.into() }
    }

    pub(crate) fn warn(code: impl Into<String>, message: impl Into<String>) -> Self {
        Self { level: Level::Warn, code: code.into(), message: message.into() }
    }

    pub(crate) fn note(code: impl Into<String>, message: impl Into<String>) -> Self {
        Self { level: Level::Note, code: code.into(), message: message.into() }
    }

    /// The same after what is to be known first.
    pub(crate) fn after(self, first: &str) -> Self {
        if first.is_empty() {
            return self;
        }
        let mut letters = self.message.chars();
        let large: String = letters.next().map_or_else(String::new, |l| l.to_uppercase().collect());
        Self { message: format!("{first} {large}{}", letters.as_str()), ..self }
    }

    /// The same with the way out, but for a note.
    pub(crate) fn with(&self, fix: &str) -> Self {
        let fix = if self.level == Level::Note { "" } else { fix };
        Self { message: self.message.clone() + fix, ..self.clone() }
    }
}

/// Why something could not be worked out.
#[derive(Debug)]
pub(crate) enum Refusal {
    /// The input is wrong: nothing is made.
    Input(Problems),
    /// The design can't be made.
    Design(Finding),
}

impl From<Problem> for Refusal {
    fn from(problem: Problem) -> Self {
        Self::Input(problem.into())
    }
}

impl From<Problems> for Refusal {
    fn from(problems: Problems) -> Self {
        Self::Input(problems)
    }
}

impl From<Finding> for Refusal {
    fn from(finding: Finding) -> Self {
        Self::Design(finding)
    }
}

/// A formula error at a place in a file: a missing bit is the design's fault, all else the input's.
pub(super) fn refuse(
    error: &FormulaError,
    source: &crate::reading::Source,
    span: std::ops::Range<usize>,
    what: &str,
    units: Units,
) -> Refusal {
    if let FormulaError::NoBit { least_mm } = error {
        let message = format!(
            "{what} needs a drill or forstner bit of at least {}, and the shop has none: get one and \
             add it to [bits] in shop.toml, or choose a smaller fit.",
            units.length(*least_mm)
        );
        return Refusal::Design(Finding::stop("no-bit", message));
    }
    if *error == FormulaError::Told {
        return Problems::default().into();
    }
    if *error == FormulaError::NoRouter {
        return Refusal::Design(no_router());
    }
    let place = if what.is_empty() { String::new() } else { format!("{what}: ") };
    source.problem(span, format!("{place}{error}")).with_help(advice(error, units)).into()
}

/// What to write in the place of a number that has no unit, or that is divided by.
fn advice(error: &FormulaError, units: Units) -> String {
    match error {
        FormulaError::Mixed { bare: Some((number, dimension)), .. } => {
            let value =
                if *dimension == Dimension::LENGTH { number * units.in_mm() } else { *number };
            format!("write {}", units.quantity(Quantity { value, dimension: *dimension }))
        }
        FormulaError::Mixed { verb, .. } => {
            format!(
                "{verb} values of one kind: a plain number becomes a length with * 1 {}",
                units.symbol()
            )
        }
        FormulaError::DivisionByZero => "divide by a figure that is not 0".to_owned(),
        _ => String::new(),
    }
}

/// Something is to be made by a CNC router that the shop does not have.
pub(super) fn no_router() -> Finding {
    let message = "Parts are to be made by CNC router, and the shop has none: add bit under [router] in \
                   shop.toml, or choose made_by = \"hand\".";
    Finding::stop("no-router", message)
}
