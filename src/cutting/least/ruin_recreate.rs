//! Filling a fixed number of sheets better and better, by taking pieces off and laying them anew.
//!
//! After the goal-driven ruin and recreate of Gardeyn and Wauters, "A goal-driven ruin and
//! recreate heuristic for the 2D variable-sized bin packing problem with guillotine constraints",
//! European Journal of Operational Research 301 (2022): once all pieces are laid, sheets are taken
//! away until the plan would be cheaper, and the search goes on for room for the pieces left over.

use super::inflated::within;
use super::meter::Meter;
use super::sheet_tree::{PosedPiece, Room, SheetTree};
use super::{ItemType, StockSize};
use crate::random::Rng;

/// What is to be laid, on what; sizes carry the kerf.
pub(super) struct PackingTask<'a> {
    pub stock: &'a [StockSize],
    pub items: &'a [ItemType],
    /// No plan costs less: where it is reached, the search is over.
    pub lower: i64,
}

/// Sheets with pieces, and the pieces not laid.
#[derive(Clone, Default)]
pub(super) struct Packing {
    pub sheets: Vec<SheetTree>,
    /// The item of each piece that has no place.
    pub unplaced: Vec<u32>,
    pub cost: i64,
    /// Area of the unplaced pieces.
    pub missing: f64,
}

impl Packing {
    /// Nothing laid yet.
    pub(super) fn of(pieces: Vec<u32>) -> Self {
        Self { unplaced: pieces, ..Self::default() }
    }

    fn is_better_than(&self, other: &Self) -> bool {
        let (mine, others) = (self.missing, other.missing);
        mine < others || mine <= others && self.cost < other.cost
    }
}

/// How many earlier packings a new one is measured against (late acceptance: Burke and Bykov, "The
/// late acceptance hill-climbing heuristic", European Journal of Operational Research 258, 2017).
const MEMORY: usize = 60;

/// What the search begins its random numbers with.
const SEED: u64 = 1;

/// The best packing found from `current` on before the meter is empty.
pub(super) fn ruin_and_recreate(
    task: &PackingTask<'_>,
    mut current: Packing,
    meter: &mut Meter,
) -> Packing {
    let mut search = RuinRecreate::new(task);
    search.recreate(&mut current, i64::MAX, meter);
    let mut best = current.clone();
    let mut late = [f64::INFINITY; MEMORY];
    let mut turn = 0;
    while !(meter.is_empty() || best.unplaced.is_empty() && best.cost <= task.lower) {
        meter.spend(16 + current.unplaced.len() as u64);
        if current.unplaced.is_empty() && current.cost >= best.cost {
            search.take_sheets(&mut current, best.cost);
            late.fill(f64::INFINITY);
        }
        let limit = if best.unplaced.is_empty() { best.cost - 1 } else { i64::MAX };
        let before = search.ruin(&mut current);
        search.recreate(&mut current, limit, meter);
        if current.is_better_than(&best) {
            best = current.clone();
        }
        let threshold = &mut late[turn % MEMORY];
        let accepted = current.missing <= before.missing || current.missing < *threshold;
        if !accepted {
            search.undo(&mut current, before);
        }
        *threshold = current.missing;
        turn += 1;
    }
    best
}

/// What a ruin changed, to be put back.
struct Undo {
    count: usize,
    unplaced: Vec<u32>,
    cost: i64,
    missing: f64,
}

struct RuinRecreate<'a> {
    task: &'a PackingTask<'a>,
    rng: Rng,
    /// How many of each stock are in use.
    used: Vec<usize>,
    /// Sheets laid upon or taken from since the last ruin, with what they were before.
    kept: Vec<(usize, SheetTree)>,
}

/// Somewhere a piece may go.
struct Insertion {
    sheet: usize,
    room: usize,
    piece: PosedPiece,
    lengthwise: bool,
    loss: f64,
}

impl<'a> RuinRecreate<'a> {
    fn new(task: &'a PackingTask<'a>) -> Self {
        Self { task, rng: Rng::new(SEED), used: vec![0; task.stock.len()], kept: Vec::new() }
    }

    /// Sheets away, those with least on them first, until `packing` costs less than `cost`.
    fn take_sheets(&mut self, packing: &mut Packing, cost: i64) {
        while packing.cost >= cost {
            let paid = |sheet: &SheetTree| self.task.stock[sheet.stock].cost > 0;
            let filling = |sheet: &SheetTree| {
                let stock = self.task.stock[sheet.stock];
                sheet.filled(self.task.items) as f64 / stock.cost as f64
            };
            let least = (0..packing.sheets.len()).filter(|&at| paid(&packing.sheets[at])).min_by(
                |&a, &b| filling(&packing.sheets[a]).total_cmp(&filling(&packing.sheets[b])),
            );
            let Some(least) = least else { return };
            let mut sheet = packing.sheets.swap_remove(least);
            packing.cost -= self.task.stock[sheet.stock].cost;
            self.used[sheet.stock] -= 1;
            sheet.clear(&mut packing.unplaced);
        }
        packing.missing = self.missing(&packing.unplaced);
    }

    fn missing(&self, unplaced: &[u32]) -> f64 {
        unplaced.iter().map(|&item| self.task.items[item as usize].area() as f64).sum()
    }

    /// Takes pieces off a few sheets.
    fn ruin(&mut self, packing: &mut Packing) -> Undo {
        let before = Undo {
            count: packing.sheets.len(),
            unplaced: packing.unplaced.clone(),
            cost: packing.cost,
            missing: packing.missing,
        };
        self.kept.clear();
        if packing.sheets.is_empty() {
            return before;
        }
        for _ in 0..=self.rng.below(3) {
            let at = self.rng.below(packing.sheets.len());
            self.keep(packing, at);
            let sheet = &mut packing.sheets[at];
            if self.rng.chance(200) {
                sheet.clear(&mut packing.unplaced);
                continue;
            }
            for _ in 0..=self.rng.below(4) {
                let part = 1 + self.rng.below(sheet.parts().saturating_sub(1));
                sheet.take(part, &mut packing.unplaced);
            }
            sheet.settle();
        }
        before
    }

    /// Remembers a sheet as it was, the first time it is touched.
    fn keep(&mut self, packing: &Packing, at: usize) {
        if self.kept.iter().all(|(kept, _)| *kept != at) {
            self.kept.push((at, packing.sheets[at].clone()));
        }
    }

    fn undo(&mut self, packing: &mut Packing, before: Undo) {
        for sheet in packing.sheets.drain(before.count..) {
            self.used[sheet.stock] -= 1;
        }
        for (at, sheet) in self.kept.drain(..) {
            if at < before.count {
                packing.sheets[at] = sheet;
            }
        }
        packing.unplaced = before.unplaced;
        packing.cost = before.cost;
        packing.missing = before.missing;
    }

    /// Lays what is unplaced, in a random order, each piece where it loses the least room; opens new
    /// sheets while the packing costs no more than `limit`.
    fn recreate(&mut self, packing: &mut Packing, limit: i64, meter: &mut Meter) {
        let order = self.order(std::mem::take(&mut packing.unplaced));
        let mut refused = u32::MAX;
        for item in order {
            if item == refused {
                packing.unplaced.push(item);
                continue;
            }
            let found = self.best_insertion(packing, item, meter);
            let found = found.or_else(|| self.new_sheet(packing, item, limit));
            let Some(insertion) = found else {
                refused = item;
                packing.unplaced.push(item);
                continue;
            };
            self.keep(packing, insertion.sheet);
            let Insertion { sheet, room, piece, lengthwise, .. } = insertion;
            packing.sheets[sheet].lay(room, piece, lengthwise);
        }
        packing.missing = self.missing(&packing.unplaced);
    }

    /// The pieces in the order they are to be laid: the large ones mostly first, by one measure or
    /// another, and now and then one out of turn.
    fn order(&mut self, mut pieces: Vec<u32>) -> Vec<u32> {
        let measure = self.rng.below(8);
        let key = |item: usize| {
            let [a, b] = self.task.items[item].size.map(|side| side as f64);
            match measure {
                0 => a,
                1 => b,
                2 => a.max(b),
                3 => a + b,
                // In the order of items.
                4 => 0.0,
                _ => a * b,
            }
        };
        pieces.sort_by(|&a, &b| key(b as usize).total_cmp(&key(a as usize)).then(a.cmp(&b)));
        if measure == 7 {
            self.rng.shuffle(&mut pieces);
        }
        for at in 1..pieces.len() {
            if self.rng.chance(100) {
                pieces.swap(at - 1, at);
            }
        }
        pieces
    }

    /// Where a piece loses the least room on the sheets there are.
    fn best_insertion(
        &mut self,
        packing: &Packing,
        item: u32,
        meter: &mut Meter,
    ) -> Option<Insertion> {
        let pieces = &self.task.items[item as usize];
        let area = pieces.area();
        let mut best: Option<Insertion> = None;
        for (sheet, on) in packing.sheets.iter().enumerate() {
            meter.spend(4 * on.rooms.len() as u64 + 4);
            for (room, open) in on.rooms.iter().enumerate() {
                if open.size[0] * open.size[1] < area {
                    continue;
                }
                for (size, turned) in pieces.poses() {
                    if !within(size, open.size) || self.rng.chance(10) {
                        continue;
                    }
                    meter.spend(16);
                    let (loss, lengthwise) = loss(open, size);
                    if best.as_ref().is_none_or(|best| loss < best.loss) {
                        let piece = PosedPiece { item, size, turned };
                        best = Some(Insertion { sheet, room, piece, lengthwise, loss });
                    }
                }
            }
        }
        best
    }

    /// A new sheet for a piece that finds no place.
    fn new_sheet(&mut self, packing: &mut Packing, item: u32, limit: i64) -> Option<Insertion> {
        let chosen = self.choose_stock(item, limit.saturating_sub(packing.cost))?;
        let stock = &self.task.stock[chosen];
        self.used[chosen] += 1;
        packing.cost += stock.cost;
        let sheet = packing.sheets.len();
        packing.sheets.push(SheetTree::new(chosen, stock.size));
        let poses = self.task.items[item as usize].poses();
        let poses: Vec<_> = poses.filter(|(size, _)| within(*size, stock.size)).collect();
        let (size, turned) = poses[self.rng.below(poses.len())];
        let piece = PosedPiece { item, size, turned };
        let lengthwise = self.rng.chance(512);
        Some(Insertion { sheet, room: 0, piece, lengthwise, loss: 0.0 })
    }

    /// The stock for one more sheet that an item fits on and that costs no more than `limit`: mostly
    /// the cheapest for its size.
    fn choose_stock(&mut self, item: u32, limit: i64) -> Option<usize> {
        let item = &self.task.items[item as usize];
        let is_there = |(at, stock): &(usize, &StockSize)| {
            item.fits(stock.size)
                && stock.quantity.is_none_or(|quantity| self.used[*at] < quantity)
                && stock.cost <= limit
        };
        let stock = self.task.stock.iter().enumerate().filter(is_there);
        let fitting: Vec<usize> = stock.map(|(at, _)| at).collect();
        let rate = |&at: &usize| self.task.stock[at].rate();
        let cheapest = fitting.iter().copied().min_by(|a, b| rate(a).total_cmp(&rate(b)))?;
        let another = fitting.len() > 1 && self.rng.chance(300);
        Some(if another { fitting[self.rng.below(fitting.len())] } else { cheapest })
    }
}

/// How much room a piece would lose, and whether less of it with the first cut along the strip.
/// Room counts more than in proportion to its area, so that what is left stays together.
fn loss(room: &Room, piece: [i64; 2]) -> (f64, bool) {
    let (along, across) = (usize::from(room.axis), usize::from(1 - room.axis));
    let (w, h) = (room.size[along] as f64, room.size[across] as f64);
    let (a, b) = (piece[along] as f64, piece[across] as f64);
    let crosswise = weighted((w - a) * h) + weighted(a * (h - b));
    let lengthwise = weighted(w * (h - b)) + weighted((w - a) * b);
    (weighted(w * h) - crosswise.max(lengthwise), lengthwise > crosswise)
}

fn weighted(area: f64) -> f64 {
    area * area.sqrt()
}
