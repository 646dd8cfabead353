//! The best plan so far: some panels many times, the rest each by itself.

use super::ItemType;
use super::dual_bound::area_bound;
use super::inflated::Inflated;
use super::meter::Meter;
use super::pattern::PatternCounts;
use super::ruin_recreate::{Packing, PackingTask, ruin_and_recreate};

/// A plan, and the least that any plan costs.
#[derive(Default)]
pub(super) struct Incumbent {
    pub counts: PatternCounts,
    pub packing: Packing,
    /// No plan for all pieces costs less.
    pub lower: i64,
}

impl Incumbent {
    /// A plan soon made, with what areas alone prove.
    pub(super) fn first(inflated: &Inflated, meter: &mut Meter) -> Self {
        let lower = area_bound(&inflated.stock, &inflated.items);
        let counts = PatternCounts::default();
        Self { lower, ..Self::completed(counts, inflated.clone(), lower, meter) }
    }

    /// `counts` and what `residual` still asks for: repeated while that is much, then each panel by
    /// itself. No plan costs less than `lower`.
    pub(super) fn completed(
        mut counts: PatternCounts,
        mut residual: Inflated,
        lower: i64,
        meter: &mut Meter,
    ) -> Self {
        counts.fill(&mut residual);
        let lower = lower.saturating_sub(counts.cost);
        let task = PackingTask { stock: &residual.stock, items: &residual.items, lower };
        let packing = ruin_and_recreate(&task, Packing::of(pieces(&residual.items)), meter);
        Self { counts, packing, lower: 0 }
    }

    pub(super) fn cost(&self) -> i64 {
        self.counts.cost + self.packing.cost
    }

    /// Whether it has all pieces.
    pub(super) fn is_complete(&self) -> bool {
        self.packing.unplaced.is_empty()
    }

    /// Whether no better plan is possible.
    pub(super) fn is_optimal(&self) -> bool {
        self.is_complete() && self.cost() <= self.lower
    }

    /// What a better plan costs less than.
    pub(super) fn ceiling(&self) -> i64 {
        if self.is_complete() { self.cost() } else { i64::MAX }
    }

    pub(super) fn raise_bound(&mut self, lower: i64) {
        self.lower = self.lower.max(lower);
    }

    /// Becomes `other`, if that is better.
    pub(super) fn improve(&mut self, other: Self) {
        let (mine, others) = (self.packing.missing, other.packing.missing);
        if others < mine || others <= mine && other.cost() < self.cost() {
            *self = Self { lower: self.lower, ..other };
        }
    }

    /// Adds the pieces no place was found for.
    pub(super) fn count_unplaced(&self, unmet: &mut [usize]) {
        for &item in &self.packing.unplaced {
            unmet[item as usize] += 1;
        }
    }
}

/// Each piece by its item.
fn pieces(items: &[ItemType]) -> Vec<u32> {
    let of_one = |(at, item): (usize, &ItemType)| std::iter::repeat_n(at as u32, item.demand);
    items.iter().enumerate().flat_map(of_one).collect()
}
