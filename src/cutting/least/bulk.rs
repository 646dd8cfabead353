//! The same sheet many times: what large orders are begun with.

use super::columns::Pattern;
use super::grown::Grown;
use super::sheet::{Laid, Sheet};

/// More pieces than this are not laid one by one.
pub(super) const MANY: usize = 1500;

/// Patterns sawn a whole number of times, and what they leave to do.
#[derive(Default)]
pub(super) struct Bulk {
    pub patterns: Vec<(Pattern, usize)>,
    pub cost: i64,
}

impl Bulk {
    /// Takes `pattern` as often as wanted, but no oftener than `rest` asks for all it makes and
    /// has stock for it; `rest` then asks for less. How often it was.
    pub(super) fn take(&mut self, pattern: &Pattern, wanted: usize, rest: &mut Grown) -> usize {
        let asked = pattern.makes.iter().map(|&(item, n)| rest.items[item].demand / n.max(1));
        let there = rest.stock[pattern.stock].quantity.unwrap_or(usize::MAX);
        let times = asked.min().unwrap_or(0).min(there).min(wanted);
        if times == 0 {
            return 0;
        }
        for &(item, n) in &pattern.makes {
            rest.items[item].demand -= n * times;
        }
        let stock = &mut rest.stock[pattern.stock];
        stock.quantity = stock.quantity.map(|quantity| quantity - times);
        self.cost += times as i64 * stock.cost;
        self.patterns.push((pattern.clone(), times));
        times
    }

    /// Fills sheets plainly and repeats them, until few pieces are left or the stock is at an end.
    pub(super) fn fill(&mut self, rest: &mut Grown) {
        while rest.pieces() > MANY {
            let stock = (0..rest.stock.len())
                .filter(|&at| rest.stock[at].quantity != Some(0))
                .filter(|&at| {
                    let size = rest.stock[at].size;
                    rest.items.iter().any(|item| item.demand > 0 && item.fits(size))
                })
                .min_by(|&a, &b| rest.stock[a].rate().total_cmp(&rest.stock[b].rate()));
            let Some(stock) = stock else { return };
            let sheet = filled(rest, stock);
            let (panel, makes) = (sheet.panel(rest.kerf), sheet.counts());
            if self.take(&Pattern { stock, panel, makes }, usize::MAX, rest) == 0 {
                return;
            }
        }
    }
}

/// A sheet filled with rows of equal pieces, the large ones first.
fn filled(rest: &Grown, stock: usize) -> Sheet {
    let mut sheet = Sheet::new(stock, rest.stock[stock].size);
    let mut order: Vec<usize> = (0..rest.items.len()).collect();
    order.sort_by_key(|&at| (std::cmp::Reverse(rest.items[at].area()), at));
    for at in order {
        let item = &rest.items[at];
        let mut asked = item.demand;
        while asked > 0 {
            // The room that is filled best by as many in a row as go there.
            let mut best: Option<(f64, usize, Laid, usize)> = None;
            for (room, open) in sheet.rooms.iter().enumerate() {
                for (size, turned) in item.poses() {
                    if size[0] > open.size[0] || size[1] > open.size[1] {
                        continue;
                    }
                    let along = usize::from(open.axis);
                    let copies = asked.min((open.size[along] / size[along]) as usize);
                    let share = (copies as i64 * size[along]) as f64 / open.size[along] as f64;
                    if best.as_ref().is_none_or(|best| share > best.0) {
                        best = Some((share, room, Laid { item: at as u32, size, turned }, copies));
                    }
                }
            }
            let Some((_, room, piece, copies)) = best else { break };
            sheet.lay_row(room, piece, copies);
            asked -= copies;
        }
    }
    sheet
}
