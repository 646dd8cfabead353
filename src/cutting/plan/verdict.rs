//! How good the plan of one stock is.

use super::super::layout::{LaidGroup, LaidPanel};
use crate::shop::{StockKind, StockRow};

/// How good the plan of one stock is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Verdict {
    /// Name of the stock.
    pub stock: String,
    /// What it is.
    pub kind: StockKind,
    /// How many new ones are sawn.
    pub used: usize,
    /// How many offcuts are sawn.
    pub offcuts: usize,
    /// How many pieces that the router leaves of its sheets are sawn.
    pub left: usize,
    /// Fewer new ones than this are not possible.
    pub least: usize,
    /// Whether so many are proved to be least.
    pub proved: bool,
    /// How many pieces there is no stock left for.
    pub missing: usize,
}

impl Verdict {
    /// That of a stock that can't be laid out.
    pub(super) fn unlaid(row: &StockRow, missing: usize) -> Self {
        Self {
            stock: row.name.clone(),
            kind: row.kind,
            used: 0,
            offcuts: 0,
            left: 0,
            least: 0,
            proved: false,
            missing,
        }
    }
}

/// That of a stock laid out, `missing` pieces of which have no place.
pub(super) fn of(laid: &LaidGroup<'_>, missing: usize) -> Verdict {
    let used = laid.new_ones();
    let is_left = |panel: &&LaidPanel| laid.group.supply.left(panel.stock).is_some();
    let left = laid.panels.iter().filter(is_left).count();
    let mut costs = laid.group.problem.stock.iter().map(|stock| stock.cost);
    let new = costs.find(|cost| *cost > 0);
    let least = new.map_or(0, |cost| (laid.lower + cost - 1) / cost).max(0) as usize;
    Verdict {
        used,
        offcuts: laid.panels.len() - used - left,
        left,
        least: least.min(used),
        proved: missing == 0 && (used <= least || laid.cost() <= laid.lower),
        ..Verdict::unlaid(laid.group.row, missing)
    }
}
