//! One panel, and the most valuable pieces it yields.

use super::budget::{Budget, Purse};
use super::bulk::MANY;
use super::check::{DEAREST, Unfit, check};
use super::columns::{Kind, measure};
use super::draft::pieces;
use super::grown::Grown;
use super::refill::{Plan, Task, refill};
use super::{Item, Panel, Problem, Stock};

/// Pieces of one size, and what one is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Valued {
    pub size: [i64; 2],
    pub turns: bool,
    pub value: i64,
    /// How many there may be; 0 for any number.
    pub copies: usize,
}

/// A panel of great value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Best {
    pub value: i64,
    pub panel: Panel,
    /// No way to saw the panel yields more.
    pub upper: i64,
}

/// The most valuable way found to saw a panel `size` large.
///
/// # Errors
///
/// [`Unfit`] for a figure out of bounds.
pub fn best_value(
    size: [i64; 2],
    valued: &[Valued],
    kerf: i64,
    budget: Budget,
) -> Result<Best, Unfit> {
    if let Some(value) = valued.iter().map(|v| v.value).find(|v| !(0..=DEAREST).contains(v)) {
        return Err(Unfit::Value { value });
    }
    let grown = grown(size, valued, kerf)?;
    let mut purse = Purse::new(budget.steps);
    let worth: Vec<f64> = valued.iter().map(|v| v.value as f64).collect();
    let mut best = from_tables(&grown, &worth, &mut purse);
    if best.value < best.upper {
        let found = from_search(&grown, &worth, best.upper, &mut purse);
        if found.value > best.value {
            best = Best { upper: best.upper, ..found };
        }
    }
    Ok(best)
}

/// The panel and its pieces, no more of each than there may be or there is area for.
fn grown(size: [i64; 2], valued: &[Valued], kerf: i64) -> Result<Grown, Unfit> {
    let stock = vec![Stock { size, quantity: Some(1), cost: 0 }];
    let item = |v: &Valued| Item { size: v.size, turns: v.turns, demand: v.copies };
    let problem = Problem { stock, items: valued.iter().map(item).collect(), kerf };
    check(&problem)?;
    let mut grown = Grown::new(&problem);
    let area = grown.stock.iter().map(|stock| stock.size[0] * stock.size[1]).sum::<i64>();
    for item in &mut grown.items {
        let most = usize::try_from(area / item.area()).unwrap_or(usize::MAX);
        item.demand = if item.demand == 0 { most } else { item.demand.min(most) };
    }
    grown.leave_out_unfit();
    Ok(grown)
}

/// What tables say, which take no heed of how many copies there may be: the most there can be,
/// and a way to it where it happens to ask for no more copies.
fn from_tables(grown: &Grown, worth: &[f64], purse: &mut Purse) -> Best {
    let stock = &grown.stock[0];
    let mut best = Best { value: 0, panel: Panel::Left, upper: i64::MAX };
    let mut tables = measure(stock, &grown.items, purse.left());
    tables.sort_by_key(|measured| measured.kind == Kind::Quick);
    for measured in &tables {
        if best.value == best.upper {
            break;
        }
        let table = measured.grid.table(worth, purse);
        if measured.proof {
            best.upper = best.upper.min(table.most() as i64);
        }
        let (panel, makes) = table.pattern(stock.size, grown.kerf);
        let allowed = makes.iter().all(|&(item, n)| n <= grown.items[item].demand);
        if measured.real && allowed && table.most() as i64 > best.value {
            best = Best { value: table.most() as i64, panel, upper: best.upper };
        }
    }
    best
}

/// What laying pieces anew again and again leads to.
fn from_search(grown: &Grown, worth: &[f64], upper: i64, purse: &mut Purse) -> Best {
    let mut items = grown.items.clone();
    let each = (MANY / items.len().max(1)).max(1);
    items.iter_mut().for_each(|item| item.demand = item.demand.min(each));
    let all: f64 = items.iter().zip(worth).map(|(item, worth)| item.demand as f64 * worth).sum();
    let task = Task {
        stock: &grown.stock,
        items: &items,
        weight: worth,
        lower: 0,
        enough: all - upper as f64,
    };
    let plan = refill(&task, Plan::of(pieces(&items)), purse, 1);
    let value = (all - plan.missing).round() as i64;
    let panel = plan.sheets.first().map_or(Panel::Left, |sheet| sheet.panel(grown.kerf));
    Best { value, panel, upper }
}
