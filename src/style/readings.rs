//! What a style asks that is taken with tape, caliper or scale, or counted, as plain data to write down.

use super::asked::{Choice, Many, Measure};
use super::guide::{is_of_shop, left_out};
use super::library::Style;
use crate::length::Units;
use crate::reading::{Kind, Spanned};

/// A reading, or a choice that says how many tools there are or how large something is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct AskedFigure {
    /// Its name in a holder file.
    pub name: String,
    pub ask: String,
    /// What it is taken with; empty for a choice.
    pub with: String,
    pub kind: Kind,
    pub of: AskedOf,
    pub count: AskedCount,
    /// What holds where it is left out; `None` where it must be given.
    pub left_out: Option<String>,
}

/// Under which heading of a holder file it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AskedOf {
    Measures,
    Choices,
}

/// How many figures are written for one name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum AskedCount {
    One,
    /// One for each tool.
    Each,
    /// One for all tools, or one for each.
    OneOrEach,
}

/// What a style asks for, told in `units`: its readings, those that must be given first; then the choices that say how
/// many tools there are, and those that its measuring sheet has a line for.
pub(crate) fn asked_figures(style: &Style, units: Units) -> Vec<AskedFigure> {
    let readings = style.measures().map(|(name, measure, _)| reading(style, name, measure, units));
    let mut asked: Vec<AskedFigure> = readings.collect();
    asked.sort_by_key(|figure| figure.left_out.is_some());
    let on_sheet = style.choices().filter(|(name, ..)| is_on_sheet(style, name));
    asked.extend(on_sheet.filter_map(|(name, choice, _)| decided(style, name, choice, units)));
    asked
}

fn reading(style: &Style, name: &str, measure: &Measure, units: Units) -> AskedFigure {
    let default = measure.default.as_ref();
    AskedFigure {
        name: name.to_owned(),
        ask: measure.ask.clone(),
        with: measure.with.clone(),
        kind: measure.kind,
        of: AskedOf::Measures,
        count: match measure.many() {
            Many::One => AskedCount::One,
            Many::Any | Many::Per(_) => AskedCount::Each,
            Many::Tools(_) => AskedCount::OneOrEach,
        },
        left_out: default.map(|default| left_out(style, default, units)),
    }
}

/// A choice that is a figure.
fn decided(style: &Style, name: &str, choice: &Choice, units: Units) -> Option<AskedFigure> {
    let default = choice.default.as_ref();
    Some(AskedFigure {
        name: name.to_owned(),
        ask: choice.ask.clone(),
        with: String::new(),
        kind: choice.kind.figure()?,
        of: AskedOf::Choices,
        count: AskedCount::One,
        left_out: default.map(|default| match is_of_shop(default) {
            true => "as in shop.toml".to_owned(),
            false => left_out(style, default, units),
        }),
    })
}

fn is_on_sheet(style: &Style, name: &str) -> bool {
    let counts = style.own().counts.iter().flat_map(|counts| [&counts.tools, &counts.room]);
    let counts = counts.flatten().map(Spanned::get_ref);
    let lines = style.layers.iter().flat_map(|layer| &layer.file.measuring.lines);
    lines.map(|line| line.name.get_ref()).chain(counts).any(|known| known == name)
}
