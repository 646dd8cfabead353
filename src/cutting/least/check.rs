//! What can be reckoned with, and what can't.

use thiserror::Error;

use super::Problem;

/// No side may be longer, in whole units: a hundred metres in micrometres.
pub const LONGEST: i64 = 100_000_000;
/// No more pieces of one size may be asked for, nor panels of one size be there.
pub const MOST: usize = 100_000;
/// No more sizes of pieces may be asked for, nor of panels be there.
pub const KINDS: usize = 10_000;
/// No panel may cost more, in whole units.
pub const DEAREST: i64 = 1_000_000_000;

/// A figure that can't be reckoned with.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Unfit {
    #[error("a size of {size} is not between 1 and {LONGEST}")]
    Size { size: i64 },
    #[error("a kerf of {kerf} is not between 0 and {LONGEST}")]
    Kerf { kerf: i64 },
    #[error("{count} of one size are more than {MOST}")]
    Count { count: usize },
    #[error("{kinds} sizes are more than {KINDS}")]
    Kinds { kinds: usize },
    #[error("a cost of {cost} is not between 0 and {DEAREST}")]
    Cost { cost: i64 },
    #[error("a value of {value} is not between 0 and {DEAREST}")]
    Value { value: i64 },
}

pub(super) fn check(problem: &Problem) -> Result<(), Unfit> {
    let Problem { stock, items, kerf } = problem;
    let sizes = stock.iter().map(|stock| stock.size).chain(items.iter().map(|item| item.size));
    if let Some(size) = sizes.flatten().find(|size| !(1..=LONGEST).contains(size)) {
        return Err(Unfit::Size { size });
    }
    if !(0..=LONGEST).contains(kerf) {
        return Err(Unfit::Kerf { kerf: *kerf });
    }
    let there = stock.iter().filter_map(|stock| stock.quantity);
    let asked = items.iter().map(|item| item.demand);
    if let Some(count) = there.chain(asked).find(|&count| count > MOST) {
        return Err(Unfit::Count { count });
    }
    if let Some(cost) = stock.iter().map(|s| s.cost).find(|cost| !(0..=DEAREST).contains(cost)) {
        return Err(Unfit::Cost { cost });
    }
    match stock.len().max(items.len()) {
        kinds if kinds > KINDS => Err(Unfit::Kinds { kinds }),
        _ => Ok(()),
    }
}
