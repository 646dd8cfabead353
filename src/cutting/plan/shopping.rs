//! What to buy.

use super::super::layout::LaidGroup;
use crate::shop::StockKind;

/// So many of one stock. Sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Buy {
    /// Its name.
    pub stock: String,
    /// What it is.
    pub kind: StockKind,
    /// Of one.
    pub length: f64,
    /// Of one.
    pub width: f64,
    /// Of one.
    pub thickness: f64,
    /// How many.
    pub quantity: usize,
    /// Of one, in the shop's money.
    pub price: Option<f64>,
    /// Whether the plan counts on them; otherwise they are for pieces that it has no stock for.
    pub planned: bool,
}

/// What to buy of one stock: what is sawn where the shop file names no quantity, and what the
/// stock at hand is `short` of.
pub(super) fn buy(laid: &LaidGroup<'_>, short: usize) -> Vec<Buy> {
    let row = laid.group.row;
    let planned = if row.quantity.is_none() { laid.new_ones() } else { 0 };
    let buys = [(planned, true), (short, false)];
    buys.into_iter()
        .filter(|(quantity, _)| *quantity > 0)
        .map(|(quantity, planned)| Buy {
            stock: row.name.clone(),
            kind: row.kind,
            length: row.length,
            width: row.width,
            thickness: row.thickness,
            quantity,
            price: row.price,
            planned,
        })
        .collect()
}
