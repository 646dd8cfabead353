//! What can be reckoned with, and what can't.

use thiserror::Error;

use super::PanelProblem;

/// No side may be longer, in whole units: a hundred meters in micrometers.
const LONGEST: i64 = 100_000_000;
/// No more pieces of one size may be asked for, nor panels of one size be there.
const MOST: usize = 100_000;
/// No more sizes of pieces may be asked for, nor of panels be there.
const KINDS: usize = 10_000;
/// No panel may cost more, in whole units.
const DEAREST: i64 = 1_000_000_000;

/// A figure that can't be reckoned with.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum OutOfRange {
    /// A side of a panel or a piece.
    #[error("a size of {size} is not between 1 and {LONGEST}")]
    Size {
        /// The figure.
        size: i64,
    },
    /// What the saw takes.
    #[error("a kerf of {kerf} is not between 0 and {LONGEST}")]
    Kerf {
        /// The figure.
        kerf: i64,
    },
    /// Pieces or panels of one size.
    #[error("{count} of one size are more than {MOST}")]
    Count {
        /// The figure.
        count: usize,
    },
    /// Sizes of pieces or of panels.
    #[error("{kinds} sizes are more than {KINDS}")]
    Kinds {
        /// The figure.
        kinds: usize,
    },
    /// What a panel costs.
    #[error("a cost of {cost} is not between 0 and {DEAREST}")]
    Cost {
        /// The figure.
        cost: i64,
    },
}

pub(super) fn check(problem: &PanelProblem) -> Result<(), OutOfRange> {
    let PanelProblem { stock, items, kerf } = problem;
    let sizes = stock.iter().map(|stock| stock.size).chain(items.iter().map(|item| item.size));
    if let Some(size) = sizes.flatten().find(|size| !(1..=LONGEST).contains(size)) {
        return Err(OutOfRange::Size { size });
    }
    if !(0..=LONGEST).contains(kerf) {
        return Err(OutOfRange::Kerf { kerf: *kerf });
    }
    let there = stock.iter().filter_map(|stock| stock.quantity);
    let asked = items.iter().map(|item| item.demand);
    if let Some(count) = there.chain(asked).find(|&count| count > MOST) {
        return Err(OutOfRange::Count { count });
    }
    if let Some(cost) = stock.iter().map(|s| s.cost).find(|cost| !(0..=DEAREST).contains(cost)) {
        return Err(OutOfRange::Cost { cost });
    }
    match stock.len().max(items.len()) {
        kinds if kinds > KINDS => Err(OutOfRange::Kinds { kinds }),
        _ => Ok(()),
    }
}
