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
    Choice {
        name: String,
        from: NewValue,
        value: NewValue,
    },
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
    /// The holder file with it, figures in `units`.
    pub(super) fn in_file(&self, file: HolderFile, units: Units) -> HolderFile {
        match self {
            Self::Choice { name, value, .. } => file.with_choice(name, value.entry(units)),
            Self::WallScrews(_) | Self::WallScrew(_) | Self::CleatWidth(_) => file,
        }
    }

    /// The shop with it.
    pub(super) fn in_shop(&self, shop: &mut Shop) {
        match self {
            Self::WallScrews(count) => shop.wall.screws = *count,
            Self::WallScrew(thicker) => shop.wall.screw = thicker.screw,
            Self::CleatWidth(mm) => shop.cleat.width = *mm,
            Self::Choice { .. } => {}
        }
    }

    /// What it sets.
    pub(super) fn name(&self) -> &str {
        match self {
            Self::Choice { name, .. } => name,
            Self::WallScrews(_) => "wall.screws",
            Self::WallScrew(_) => "wall.screw",
            Self::CleatWidth(_) => "cleat.width",
        }
    }

    /// What `shop` has where it makes a change, and what that is changed to.
    pub(super) fn of_shop(&self, shop: &Shop) -> [Value; 2] {
        match self {
            Self::Choice { from, value, .. } => [from, value].map(|value| value.clone().into()),
            Self::WallScrews(count) => {
                [shop.wall.screws, *count].map(|count| Quantity::number(count as f64).into())
            }
            Self::WallScrew(thicker) => {
                [shop.wall.screw, thicker.screw].map(|screw| Value::Word(screw.to_string()))
            }
            Self::CleatWidth(mm) => [shop.cleat.width, *mm].map(|mm| Quantity::mm(mm).into()),
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
