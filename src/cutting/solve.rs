//! A plan for all pieces, and how good it is.

use super::budget::{Budget, Purse};
use super::grown::Grown;
use super::refill::{Plan, Task, refill};
use super::{Panel, Problem};

/// A way to saw one panel, and how many are sawn that way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    pub stock: usize,
    pub times: usize,
    pub panel: Panel,
}

/// A plan for all pieces, and how good it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    pub layouts: Vec<Layout>,
    /// How many pieces of each item are not made, for want of stock or because none is as large.
    pub unmet: Vec<usize>,
    pub cost: i64,
    pub sheets: usize,
    /// No plan that makes all pieces costs less.
    pub lower: i64,
    pub proved: bool,
}

pub fn solve(problem: &Problem, budget: Budget) -> Answer {
    let grown = Grown::new(problem);
    let weight: Vec<f64> = grown.items.iter().map(|item| item.area() as f64).collect();
    let mut purse = Purse::new(budget.steps);
    let mut pieces = Vec::new();
    let mut unmet = vec![0; grown.items.len()];
    for (at, item) in grown.items.iter().enumerate() {
        if grown.stock.iter().any(|stock| item.fits(stock.size)) {
            pieces.extend(std::iter::repeat_n(at as u32, item.demand));
        } else {
            unmet[at] = item.demand;
        }
    }
    let total: i128 = pieces.iter().map(|&p| i128::from(grown.items[p as usize].area())).sum();
    let sheet = i128::from(grown.stock[0].size[0]) * i128::from(grown.stock[0].size[1]);
    let lower = (total + sheet - 1) / sheet;
    let task = Task { stock: &grown.stock, items: &grown.items, weight: &weight, lower: lower as i64 };
    let plan: Plan = refill(&task, pieces, &mut purse, 1);
    for &p in &plan.left {
        unmet[p as usize] += 1;
    }
    let layouts = plan
        .sheets
        .iter()
        .map(|s| Layout { stock: s.stock, times: 1, panel: s.panel(grown.kerf) })
        .collect();
    Answer {
        layouts,
        unmet,
        cost: plan.cost,
        sheets: plan.sheets.len(),
        lower: lower as i64,
        proved: plan.cost <= lower as i64,
    }
}
