//! Which of two holders is the better one.

use crate::holder::{Finding, Holder, Level};

/// What is looked at to tell two holders apart, in this order; the lesser is the better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) struct Worth {
    pub stops: usize,
    pub warns: usize,
    /// Choices that are not at their style's default.
    pub moved: usize,
    /// Weight of the wood, in tenths of a gram: less is no difference.
    pub wood: u64,
    /// How far the choices moved, each in steps of what its style gives.
    pub far: usize,
}

impl Worth {
    pub(super) fn of<'f>(
        holder: &Holder,
        findings: &(impl Iterator<Item = &'f Finding> + Clone),
        [moved, far]: [usize; 2],
    ) -> Self {
        let count = |level| findings.clone().filter(|finding| finding.level == level).count();
        let wood = (holder.mass * 1e4).round() as u64;
        Self { stops: count(Level::Stop), warns: count(Level::Warn), moved, wood, far }
    }

    /// What two holders are worth together.
    pub(super) fn plus(self, other: Self) -> Self {
        Self {
            stops: self.stops + other.stops,
            warns: self.warns + other.warns,
            moved: self.moved + other.moved,
            wood: self.wood + other.wood,
            far: self.far + other.far,
        }
    }

    /// What it finds, without what was moved for it.
    pub(super) fn found(&self) -> [usize; 2] {
        [self.stops, self.warns]
    }
}
