//! Cutting to length: pieces from bars, boards or dowels.

use super::budget::{Budget, Purse};
use super::bulk::Bulk;
use super::check::{Unfit, check};
use super::columns::KINDS;
use super::dive::Diver;
use super::draft::Draft;
use super::grown::Grown;
use super::{Item, Problem, Stock};

/// Bars of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bar {
    pub length: i64,
    /// How many there are; `None` for as many as one likes to buy.
    pub quantity: Option<usize>,
    pub cost: i64,
}

/// Pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Length {
    pub length: i64,
    pub demand: usize,
}

/// How one bar is cut, and how many are cut that way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarLayout {
    pub stock: usize,
    pub times: usize,
    /// (piece, how often), in order of pieces.
    pub makes: Vec<(usize, usize)>,
}

/// Pieces to be cut from bars.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LengthProblem {
    pub stock: Vec<Bar>,
    pub pieces: Vec<Length>,
    /// What the saw takes with each cut.
    pub kerf: i64,
}

/// A plan for all lengths, and how good it is; as [`Answer`](super::Answer) is for sheets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LengthAnswer {
    pub layouts: Vec<BarLayout>,
    pub unmet: Vec<usize>,
    pub cost: i64,
    pub bars: usize,
    pub lower: i64,
    pub proved: bool,
}

/// A plan for all lengths.
///
/// # Errors
///
/// [`Unfit`] for a figure out of bounds.
pub fn solve_lengths(problem: &LengthProblem, budget: Budget) -> Result<LengthAnswer, Unfit> {
    let stock = problem.stock.iter();
    let pieces = problem.pieces.iter();
    let flat = Problem {
        stock: stock
            .map(|bar| Stock { size: [bar.length, 1], quantity: bar.quantity, cost: bar.cost })
            .collect(),
        items: pieces
            .map(|piece| Item { size: [piece.length, 1], turns: false, demand: piece.demand })
            .collect(),
        kerf: problem.kerf,
    };
    check(&flat)?;
    // Bars are cut along their length alone: across it there is nothing for the saw to take.
    let mut grown = Grown::new(&flat);
    grown.stock.iter_mut().for_each(|stock| stock.size[1] = 1);
    grown.items.iter_mut().for_each(|item| item.size[1] = 1);
    let unmet = grown.leave_out_unfit();
    let mut purse = Purse::new(budget.steps);
    let mut share = purse.share(0.05);
    let mut draft = Draft::first(&grown, &mut share);
    purse.give_back(&share);
    if grown.items.len() > KINDS {
        let mut rest = grown.clone();
        let mut bulk = Bulk::default();
        bulk.fill(&mut rest);
        draft.improve(Draft::finish(bulk, &rest, draft.lower, &mut purse));
    } else if !draft.done() {
        Diver::new(&grown, &mut purse).run(&mut draft);
    }
    Ok(answer(&draft, unmet))
}

fn answer(draft: &Draft, mut unmet: Vec<usize>) -> LengthAnswer {
    draft.count_left(&mut unmet);
    let bulk = draft.bulk.patterns.iter();
    let mut layouts: Vec<BarLayout> = bulk
        .map(|(pattern, times)| (pattern.stock, *times, pattern.makes.clone()))
        .chain(
            draft
                .plan
                .sheets
                .iter()
                .filter(|sheet| sheet.pieces > 0)
                .map(|sheet| (sheet.stock, 1, sheet.counts())),
        )
        .map(|(stock, times, makes)| BarLayout { stock, times, makes })
        .collect();
    layouts.sort_by(|a, b| (a.stock, &a.makes).cmp(&(b.stock, &b.makes)));
    layouts.dedup_by(|later, earlier| {
        let same = (later.stock, &later.makes) == (earlier.stock, &earlier.makes);
        if same {
            earlier.times += later.times;
        }
        same
    });
    let bars = layouts.iter().map(|layout| layout.times).sum();
    let lower = if draft.complete() { draft.lower } else { 0 };
    LengthAnswer { layouts, unmet, cost: draft.cost(), bars, lower, proved: draft.done() }
}
