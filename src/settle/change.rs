//! One thing set otherwise.

use crate::formula::Value;
use crate::length::{Dimension, Quantity, Units};
use crate::reading::Entry;
use crate::shop::{AskedScrew, Shop, SizedScrew};
use crate::style::HolderFile;

/// One thing set otherwise than it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Change {
    /// A choice of the holder.
    Choice { name: String, from: NewValue, value: NewValue },
    /// The screws of the wall cleat in each stud.
    WallScrews(usize),
    WallScrew(SizedScrew),
    /// The width of all cleats, in mm.
    CleatWidth(f64),
}

/// What a choice is set to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum NewValue {
    Figure(Quantity),
    /// A word, or the name of a stock.
    Word(String),
}

impl NewValue {
    /// What a choice can be set to; `None` for a yes or no or a list.
    pub(super) fn of(value: Value) -> Option<Self> {
        match value {
            Value::Figure(quantity) => Some(Self::Figure(quantity)),
            Value::Word(word) => Some(Self::Word(word)),
            Value::Truth(_) | Value::List(_) => None,
        }
    }

    /// As it stands in a holder file: as a tape reads, so that what is tried is what is told.
    pub(super) fn entry(&self, units: Units) -> Entry {
        match self {
            Self::Figure(number) if number.dimension == Dimension::NUMBER => {
                Entry::Number(number.value)
            }
            Self::Figure(quantity) => Entry::Text(units.in_file(*quantity)),
            Self::Word(word) => Entry::Text(word.clone()),
        }
    }
}

impl From<NewValue> for Value {
    fn from(value: NewValue) -> Self {
        match value {
            NewValue::Figure(quantity) => quantity.into(),
            NewValue::Word(word) => Self::Word(word),
        }
    }
}

impl Change {
    /// The files with it; figures of the holder file in `units`.
    pub(super) fn make(&self, file: &mut HolderFile, shop: &mut Shop, units: Units) {
        match self {
            Self::Choice { name, value, .. } => *file = file.with_choice(name, value.entry(units)),
            Self::WallScrews(count) => shop.wall.screws = *count,
            Self::WallScrew(thicker) => shop.wall.screw = thicker.screw,
            Self::CleatWidth(mm) => shop.cleat.width = *mm,
        }
    }

    /// As it stands in the file that it is made in.
    pub(super) fn words(&self, units: Units) -> String {
        match self {
            Self::Choice { name, value, .. } => format!("{name} = {}", value.entry(units)),
            Self::CleatWidth(mm) => {
                format!("width = \"{}\" under [cleat] in shop.toml", units.length(*mm))
            }
            Self::WallScrews(count) => format!("screws = {count} under [wall] in shop.toml"),
            Self::WallScrew(SizedScrew { screw, length }) => {
                let sized = AskedScrew { screw: *screw, length: Some(*length) };
                format!("screw = \"{sized}\" under [wall] in shop.toml")
            }
        }
    }
}
