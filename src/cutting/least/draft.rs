//! A plan in the making: some sheets many times, the rest each by itself.

use super::Item;
use super::bounds::area_bound;
use super::budget::Purse;
use super::bulk::Bulk;
use super::grown::Grown;
use super::refill::{Plan, Task, refill};

#[derive(Default)]
pub(super) struct Draft {
    pub bulk: Bulk,
    pub plan: Plan,
    /// No plan for all pieces costs less.
    pub lower: i64,
}

impl Draft {
    /// A plan soon made, with what areas alone prove.
    pub(super) fn first(grown: &Grown, purse: &mut Purse) -> Self {
        let lower = area_bound(&grown.stock, &grown.items);
        let mut rest = grown.clone();
        let mut bulk = Bulk::default();
        bulk.fill(&mut rest);
        Self { lower, ..Self::finish(bulk, &rest, lower, purse) }
    }

    /// `bulk` and, each sheet by itself, what `rest` still asks for.
    pub(super) fn finish(bulk: Bulk, rest: &Grown, lower: i64, purse: &mut Purse) -> Self {
        let weight: Vec<f64> = rest.items.iter().map(|item| item.area() as f64).collect();
        let lower = lower.saturating_sub(bulk.cost);
        let (stock, items) = (&rest.stock, &rest.items);
        let task = Task { stock, items, weight: &weight, lower, enough: 0.0 };
        let plan = refill(&task, Plan::of(pieces(&rest.items)), purse, 1);
        Self { bulk, plan, lower: 0 }
    }

    pub(super) fn cost(&self) -> i64 {
        self.bulk.cost + self.plan.cost
    }

    pub(super) fn complete(&self) -> bool {
        self.plan.left.is_empty()
    }

    pub(super) fn done(&self) -> bool {
        self.complete() && self.cost() <= self.lower
    }

    /// What a better plan costs less than.
    pub(super) fn ceiling(&self) -> i64 {
        if self.complete() { self.cost() } else { i64::MAX }
    }

    pub(super) fn raise(&mut self, lower: i64) {
        self.lower = self.lower.max(lower);
    }

    /// Becomes `other`, if that is better.
    pub(super) fn improve(&mut self, other: Self) {
        let (mine, others) = (self.plan.missing, other.plan.missing);
        if others < mine || others <= mine && other.cost() < self.cost() {
            *self = Self { lower: self.lower, ..other };
        }
    }

    /// Adds the pieces no place was found for.
    pub(super) fn count_left(&self, unmet: &mut [usize]) {
        for &item in &self.plan.left {
            unmet[item as usize] += 1;
        }
    }
}

/// Each piece by its item.
pub(super) fn pieces(items: &[Item]) -> Vec<u32> {
    let of_one = |(at, item): (usize, &Item)| std::iter::repeat_n(at as u32, item.demand);
    items.iter().enumerate().flat_map(of_one).collect()
}
