//! What there is to saw from: offcuts, and sheets the router leaves.

use super::{Stock, micrometres};
use crate::router;
use crate::shop::{Offcut, Shop, StockKind, StockRow};
use crate::tolerance;

/// What one costs where the shop names no price: sheets count alike.
const NO_PRICE: f64 = 1.0;

/// Panels of one stock, as they are before the saw.
#[derive(Debug, Clone)]
pub(super) struct Supply {
    /// Offcuts first, the smallest to begin with, then new ones.
    pub stock: Vec<Stock>,
    /// What is taken off each edge of those that are not offcuts.
    pub edge_trim: i64,
    /// How many entries are offcuts.
    pub offcuts: usize,
}

impl Supply {
    /// What there is of the shop's stock `row` once the router has its sheets.
    pub fn new(shop: &Shop, row: &StockRow, router: &router::Plan) -> Self {
        let trim = if row.kind == StockKind::Sheet { micrometres(shop.saw.edge_trim) } else { 0 };
        let mut stock: Vec<Stock> =
            offcuts(shop, row, router).map(|size| free(row, size)).collect();
        stock.sort_by_key(|offcut| (offcut.size[0] * offcut.size[1] / 1000, offcut.size));
        let offcuts = stock.len();
        let taken = router.sheets.iter().filter(|s| s.stock == row.name && !s.offcut).count();
        let whole = [row.length, row.width].map(|mm| micrometres(mm) - 2 * trim);
        let quantity = row.quantity.map(|quantity| quantity.saturating_sub(taken));
        if whole.iter().all(|size| *size > 0) && quantity != Some(0) {
            stock.push(Stock { size: whole, quantity, cost: cost(row) });
        }
        Self { stock, edge_trim: trim, offcuts }
    }

    /// The same with as many new ones as anyone likes, and nothing else.
    pub fn bought(&self, row: &StockRow) -> Vec<Stock> {
        let size = [row.length, row.width].map(|mm| micrometres(mm) - 2 * self.edge_trim);
        if size.iter().any(|size| *size <= 0) {
            return Vec::new();
        }
        vec![Stock { size, quantity: None, cost: cost(row) }]
    }

    pub fn is_offcut(&self, stock: usize) -> bool {
        stock < self.offcuts
    }
}

fn free(row: &StockRow, size: [i64; 2]) -> Stock {
    let size = if row.kind == StockKind::Dowel { [size[0], micrometres(row.width)] } else { size };
    Stock { size, quantity: Some(1), cost: 0 }
}

/// In thousandths of the shop's money, at least 1: what is new is never free.
fn cost(row: &StockRow) -> i64 {
    ((row.price.filter(|price| *price > 0.0).unwrap_or(NO_PRICE) * 1000.0).round() as i64).max(1)
}

/// Sizes of the offcuts of `row` that the router leaves.
fn offcuts(shop: &Shop, row: &StockRow, router: &router::Plan) -> impl Iterator<Item = [i64; 2]> {
    unused(shop, router)
        .into_iter()
        .filter(|offcut| offcut.of == row.name)
        .map(|offcut| [offcut.length, offcut.width].map(micrometres))
}

/// The offcuts that the router does not use.
pub(super) fn unused<'s>(shop: &'s Shop, router: &router::Plan) -> Vec<&'s Offcut> {
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
