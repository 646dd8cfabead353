//! Ways to saw one panel, and how often each is sawn: what large orders are begun with.

use super::Panel;
use super::inflated::{Inflated, row, within};
use super::sheet_tree::{PosedPiece, SheetTree};

/// More pieces than this are not laid one by one.
const MANY: usize = 1500;

/// A way to saw one panel.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    /// Position of its size among the stock.
    pub stock: usize,
    pub panel: Panel,
    /// (item, how often), in order of items.
    pub makes: Vec<(usize, usize)>,
}

/// Patterns sawn a whole number of times.
#[derive(Default)]
pub(super) struct PatternCounts {
    pub patterns: Vec<(Pattern, usize)>,
    pub cost: i64,
}

impl Pattern {
    /// The pieces of `makes` behind one another along the first axis.
    pub(super) fn bar(inflated: &Inflated, stock: usize, makes: Vec<(usize, usize)>) -> Self {
        let [length, width] = inflated.stock[stock].size;
        let section = |item: usize| {
            let [long, wide] = inflated.items[item].size;
            (long, row(1, width, vec![(wide, Panel::piece(item, false))], inflated.kerf))
        };
        let copies = makes.iter().flat_map(|&(item, n)| std::iter::repeat_n(item, n));
        let panel = row(0, length, copies.map(section).collect(), inflated.kerf);
        Self { stock, panel, makes }
    }
}

impl PatternCounts {
    /// Takes `pattern` as often as wanted, but no oftener than `residual` asks for all it makes and
    /// has stock for it; `residual` then asks for less. How often it was.
    pub(super) fn take(
        &mut self,
        pattern: &Pattern,
        wanted: usize,
        residual: &mut Inflated,
    ) -> usize {
        let asked = pattern.makes.iter().map(|&(item, n)| residual.items[item].demand / n.max(1));
        let there = residual.stock[pattern.stock].quantity.unwrap_or(usize::MAX);
        let times = asked.min().unwrap_or(0).min(there).min(wanted);
        if times == 0 {
            return 0;
        }
        for &(item, n) in &pattern.makes {
            residual.items[item].demand -= n * times;
        }
        let stock = &mut residual.stock[pattern.stock];
        stock.quantity = stock.quantity.map(|quantity| quantity - times);
        self.cost += times as i64 * stock.cost;
        self.patterns.push((pattern.clone(), times));
        times
    }

    /// Fills panels plainly and repeats them, until few pieces are left or the stock is at an end.
    pub(super) fn fill(&mut self, residual: &mut Inflated) {
        while residual.pieces() > MANY {
            let Some(stock) = cheapest(residual) else { return };
            let sheet = filled(residual, stock);
            let (panel, makes) = (sheet.panel(residual.kerf), sheet.counts());
            if self.take(&Pattern { stock, panel, makes }, usize::MAX, residual) == 0 {
                return;
            }
        }
    }
}

/// The stock that costs least for its size, of what there is and something fits.
fn cheapest(residual: &Inflated) -> Option<usize> {
    let fits =
        |size: [i64; 2]| residual.items.iter().any(|item| item.demand > 0 && item.fits(size));
    let stock = residual.stock.iter().enumerate();
    let there = stock.filter(|(_, stock)| stock.quantity != Some(0) && fits(stock.size));
    there.min_by(|(_, a), (_, b)| a.rate().total_cmp(&b.rate())).map(|(at, _)| at)
}

/// A sheet filled with rows of equal pieces, the large ones first.
fn filled(residual: &Inflated, stock: usize) -> SheetTree {
    let mut sheet = SheetTree::new(stock, residual.stock[stock].size);
    let mut order: Vec<usize> = (0..residual.items.len()).collect();
    order.sort_by_key(|&at| (std::cmp::Reverse(residual.items[at].area()), at));
    for at in order {
        let mut asked = residual.items[at].demand;
        while asked > 0 {
            let Some((room, piece, copies)) = best_row(&sheet, residual, at, asked) else { break };
            sheet.lay_row(room, piece, copies);
            asked -= copies;
        }
    }
    sheet
}

/// The room that is filled best by as many pieces of an item in a row as go there.
fn best_row(
    sheet: &SheetTree,
    residual: &Inflated,
    item: usize,
    asked: usize,
) -> Option<(usize, PosedPiece, usize)> {
    let mut best: Option<(f64, (usize, PosedPiece, usize))> = None;
    for (room, open) in sheet.rooms.iter().enumerate() {
        for (size, turned) in residual.items[item].poses() {
            if !within(size, open.size) {
                continue;
            }
            let along = usize::from(open.axis);
            let copies = asked.min((open.size[along] / size[along]) as usize);
            let share = (copies as i64 * size[along]) as f64 / open.size[along] as f64;
            if best.as_ref().is_none_or(|best| share > best.0) {
                best =
                    Some((share, (room, PosedPiece { item: item as u32, size, turned }, copies)));
            }
        }
    }
    best.map(|(_, row)| row)
}
