//! How long to look, counted in steps: the same answer on every machine, fast or slow.

/// Steps the search may take. A step is about one look at one place, a few nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// How many.
    pub steps: u64,
}

impl Default for Budget {
    /// About two seconds on one core of an ordinary machine, where nothing is proved sooner.
    fn default() -> Self {
        Self { steps: 1_200_000_000 }
    }
}

/// What is left of a budget.
pub(super) struct Meter {
    left: u64,
}

impl Meter {
    pub(super) fn new(steps: u64) -> Self {
        Self { left: steps }
    }

    pub(super) fn spend(&mut self, steps: u64) {
        self.left = self.left.saturating_sub(steps);
    }

    pub(super) fn is_empty(&self) -> bool {
        self.left == 0
    }

    pub(super) fn left(&self) -> u64 {
        self.left
    }

    /// A meter of its own with `part` of what is left, taken out of this one.
    pub(super) fn share(&mut self, part: f64) -> Self {
        // Rounded up, so that shares of the last few steps come to an end.
        let steps = ((self.left as f64 * part.clamp(0.0, 1.0)).ceil() as u64).min(self.left);
        self.spend(steps);
        Self { left: steps }
    }

    /// Puts back what a share did not use.
    pub(super) fn give_back(&mut self, share: &Self) {
        self.left = self.left.saturating_add(share.left);
    }
}
