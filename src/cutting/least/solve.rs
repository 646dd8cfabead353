//! A plan for all pieces, and how good it is.

use super::budget::{Budget, Purse};
use super::bulk::Bulk;
use super::check::{Unfit, check};
use super::columns::{Pattern, generate};
use super::draft::Draft;
use super::grown::Grown;
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
    /// How many pieces of each item are not made, for want of stock or because no panel is as
    /// large.
    pub unmet: Vec<usize>,
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
/// [`Unfit`] for a figure out of bounds.
pub fn solve(problem: &Problem, budget: Budget) -> Result<Answer, Unfit> {
    check(problem)?;
    let mut grown = Grown::new(problem);
    let unmet = grown.leave_out_unfit();
    let mut purse = Purse::new(budget.steps);
    let mut share = purse.share(0.06);
    let mut draft = Draft::first(&grown, &mut share);
    purse.give_back(&share);
    if !draft.done() {
        let mut share = purse.share(0.5);
        let mix = generate(&grown, draft.ceiling(), &mut share);
        purse.give_back(&share);
        draft.raise(mix.lower);
        round(&grown, &mix.patterns, &mut draft, &mut purse);
    }
    Ok(answer(&draft, unmet, grown.kerf))
}

/// Whole numbers of the patterns in the mix, and what they leave undone laid piece by piece: first
/// as much as can be of the mix, then less and less of it, so that more is left to the search.
fn round(grown: &Grown, mix: &[(Pattern, f64)], draft: &mut Draft, purse: &mut Purse) {
    let least = purse.left() / 50;
    for less in [0, 1, 2, 4, 8, 16, usize::MAX] {
        let mut rest = grown.clone();
        let mut bulk = Bulk::default();
        for (pattern, amount) in mix {
            let times = (amount + 1e-6).floor() as usize;
            bulk.take(pattern, times.saturating_sub(less), &mut rest);
        }
        let last = bulk.patterns.is_empty();
        bulk.fill(&mut rest);
        let mut share = purse.share(if last { 1.0 } else { 0.4 });
        draft.improve(Draft::finish(bulk, &rest, draft.lower, &mut share));
        purse.give_back(&share);
        if last || draft.done() || purse.left() <= least {
            return;
        }
    }
}

fn answer(draft: &Draft, mut unmet: Vec<usize>, kerf: i64) -> Answer {
    draft.count_left(&mut unmet);
    let bulk = draft.bulk.patterns.iter();
    let bulk = bulk.map(|(pattern, times)| Layout {
        stock: pattern.stock,
        times: *times,
        panel: pattern.panel.clone(),
    });
    let single = draft.plan.sheets.iter().filter(|sheet| sheet.pieces > 0).map(|sheet| Layout {
        stock: sheet.stock,
        times: 1,
        panel: sheet.panel(kerf),
    });
    let mut layouts: Vec<Layout> = Vec::new();
    for layout in bulk.chain(single) {
        let same = |other: &&mut Layout| other.stock == layout.stock && other.panel == layout.panel;
        match layouts.iter_mut().find(same) {
            Some(other) => other.times += layout.times,
            None => layouts.push(layout),
        }
    }
    let sheets = layouts.iter().map(|layout| layout.times).sum();
    let lower = if draft.complete() { draft.lower } else { 0 };
    Answer { layouts, unmet, cost: draft.cost(), sheets, lower, proved: draft.done() }
}
