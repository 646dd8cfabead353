//! Whether what is given and worked out is what the style asks for: every name once, before a part
//! is made.

use std::ops::Range;

use super::Values;
use crate::formula::{Names, Value};
use crate::holder::finding::{Finding, Refusal};
use crate::holder::given::{Definition, Limits, Origin, entry_key};
use crate::length::Quantity;
use crate::reading::{Kind, Problems, Source};
use crate::style::Choice;
use crate::tolerance::COORDINATE;

/// What is wrong so far.
pub(super) struct Faults {
    pub problems: Problems,
    /// The first thing that the shop lacks.
    pub design: Option<Finding>,
}

impl Faults {
    pub(super) fn keep<T>(&mut self, read: Result<T, Refusal>) -> Option<T> {
        match read {
            Ok(value) => return Some(value),
            Err(Refusal::Input(problems)) => self.problems.add(problems),
            Err(Refusal::Design(finding)) => drop(self.design.get_or_insert(finding)),
        }
        None
    }

    /// Wrong input before what the shop lacks: the one may come from the other.
    pub(super) fn or<T>(self, value: T) -> Result<T, Refusal> {
        let value = self.problems.or(value)?;
        self.design.map_or(Ok(value), |finding| Err(finding.into()))
    }
}

impl Values<'_> {
    /// Whether what the holder file gives is within range, and as much as is wanted.
    pub(super) fn check_given(&self, wrong: &mut Faults) {
        for (name, definition) in &self.given.definitions {
            let Origin::Given(value, spans) = &definition.origin else { continue };
            let checked = self.entries_in_range(definition, value, spans);
            let worked = Names::value(self, name).map_err(|error| self.failed(&error));
            self.settle(name, checked.and(worked.map(drop)), wrong);
        }
    }

    fn entries_in_range(
        &self,
        definition: &Definition<'_>,
        value: &Value,
        spans: &[Range<usize>],
    ) -> Result<(), Refusal> {
        let mut wrong = Problems::default();
        for (i, (entry, span)) in value.entries().iter().zip(spans).enumerate() {
            // In the inventory each tool has its own line.
            let own = definition.source.name() == self.holder.source.name();
            let list = own && matches!(value, Value::List(_));
            let key = if list { entry_key(&definition.key, i) } else { definition.key.clone() };
            if let (Value::Figure(figure), Some(limits)) = (entry, definition.limits) {
                match self.in_range(*figure, limits, (&key, span.clone(), definition.source)) {
                    Err(Refusal::Input(problems)) => wrong.add(problems),
                    other => other?,
                }
            }
        }
        Ok(wrong.or(())?)
    }

    /// Keeps what is wrong with `name`, and that it is.
    fn settle(&self, name: &str, worked: Result<(), Refusal>, wrong: &mut Faults) {
        if wrong.keep(worked).is_none() {
            self.known.borrow_mut().remove(name);
            self.bad.borrow_mut().insert(name.to_owned());
        }
    }

    /// Works out every formula, so that a faulty one is found whether or not a part uses it: all of
    /// the holder file's, then the style's as far as the first that fails.
    pub(super) fn work_out(&self, wrong: &mut Faults) {
        let formulas = |own: bool| {
            let all = self.given.definitions.iter();
            all.filter(move |(name, definition)| {
                let is_own = self.holder.is_own(definition.source);
                let formula = matches!(definition.origin, Origin::Formula(_));
                formula && is_own == own && !self.varying.contains(*name)
            })
        };
        for (name, definition) in formulas(true) {
            self.settle(name, self.ranged(name, definition), wrong);
        }
        for (name, definition) in formulas(false) {
            let worked = self.ranged(name, definition);
            let follows = matches!(&worked, Err(Refusal::Input(told)) if told.is_empty());
            if wrong.keep(worked).is_none() && !follows {
                return;
            }
        }
    }

    /// Works a formula out, and whether it comes to what is within range.
    fn ranged(&self, name: &str, definition: &Definition<'_>) -> Result<(), Refusal> {
        let value = Names::value(self, name).map_err(|error| self.failed(&error))?;
        let Definition { key, span, source, .. } = definition;
        let (Some(limits), Origin::Formula(formula)) = (definition.limits, &definition.origin)
        else {
            return Ok(());
        };
        for entry in value.entries() {
            let Value::Figure(quantity) = entry else { continue };
            if quantity.dimension != limits.kind.dimension() {
                let message = format!("{key}: \"{formula}\" comes to {}", quantity.dimension);
                let help = format!("write {}", limits.kind.example());
                return Err(source.problem(span.clone(), message).with_help(help).into());
            }
            self.in_range(*quantity, limits, (key, span.clone(), source))?;
        }
        Ok(())
    }

    /// Whether `choice` may be set to `value`: a word of its own, a figure within its range.
    pub(crate) fn allowed(&self, choice: &Choice, value: &Value, style: &Source) -> bool {
        let (Value::Figure(figure), Some(range)) = (value, &choice.range) else { return true };
        let Some(kind) = choice.kind.figure() else { return false };
        let limits = Limits { kind, range, source: style };
        figure.dimension == kind.dimension()
            && self.in_range(*figure, limits, ("", 0..0, style)).is_ok()
    }

    fn in_range(
        &self,
        value: Quantity,
        Limits { kind, range: [least, most], source: style }: Limits<'_>,
        (key, span, source): (&str, Range<usize>, &Source),
    ) -> Result<(), Refusal> {
        let least = self.figure(least, kind, style)?;
        let most = self.figure(most, kind, style)?;
        // A figure on the limit passes whichever unit it was written in.
        let near = if kind == Kind::Length { COORDINATE } else { 1e-9 };
        if (least - near..=most + near).contains(&value.value) {
            return Ok(());
        }
        let write = |v: f64| self.units.quantity(Quantity { value: v, dimension: value.dimension });
        let message = format!("{key}: {} is out of range", write(value.value));
        let help = format!("write a value from {} to {}", write(least), write(most));
        Err(source.problem(span, message).with_help(help).into())
    }
}
