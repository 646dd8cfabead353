//! What there is to saw from: offcuts, and sheets the router leaves.

use super::super::least::{StockIndex, StockSize};
use super::super::measure::micrometers;
use super::left::RouterLeavings;
use crate::router::RouterPlan;
use crate::shop::{Offcut, Shop, StockKind, StockRow};
use crate::tolerance;

/// What one costs where the shop names no price: sheets count alike.
const NO_PRICE: f64 = 1.0;

/// Panels of one stock, as they are before the saw.
#[derive(Debug, Clone)]
pub(crate) struct Supply {
    /// Offcuts and what the router leaves first, the smallest to begin with, then new ones.
    pub stock: Vec<StockSize>,
    /// What is taken off each edge of those that are not offcuts.
    pub edge_trim: i64,
    /// Of each entry that is not new: the position among what the router leaves; `None` for an
    /// offcut.
    free: Vec<Option<usize>>,
}

impl Supply {
    /// What there is of the shop's stock `row` once the router has its sheets.
    pub(crate) fn new(
        shop: &Shop,
        row: &StockRow,
        router: &RouterPlan,
        leavings: &RouterLeavings,
    ) -> Self {
        let trim = if row.kind == StockKind::Sheet { micrometers(shop.saw.edge_trim) } else { 0 };
        let mut free: Vec<(StockSize, Option<usize>)> =
            offcuts(shop, row, router).map(|size| (as_free(row, size), None)).collect();
        free.extend(left(row, leavings));
        free.sort_by_key(|(StockSize { size, .. }, left)| (size[0] * size[1] / 1000, *size, *left));
        let (mut stock, free): (Vec<_>, Vec<_>) = free.into_iter().unzip();
        let sheet = row.kind == StockKind::Sheet;
        let taken = if sheet { router.new_ones(&row.name) } else { 0 };
        let whole = [row.length, row.width].map(|mm| micrometers(mm) - 2 * trim);
        let quantity = row.quantity.map(|quantity| quantity.saturating_sub(taken));
        if whole.iter().all(|size| *size > 0) && quantity != Some(0) {
            stock.push(StockSize { size: whole, quantity, cost: cost(row) });
        }
        Self { stock, edge_trim: trim, free }
    }

    /// As many new ones as anyone likes, and nothing else.
    pub(crate) fn bought(&self, row: &StockRow) -> Vec<StockSize> {
        let size = [row.length, row.width].map(|mm| micrometers(mm) - 2 * self.edge_trim);
        if size.iter().any(|size| *size <= 0) {
            return Vec::new();
        }
        vec![StockSize { size, quantity: None, cost: cost(row) }]
    }

    /// Whether it is no new one.
    pub(crate) fn is_free(&self, stock: StockIndex) -> bool {
        stock.0 < self.free.len()
    }

    /// The position among what the router leaves, where it is of that.
    pub(crate) fn left(&self, stock: StockIndex) -> Option<usize> {
        self.free.get(stock.0).copied().flatten()
    }

    /// How many are at hand beside what the router leaves; those to be bought count as one.
    pub(crate) fn at_hand(&self) -> usize {
        let own = (0..self.stock.len()).filter(|at| self.left(StockIndex(*at)).is_none());
        own.filter_map(|at| self.stock.get(at)).map(|stock| stock.quantity.unwrap_or(1)).sum()
    }
}

/// What the router leaves of the sheets of `row`.
fn left(
    row: &StockRow,
    leavings: &RouterLeavings,
) -> impl Iterator<Item = (StockSize, Option<usize>)> {
    let sheet = row.kind == StockKind::Sheet;
    let all = leavings.left.iter().enumerate();
    all.filter(move |(_, left)| sheet && left.stock == row.name)
        .map(|(at, left)| (as_free(row, left.size()), Some(at)))
}

fn as_free(row: &StockRow, size: [i64; 2]) -> StockSize {
    let size = if row.kind == StockKind::Dowel { [size[0], micrometers(row.width)] } else { size };
    StockSize { size, quantity: Some(1), cost: 0 }
}

/// In thousandths of the shop's money, at least 1: what is new is never free.
fn cost(row: &StockRow) -> i64 {
    ((row.price.filter(|price| *price > 0.0).unwrap_or(NO_PRICE) * 1000.0).round() as i64).max(1)
}

/// Sizes of the offcuts of `row` that the router leaves.
fn offcuts(shop: &Shop, row: &StockRow, router: &RouterPlan) -> impl Iterator<Item = [i64; 2]> {
    unused(shop, router)
        .into_iter()
        .filter(|offcut| offcut.of == row.name)
        .map(|offcut| [offcut.length, offcut.width].map(micrometers))
}

/// The offcuts that the router does not use.
pub(crate) fn unused<'s>(shop: &'s Shop, router: &RouterPlan) -> Vec<&'s Offcut> {
    let mut left: Vec<&Offcut> = shop.offcuts.iter().collect();
    for sheet in router.taken.iter().filter(|taken| taken.offcut) {
        let same = |offcut: &&Offcut| {
            offcut.of == sheet.stock
                && (offcut.length - sheet.size.width).abs() <= tolerance::COORDINATE
                && (offcut.width - sheet.size.height).abs() <= tolerance::COORDINATE
        };
        if let Some(index) = left.iter().position(same) {
            left.remove(index);
        }
    }
    left
}
