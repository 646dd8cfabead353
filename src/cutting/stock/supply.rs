//! What there is to saw from: offcuts, and sheets the router leaves.

use super::super::least::{StockIndex, StockSize};
use super::super::measure::micrometers;
use crate::router::RouterPlan;
use crate::shop::{Offcut, Shop, StockKind, StockRow};
use crate::tolerance;

/// What one costs where the shop names no price: sheets count alike.
const NO_PRICE: f64 = 1.0;

/// Panels of one stock, as they are before the saw.
#[derive(Debug, Clone)]
pub(crate) struct Supply {
    /// Offcuts first, the smallest to begin with, then new ones.
    pub stock: Vec<StockSize>,
    /// What is taken off each edge of those that are not offcuts.
    pub edge_trim: i64,
    /// How many entries are offcuts.
    offcuts: usize,
}

impl Supply {
    /// What there is of the shop's stock `row` once the router has its sheets.
    pub(crate) fn new(shop: &Shop, row: &StockRow, router: &RouterPlan) -> Self {
        let trim = if row.kind == StockKind::Sheet { micrometers(shop.saw.edge_trim) } else { 0 };
        let mut stock: Vec<StockSize> =
            offcuts(shop, row, router).map(|size| free(row, size)).collect();
        stock.sort_by_key(|offcut| (offcut.size[0] * offcut.size[1] / 1000, offcut.size));
        let offcuts = stock.len();
        let taken = router.sheets.iter().filter(|s| s.stock == row.name && !s.offcut).count();
        let whole = [row.length, row.width].map(|mm| micrometers(mm) - 2 * trim);
        let quantity = row.quantity.map(|quantity| quantity.saturating_sub(taken));
        if whole.iter().all(|size| *size > 0) && quantity != Some(0) {
            stock.push(StockSize { size: whole, quantity, cost: cost(row) });
        }
        Self { stock, edge_trim: trim, offcuts }
    }

    /// As many new ones as anyone likes, and nothing else.
    pub(crate) fn bought(&self, row: &StockRow) -> Vec<StockSize> {
        let size = [row.length, row.width].map(|mm| micrometers(mm) - 2 * self.edge_trim);
        if size.iter().any(|size| *size <= 0) {
            return Vec::new();
        }
        vec![StockSize { size, quantity: None, cost: cost(row) }]
    }

    pub(crate) fn is_offcut(&self, stock: StockIndex) -> bool {
        stock.0 < self.offcuts
    }
}

fn free(row: &StockRow, size: [i64; 2]) -> StockSize {
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
    for sheet in router.sheets.iter().filter(|sheet| sheet.offcut) {
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
