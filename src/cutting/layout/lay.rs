//! The pieces of one stock laid out.

use super::super::index::PieceIndex;
use super::super::least::{Answer, Budget, ItemType, OutOfRange, PanelProblem, solve};
use super::super::stock::{BlankUse, StockGroup, sizes};
use super::super::work::SawLimits;
use super::merit::Judge;
use super::panels::{Panels, cost, of_answer, unmet};
use super::search::PlanSearch;
use crate::shop::Shop;

/// Which part of a budget is for few setups, the rest for least stock: more of it hardly ever finds fewer.
const FOR_SETUPS: u64 = 16;

/// One stock with all that is sawn from it, laid out.
pub(crate) struct LaidGroup<'s> {
    pub group: StockGroup<'s>,
    /// No plan costs less, however cleat strips are put together.
    pub lower: i64,
    /// By an answer that looks at waste alone.
    pub plain: Panels,
    /// As it is sawn.
    pub panels: Panels,
}

/// Lays a stock out twice: for least waste, and as it is best to saw.
///
/// # Errors
///
/// [`OutOfRange`] for a figure out of bounds.
pub(crate) fn lay<'s>(
    group: &StockGroup<'s>,
    shop: &Shop,
    limits: &SawLimits,
    steps: u64,
) -> Result<LaidGroup<'s>, OutOfRange> {
    let Solved { group, answer, lower } = least(group, steps)?;
    let sizes = sizes(&group.problem.items, &group.growth, &group.problem.stock);
    let judge =
        Judge { problem: &group.problem, limits, saw: &shop.saw, is_dowel: group.is_dowel() };
    let search = PlanSearch { judge, sizes: &sizes };
    let plain = of_answer(&group.problem, &answer);
    let panels = search.best(plain.clone(), steps / FOR_SETUPS);
    Ok(LaidGroup { group, lower, plain, panels })
}

/// A stock with the least that it takes.
struct Solved<'s> {
    group: StockGroup<'s>,
    answer: Answer,
    lower: i64,
}

/// Cleat strips as they take least wood; where that is not proved least, in as few strips as there
/// can be, if that is better.
fn least<'s>(group: &StockGroup<'s>, steps: u64) -> Result<Solved<'s>, OutOfRange> {
    let first = Solved::new(group.clone(), steps)?;
    if first.is_least() {
        return Ok(first);
    }
    let Some(other) = group.with_fewest_strips(Budget { steps: steps / 4 })? else {
        return Ok(first);
    };
    let other = Solved::new(other, steps)?;
    Ok(if other.rank() < first.rank() { other } else { first })
}

impl<'s> Solved<'s> {
    fn new(group: StockGroup<'s>, steps: u64) -> Result<Self, OutOfRange> {
        let answer = solve(&group.problem, Budget { steps: steps / 2 })?;
        let lower = lower(&group, &answer, steps / 4)?;
        Ok(Self { group, answer, lower })
    }

    fn is_least(&self) -> bool {
        self.rank() <= (0, self.lower)
    }

    /// Missing pieces and cost: less is better.
    fn rank(&self) -> (usize, i64) {
        let members = self.group.members.iter().zip(&self.answer.unmet);
        let missing = members.flat_map(|(all, unmet)| last(all, *unmet));
        let pieces = missing.map(|blank| self.group.pieces_of(*blank).len());
        (pieces.sum(), self.answer.cost)
    }
}

/// What no plan costs less than. What is proved of `answer` holds for cleat strips as they are put
/// together; where there are any, it is proved anew for their pieces one by one.
fn lower(group: &StockGroup<'_>, answer: &Answer, steps: u64) -> Result<i64, OutOfRange> {
    if group.strips.is_empty() {
        return Ok(answer.lower);
    }
    let by_piece = solve(&group.by_piece(), Budget { steps })?;
    Ok(by_piece.lower.min(answer.lower))
}

/// The last `count` of all.
fn last<T>(all: &[T], count: usize) -> &[T] {
    all.get(all.len().saturating_sub(count)..).unwrap_or_default()
}

impl LaidGroup<'_> {
    /// How many of `panels` are new, not offcuts.
    pub(crate) fn new_ones(&self) -> usize {
        self.panels.iter().filter(|panel| !self.group.supply.is_free(panel.stock)).count()
    }

    /// Blanks that the panels have no room for.
    fn missing_blanks(&self) -> impl Iterator<Item = &BlankUse> {
        let unmet = unmet(&self.group.problem, &self.panels);
        self.group.members.iter().zip(unmet).flat_map(|(all, unmet)| last(all, unmet))
    }

    /// Pieces that the panels have no room for.
    pub(crate) fn missing(&self) -> Vec<PieceIndex> {
        let mut missing: Vec<PieceIndex> =
            self.missing_blanks().flat_map(|blank| self.group.pieces_of(*blank)).collect();
        missing.sort_unstable();
        missing
    }

    /// What the panels cost.
    pub(crate) fn cost(&self) -> i64 {
        cost(&self.group.problem, &self.panels)
    }

    /// How many new panels of the stock make what `panels` have no room for.
    pub(crate) fn to_buy(&self, steps: u64) -> usize {
        let problem = &self.group.problem;
        let items = problem.items.iter().zip(unmet(problem, &self.panels));
        let items: Vec<ItemType> =
            items.map(|(item, demand)| ItemType { demand, ..*item }).collect();
        if items.iter().all(|item| item.demand == 0) {
            return 0;
        }
        let stock = self.group.supply.bought(self.group.row);
        let problem = PanelProblem { stock, items, kerf: problem.kerf };
        solve(&problem, Budget { steps }).map_or(0, |answer| answer.sheets)
    }
}
