//! The rows of the linear program, and what its dual values say of pieces and stock.

use super::StockSize;
use super::inflated::Inflated;
use super::pattern::Pattern;
use super::simplex::{Column, LinearProgram};

/// With more kinds of pieces the program gets too large.
pub(super) const KINDS: usize = 600;

/// The rows of the program: one per item asked for, then one per stock of which there is an end.
pub(super) struct MasterRows {
    /// The row of each item, if it is asked for.
    of_item: Vec<Option<usize>>,
    items: Vec<usize>,
    of_stock: Vec<Option<usize>>,
    need: Vec<f64>,
    /// More than any pattern costs.
    pub dearest: f64,
}

impl MasterRows {
    pub(super) fn new(inflated: &Inflated) -> Self {
        let asked = |&at: &usize| inflated.items[at].demand > 0;
        let items: Vec<usize> = (0..inflated.items.len()).filter(asked).collect();
        let mut of_item = vec![None; inflated.items.len()];
        for (row, &item) in items.iter().enumerate() {
            of_item[item] = Some(row);
        }
        let mut need: Vec<f64> = items.iter().map(|&at| inflated.items[at].demand as f64).collect();
        let mut of_stock = vec![None; inflated.stock.len()];
        for (at, stock) in inflated.stock.iter().enumerate() {
            if let Some(quantity) = stock.quantity {
                of_stock[at] = Some(need.len());
                need.push(-(quantity as f64));
            }
        }
        let dearest = inflated.stock.iter().map(|stock| stock.cost).max().unwrap_or(0) as f64 + 1.0;
        Self { of_item, items, of_stock, need, dearest }
    }

    pub(super) fn count(&self) -> usize {
        self.need.len()
    }

    pub(super) fn program(&self) -> LinearProgram {
        LinearProgram::new(self.need.clone(), &vec![4.0 * self.dearest; self.need.len()])
    }

    /// So large that dual values become whole numbers of seven digits.
    pub(super) fn scale(&self, duals: &[f64]) -> f64 {
        let largest = duals[..self.items.len()].iter().copied().fold(0.0, f64::max);
        if largest > 0.0 { 1e7 / largest } else { 1.0 }
    }

    /// The dual value of each item; nothing for what is not asked for.
    pub(super) fn item_duals(&self, duals: &[f64]) -> impl Iterator<Item = f64> {
        self.of_item.iter().map(|row| row.map_or(0.0, |row| duals[row].max(0.0)))
    }

    /// What a pattern of a stock must be worth to be taken.
    pub(super) fn threshold(&self, at: usize, duals: &[f64], stock: &StockSize) -> f64 {
        let scarce = self.of_stock[at].map_or(0.0, |row| duals[row].max(0.0));
        stock.cost as f64 + scarce
    }

    pub(super) fn column(&self, pattern: &Pattern, stock: &StockSize) -> Column {
        let made = pattern.makes.iter();
        let mut coefficients: Vec<(usize, f64)> =
            made.filter_map(|&(item, n)| Some((self.of_item[item]?, n as f64))).collect();
        coefficients.extend(self.of_stock[pattern.stock].map(|row| (row, -1.0)));
        Column { cost: stock.cost as f64, coefficients }
    }
}
