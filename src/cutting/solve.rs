//! A plan for all pieces, and how good it is.

use super::bounds::area_bound;
use super::budget::{Budget, Purse};
use super::columns::{Pattern, generate};
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

/// A plan in the making.
#[derive(Clone, Default)]
struct Draft {
    /// Patterns sawn a whole number of times.
    bulk: Vec<(Pattern, usize)>,
    plan: Plan,
    cost: i64,
}

impl Draft {
    fn better_than(&self, other: &Self) -> bool {
        let (mine, others) = (self.plan.missing, other.plan.missing);
        mine < others || mine <= others && self.cost < other.cost
    }
    fn done(&self, lower: i64) -> bool {
        self.plan.left.is_empty() && self.cost <= lower
    }
}

pub fn solve(problem: &Problem, budget: Budget) -> Answer {
    let mut grown = Grown::new(problem);
    let mut purse = Purse::new(budget.steps);
    let mut unmet = vec![0; grown.items.len()];
    for (at, item) in grown.items.iter_mut().enumerate() {
        if !grown.stock.iter().any(|stock| item.fits(stock.size)) {
            unmet[at] = std::mem::take(&mut item.demand);
        }
    }
    let mut lower = area_bound(&grown.stock, &grown.items);
    let mut best = spread(&grown, lower, &mut purse.share(0.05));
    if !best.done(lower) {
        let upper = if best.plan.left.is_empty() { best.cost } else { i64::MAX };
        let mut share = purse.share(0.5);
        let mix = generate(&grown, upper, &mut share);
        purse.give_back(&share);
        lower = lower.max(mix.lower);
        if !best.done(lower) {
            let mut half = purse.share(0.5);
            let other = rounded(&grown, &mix.patterns, lower, &mut half);
            purse.give_back(&half);
            if other.better_than(&best) {
                best = other;
            }
        }
        if !best.done(lower) {
            let other = spread(&grown, lower, &mut purse);
            if other.better_than(&best) {
                best = other;
            }
        }
    }
    for &item in &best.plan.left {
        unmet[item as usize] += 1;
    }
    let mut layouts: Vec<Layout> = best
        .bulk
        .iter()
        .map(|(pattern, times)| Layout { stock: pattern.stock, times: *times, panel: pattern.panel.clone() })
        .collect();
    layouts.extend(
        best.plan.sheets.iter().map(|s| Layout { stock: s.stock, times: 1, panel: s.panel(grown.kerf) }),
    );
    let sheets = layouts.iter().map(|l| l.times).sum();
    Answer { layouts, unmet, cost: best.cost, sheets, lower, proved: best.done(lower) }
}

fn spread(grown: &Grown, lower: i64, purse: &mut Purse) -> Draft {
    let weight: Vec<f64> = grown.items.iter().map(|item| item.area() as f64).collect();
    let mut pieces = Vec::new();
    for (at, item) in grown.items.iter().enumerate() {
        pieces.extend(std::iter::repeat_n(at as u32, item.demand));
    }
    let task = Task { stock: &grown.stock, items: &grown.items, weight: &weight, lower };
    let plan: Plan = refill(&task, pieces, purse, 1);
    Draft { bulk: Vec::new(), cost: plan.cost, plan }
}

fn rounded(grown: &Grown, mix: &[(Pattern, f64)], lower: i64, purse: &mut Purse) -> Draft {
    let mut rest = Grown { stock: grown.stock.clone(), items: grown.items.clone(), kerf: grown.kerf };
    let mut bulk = Vec::new();
    let mut cost = 0;
    for (pattern, amount) in mix {
        let most = pattern.makes.iter().map(|&(item, n)| rest.items[item].demand / n).min().unwrap_or(0);
        let times = ((amount + 1e-6).floor() as usize).min(most);
        if times == 0 {
            continue;
        }
        for &(item, n) in &pattern.makes {
            rest.items[item].demand -= n * times;
        }
        let stock = &mut rest.stock[pattern.stock];
        stock.quantity = stock.quantity.map(|q| q.saturating_sub(times));
        cost += times as i64 * stock.cost;
        bulk.push((pattern.clone(), times));
    }
    let mut draft = spread(&rest, lower - cost, purse);
    draft.bulk = bulk;
    draft.cost += cost;
    draft
}
