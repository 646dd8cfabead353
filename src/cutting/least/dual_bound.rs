//! What no plan can cost less than.

use super::{ItemType, StockSize};

/// A dual value for each item, and for each stock the most that pieces from one panel can be worth
/// at these values.
pub(super) struct DualValues<'a> {
    pub values: &'a [f64],
    pub most: &'a [f64],
}

/// The least cost of meeting all demands that these dual values prove, before rounding up.
///
/// Values under which no panel yields more than it costs are a solution of the dual program, so
/// what is asked for costs at least what it is worth (Farley, "A note on bounding a class of linear
/// programming problems", Operations Research 38, 1990). Panels of which there are only so many
/// may yield more, if what they yield beyond their cost is taken off.
///
/// All values are whole numbers below 2^53; the one division may round, so a trifle is taken off
/// before rounding up to the next cost there can be.
pub(super) fn proved_cost(stock: &[StockSize], items: &[ItemType], duals: &DualValues<'_>) -> f64 {
    let asked: f64 =
        items.iter().zip(duals.values).map(|(item, value)| item.demand as f64 * value).sum();
    let rates = stock.iter().zip(duals.most).filter(|(_, most)| **most > 0.0);
    let scales: Vec<f64> = rates
        .clone()
        .filter(|(stock, _)| stock.quantity.is_none() || stock.cost > 0)
        .map(|(stock, most)| stock.cost as f64 / most)
        .collect();
    // With stock without end, values must be so low that none of it yields more than its cost.
    let ceiling = rates
        .clone()
        .filter(|(stock, _)| stock.quantity.is_none())
        .map(|(stock, most)| stock.cost as f64 / most)
        .fold(f64::INFINITY, f64::min);
    let proved = |scale: f64| {
        let gifts: f64 = rates
            .clone()
            .filter_map(|(stock, most)| {
                let over = (scale * most - stock.cost as f64).max(0.0);
                stock.quantity.map(|quantity| quantity as f64 * over)
            })
            .sum();
        scale * asked - gifts
    };
    let best = scales.iter().filter(|&&scale| scale <= ceiling).map(|&scale| proved(scale));
    best.fold(0.0, f64::max)
}

/// The least cost that these dual values prove, as a cost there can be.
pub(super) fn least_cost(stock: &[StockSize], items: &[ItemType], duals: &DualValues<'_>) -> i64 {
    round_up(proved_cost(stock, items, duals), stock)
}

/// The next cost there can be, from a bound that may be off by a rounding error: a whole number of the costs' common measure.
pub(super) fn round_up(bound: f64, stock: &[StockSize]) -> i64 {
    let measure = stock.iter().fold(0, |measure, stock| common(measure, stock.cost)).max(1);
    let safe = (bound * (1.0 - 1e-9) - 1e-6).max(0.0);
    let up = (safe / measure as f64).ceil() as i64;
    up.saturating_mul(measure)
}

fn common(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common(b, a % b) }
}

/// What the areas alone prove.
pub(super) fn area_bound(stock: &[StockSize], items: &[ItemType]) -> i64 {
    // Areas are made smaller for pieces, larger for panels, where they are too large to be exact.
    let area = |[a, b]: [i64; 2]| i128::from(a) * i128::from(b);
    let largest = stock.iter().map(|stock| area(stock.size)).max().unwrap_or(1);
    let unit = (largest >> 40).max(1);
    let values: Vec<f64> = items.iter().map(|item| (area(item.size) / unit) as f64).collect();
    let most: Vec<f64> =
        stock.iter().map(|stock| ((area(stock.size) + unit - 1) / unit) as f64).collect();
    least_cost(stock, items, &DualValues { values: &values, most: &most })
}
