//! A plan for all pieces, and how good it is.

use super::column_generation;
use super::dive::Diver;
use super::in_range::{OutOfRange, check};
use super::incumbent::Incumbent;
use super::inflated::Inflated;
use super::master::KINDS;
use super::meter::{Budget, Meter};
use super::pattern::{Pattern, PatternCounts};
use super::{Panel, PanelProblem, StockIndex};

/// A way to saw one panel, and how many are sawn that way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// What is sawn.
    pub stock: StockIndex,
    /// How many.
    pub times: usize,
    /// How each comes apart.
    pub panel: Panel,
}

/// A plan for all pieces, and how good it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// What is sawn.
    pub layouts: Vec<Layout>,
    /// How many pieces of each item are not made, for want of stock or because no panel is as
    /// large.
    pub unmet: Vec<usize>,
    /// What the panels cost together.
    pub cost: i64,
    /// How many panels are sawn, of whatever size and cost.
    pub sheets: usize,
    /// No plan costs less that makes all pieces but those no panel is large enough for; 0 where
    /// there is no such plan for want of stock, or none was found.
    pub lower: i64,
    /// Whether the cost is the least there can be.
    pub proved: bool,
}

/// A plan for all pieces that fits the stock, at the least cost that is found within `budget`;
/// where stock is short, the one that leaves least area unmade.
///
/// # Errors
///
/// [`OutOfRange`] for a figure out of bounds.
pub fn solve(problem: &PanelProblem, budget: Budget) -> Result<Answer, OutOfRange> {
    check(problem)?;
    let mut inflated = Inflated::new(problem);
    let unmet = inflated.leave_out_unfit();
    let mut meter = Meter::new(budget.steps);
    let mut share = meter.share(soon(&inflated, budget.steps));
    let mut incumbent = Incumbent::first(&inflated, &mut share);
    meter.give_back(&share);
    if !incumbent.is_optimal() {
        improve(&inflated, &mut incumbent, &mut meter);
    }
    Ok(answer(&incumbent, unmet, inflated.kerf))
}

/// What part of a budget goes to a first plan: few pieces are soon laid as well as that can be.
fn soon(inflated: &Inflated, steps: u64) -> f64 {
    /// For each piece, in steps.
    const EACH: f64 = 300_000.0;
    let pieces: usize = inflated.items.iter().map(|item| item.demand).sum();
    (EACH * pieces as f64 / steps.max(1) as f64).min(0.06)
}

/// Improves the incumbent and its bound, in one dimension or in two.
fn improve(inflated: &Inflated, incumbent: &mut Incumbent, meter: &mut Meter) {
    if inflated.is_one_dimensional() && inflated.items.len() <= KINDS {
        return Diver::new(inflated, meter).run(incumbent);
    }
    let mut share = meter.share(0.5);
    let relaxation = column_generation::relax(inflated, incumbent.ceiling(), &mut share);
    meter.give_back(&share);
    incumbent.raise_bound(relaxation.lower);
    round(inflated, &relaxation.patterns, incumbent, meter);
}

/// Whole numbers of the patterns of a relaxation, and what they leave undone laid piece by piece:
/// first as many as there are, then less and less of each, so that more is left to the search.
fn round(
    inflated: &Inflated,
    patterns: &[(Pattern, f64)],
    incumbent: &mut Incumbent,
    meter: &mut Meter,
) {
    let least = meter.left() / 50;
    for less in [0, 1, 2, 4, 8, 16, usize::MAX] {
        let (counts, residual) = rounded_down(inflated, patterns, less);
        let last = counts.patterns.is_empty();
        let mut share = meter.share(if last { 1.0 } else { 0.4 });
        let lower = incumbent.lower;
        incumbent.improve(Incumbent::completed(counts, residual, lower, &mut share));
        meter.give_back(&share);
        if last || incumbent.is_optimal() || meter.left() <= least {
            return;
        }
    }
}

/// Each pattern `less` times less than it is whole times in the relaxation, and what is then still
/// asked for.
fn rounded_down(
    inflated: &Inflated,
    patterns: &[(Pattern, f64)],
    less: usize,
) -> (PatternCounts, Inflated) {
    let mut residual = inflated.clone();
    let mut counts = PatternCounts::default();
    for (pattern, amount) in patterns {
        let times = (amount + 1e-6).floor() as usize;
        counts.take(pattern, times.saturating_sub(less), &mut residual);
    }
    (counts, residual)
}

fn answer(incumbent: &Incumbent, mut unmet: Vec<usize>, kerf: i64) -> Answer {
    incumbent.count_unplaced(&mut unmet);
    let layouts = layouts(incumbent, kerf);
    let sheets = layouts.iter().map(|layout| layout.times).sum();
    let lower = if incumbent.is_complete() { incumbent.lower } else { 0 };
    let proved = incumbent.is_optimal();
    Answer { layouts, unmet, cost: incumbent.cost(), sheets, lower, proved }
}

/// The panels of the incumbent; those alike are one layout.
fn layouts(incumbent: &Incumbent, kerf: i64) -> Vec<Layout> {
    let repeated = incumbent.counts.patterns.iter();
    let repeated = repeated.map(|(pattern, times)| Layout {
        stock: StockIndex(pattern.stock),
        times: *times,
        panel: pattern.panel.clone(),
    });
    let sheets = incumbent.packing.sheets.iter().filter(|sheet| sheet.pieces > 0);
    let single = sheets.map(|sheet| Layout {
        stock: StockIndex(sheet.stock),
        times: 1,
        panel: sheet.panel(kerf),
    });
    let mut layouts: Vec<Layout> = Vec::new();
    for layout in repeated.chain(single) {
        let same = |other: &&mut Layout| other.stock == layout.stock && other.panel == layout.panel;
        match layouts.iter_mut().find(same) {
            Some(other) => other.times += layout.times,
            None => layouts.push(layout),
        }
    }
    layouts
}
