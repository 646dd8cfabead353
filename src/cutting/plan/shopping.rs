//! One account of the stock: what the router and the saw use of it, and what is to be bought.

use super::super::layout::LaidGroup;
use crate::router::RouterPlan;
use crate::shop::{StockKind, StockRow};

/// What is used of one stock. Sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct StockUse {
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
    /// Of one, in the shop's money.
    pub price: Option<f64>,
    /// How many are at hand; `None` where as many as are needed are bought.
    pub at_hand: Option<usize>,
    /// How many new ones the router takes.
    pub routed: usize,
    /// How many new ones are sawn otherwise.
    pub sawn: usize,
    /// How many more would make the pieces that there is no stock for.
    pub short: usize,
}

impl StockUse {
    /// What `row` is used for: `laid` and `short` where something is sawn of it.
    pub(super) fn new(
        row: &StockRow,
        router: &RouterPlan,
        laid: Option<(&LaidGroup<'_>, usize)>,
    ) -> Self {
        let mut more = router.short.iter().filter(|(stock, _)| *stock == row.name);
        let for_router = match row.kind {
            StockKind::Sheet => (router.new_ones(&row.name), more.next().map_or(0, |more| more.1)),
            StockKind::Board | StockKind::Dowel | StockKind::Cleat => (0, 0),
        };
        Self {
            stock: row.name.clone(),
            kind: row.kind,
            length: row.length,
            width: row.width,
            thickness: row.thickness,
            price: row.price,
            at_hand: row.quantity,
            routed: for_router.0,
            sawn: laid.map_or(0, |(laid, _)| laid.new_ones()),
            short: for_router.1 + laid.map_or(0, |(_, short)| short),
        }
    }

    /// How many new ones are used.
    pub(crate) fn used(&self) -> usize {
        self.routed + self.sawn
    }

    /// How many of these are to be bought: what is at hand is enough for them.
    pub(crate) fn bought(&self) -> usize {
        if self.at_hand.is_some() { 0 } else { self.used() }
    }
}
