//! Filling a fixed number of sheets better and better, by taking pieces off and laying them anew.
//!
//! After the goal-driven ruin and recreate of Gardeyn and Wauters, "A goal-driven ruin and
//! recreate heuristic for the 2D variable-sized bin packing problem with guillotine constraints",
//! European Journal of Operational Research 301 (2022): once all pieces are laid, sheets are taken
//! away until the plan would be cheaper, and the search goes on for room for the pieces left over.

use super::budget::Purse;
use super::dice::Dice;
use super::sheet::{Laid, Room, Sheet};
use super::{Item, Stock};

/// What is to be laid, on what; sizes carry the kerf.
pub(super) struct Task<'a> {
    pub stock: &'a [Stock],
    pub items: &'a [Item],
    /// What one piece of each item counts while it is not laid.
    pub weight: &'a [f64],
    /// No plan costs less: where it is reached, the search is over.
    pub lower: i64,
    /// Nor does any leave less than this missing.
    pub enough: f64,
}

/// Sheets with pieces, and the pieces not laid.
#[derive(Clone, Default)]
pub(super) struct Plan {
    pub sheets: Vec<Sheet>,
    pub left: Vec<u32>,
    pub cost: i64,
    pub missing: f64,
}

impl Plan {
    /// Nothing laid yet.
    pub(super) fn of(pieces: Vec<u32>) -> Self {
        Self { left: pieces, ..Self::default() }
    }

    fn better_than(&self, other: &Self) -> bool {
        let (mine, others) = (self.missing, other.missing);
        mine < others || mine <= others && self.cost < other.cost
    }
}

/// How many earlier plans a new one is measured against (late acceptance: Burke and Bykov, "The
/// late acceptance hill-climbing heuristic", European Journal of Operational Research 258, 2017).
const MEMORY: usize = 60;

/// The best plan found from `now` on before the purse is empty.
pub(super) fn refill(task: &Task<'_>, mut now: Plan, purse: &mut Purse, seed: u64) -> Plan {
    let mut hand = Hand::new(task, seed);
    hand.recreate(&mut now, i64::MAX, purse);
    let mut best = now.clone();
    let mut memory = vec![f64::INFINITY; MEMORY];
    let mut turn = 0;
    while !(purse.is_empty() || best.missing <= task.enough && best.cost <= task.lower) {
        purse.spend(16 + now.left.len() as u64);
        if now.left.is_empty() && now.cost >= best.cost {
            hand.take_sheets(&mut now, best.cost);
            memory.fill(f64::INFINITY);
        }
        let limit = if best.left.is_empty() { best.cost - 1 } else { i64::MAX };
        let before = hand.ruin(&mut now);
        hand.recreate(&mut now, limit, purse);
        if now.better_than(&best) {
            best = now.clone();
        }
        let slot = turn % MEMORY;
        if now.missing <= before.missing || now.missing < memory[slot] {
            memory[slot] = now.missing;
        } else {
            hand.undo(&mut now, before);
            memory[slot] = now.missing;
        }
        turn += 1;
    }
    best
}

/// What a ruin changed, to be put back.
struct Before {
    count: usize,
    left: Vec<u32>,
    cost: i64,
    missing: f64,
}

struct Hand<'a> {
    task: &'a Task<'a>,
    dice: Dice,
    /// How many of each stock are in use.
    used: Vec<usize>,
    /// Sheets laid upon or taken from since the last ruin, with what they were before.
    kept: Vec<(usize, Sheet)>,
}

/// Somewhere a piece may go.
struct Place {
    sheet: usize,
    room: usize,
    piece: Laid,
    lengthwise: bool,
    loss: f64,
}

impl<'a> Hand<'a> {
    fn new(task: &'a Task<'a>, seed: u64) -> Self {
        Self { task, dice: Dice::new(seed), used: vec![0; task.stock.len()], kept: Vec::new() }
    }

    /// Sheets away, those with least on them first, until `plan` costs less than `cost`.
    fn take_sheets(&mut self, plan: &mut Plan, cost: i64) {
        while plan.cost >= cost {
            let paid = |sheet: &Sheet| self.task.stock[sheet.stock].cost > 0;
            let worth = |sheet: &Sheet| {
                let stock = self.task.stock[sheet.stock];
                sheet.filled(self.task.items) as f64 / stock.cost as f64
            };
            let least = (0..plan.sheets.len())
                .filter(|&at| paid(&plan.sheets[at]))
                .min_by(|&a, &b| worth(&plan.sheets[a]).total_cmp(&worth(&plan.sheets[b])));
            let Some(least) = least else { return };
            let mut sheet = plan.sheets.swap_remove(least);
            plan.cost -= self.task.stock[sheet.stock].cost;
            self.used[sheet.stock] -= 1;
            sheet.clear(&mut plan.left);
        }
        plan.missing = self.missing(&plan.left);
    }

    fn missing(&self, left: &[u32]) -> f64 {
        left.iter().map(|&item| self.task.weight[item as usize]).sum()
    }

    /// Takes pieces off a few sheets.
    fn ruin(&mut self, plan: &mut Plan) -> Before {
        let before = Before {
            count: plan.sheets.len(),
            left: plan.left.clone(),
            cost: plan.cost,
            missing: plan.missing,
        };
        self.kept.clear();
        if plan.sheets.is_empty() {
            return before;
        }
        for _ in 0..=self.dice.below(3) {
            let at = self.dice.below(plan.sheets.len());
            self.keep(plan, at);
            let sheet = &mut plan.sheets[at];
            if self.dice.falls(200) {
                sheet.clear(&mut plan.left);
                continue;
            }
            for _ in 0..=self.dice.below(4) {
                let part = 1 + self.dice.below(sheet.parts().saturating_sub(1));
                sheet.take(part, &mut plan.left);
            }
            sheet.settle();
        }
        before
    }

    /// Remembers a sheet as it was, the first time it is touched.
    fn keep(&mut self, plan: &Plan, at: usize) {
        if self.kept.iter().all(|(kept, _)| *kept != at) {
            self.kept.push((at, plan.sheets[at].clone()));
        }
    }

    fn undo(&mut self, plan: &mut Plan, before: Before) {
        for sheet in plan.sheets.drain(before.count..) {
            self.used[sheet.stock] -= 1;
        }
        for (at, sheet) in self.kept.drain(..) {
            if at < before.count {
                plan.sheets[at] = sheet;
            }
        }
        plan.left = before.left;
        plan.cost = before.cost;
        plan.missing = before.missing;
    }

    /// Lays what is left, in a thrown order, each piece where it loses the least room; opens new
    /// sheets while the plan costs no more than `limit`.
    fn recreate(&mut self, plan: &mut Plan, limit: i64, purse: &mut Purse) {
        let order = self.order(std::mem::take(&mut plan.left));
        let mut refused = u32::MAX;
        for item in order {
            if item == refused {
                plan.left.push(item);
                continue;
            }
            let found = self.best_place(plan, item, purse);
            let place = match found {
                Some(place) => Some(place),
                None => self.new_sheet(plan, item, limit),
            };
            let Some(place) = place else {
                refused = item;
                plan.left.push(item);
                continue;
            };
            self.keep(plan, place.sheet);
            plan.sheets[place.sheet].lay(place.room, place.piece, place.lengthwise);
        }
        plan.missing = self.missing(&plan.left);
    }

    /// The pieces in the order they are to be laid: the large ones mostly first, by one measure or
    /// another, and now and then one out of turn.
    fn order(&mut self, mut pieces: Vec<u32>) -> Vec<u32> {
        let kind = self.dice.below(8);
        let key = |item: usize| {
            let [a, b] = self.task.items[item].size.map(|side| side as f64);
            match kind {
                0 => a,
                1 => b,
                2 => a.max(b),
                3 => a + b,
                4 => self.task.weight[item] / (a * b),
                5 => self.task.weight[item],
                _ => a * b,
            }
        };
        pieces.sort_by(|&a, &b| key(b as usize).total_cmp(&key(a as usize)).then(a.cmp(&b)));
        if kind == 7 {
            self.dice.shuffle(&mut pieces);
        }
        for at in 1..pieces.len() {
            if self.dice.falls(100) {
                pieces.swap(at - 1, at);
            }
        }
        pieces
    }

    fn best_place(&mut self, plan: &Plan, item: u32, purse: &mut Purse) -> Option<Place> {
        let kind = &self.task.items[item as usize];
        let area = kind.area();
        let mut best: Option<Place> = None;
        for (sheet, on) in plan.sheets.iter().enumerate() {
            purse.spend(4 * on.rooms.len() as u64 + 4);
            for (room, open) in on.rooms.iter().enumerate() {
                if open.size[0] * open.size[1] < area {
                    continue;
                }
                for (size, turned) in kind.poses() {
                    if size[0] > open.size[0] || size[1] > open.size[1] || self.dice.falls(10) {
                        continue;
                    }
                    purse.spend(16);
                    let (loss, lengthwise) = loss(open, size);
                    if best.as_ref().is_none_or(|best| loss < best.loss) {
                        let piece = Laid { item, size, turned };
                        best = Some(Place { sheet, room, piece, lengthwise, loss });
                    }
                }
            }
        }
        best
    }

    /// A new sheet for a piece that finds no place: the cheapest for its size that may be taken.
    fn new_sheet(&mut self, plan: &mut Plan, item: u32, limit: i64) -> Option<Place> {
        let kind = &self.task.items[item as usize];
        let fitting: Vec<usize> = (0..self.task.stock.len())
            .filter(|&at| {
                let stock = &self.task.stock[at];
                kind.fits(stock.size)
                    && stock.quantity.is_none_or(|quantity| self.used[at] < quantity)
                    && stock.cost <= limit.saturating_sub(plan.cost)
            })
            .collect();
        let rate = |&at: &usize| self.task.stock[at].rate();
        let cheapest = fitting.iter().copied().min_by(|a, b| rate(a).total_cmp(&rate(b)))?;
        let chosen = if fitting.len() > 1 && self.dice.falls(300) {
            fitting[self.dice.below(fitting.len())]
        } else {
            cheapest
        };
        let stock = &self.task.stock[chosen];
        self.used[chosen] += 1;
        plan.cost += stock.cost;
        let sheet = plan.sheets.len();
        plan.sheets.push(Sheet::new(chosen, stock.size));
        let poses: Vec<_> = kind
            .poses()
            .filter(|(size, _)| size[0] <= stock.size[0] && size[1] <= stock.size[1])
            .collect();
        let (size, turned) = poses[self.dice.below(poses.len())];
        let lengthwise = self.dice.falls(512);
        Some(Place { sheet, room: 0, piece: Laid { item, size, turned }, lengthwise, loss: 0.0 })
    }
}

/// How much room a piece would lose, and whether less of it with the first cut along the strip.
/// Room counts more than in proportion to its area, so that what is left stays together.
fn loss(room: &Room, piece: [i64; 2]) -> (f64, bool) {
    let (along, across) = (usize::from(room.axis), usize::from(1 - room.axis));
    let (w, h) = (room.size[along] as f64, room.size[across] as f64);
    let (a, b) = (piece[along] as f64, piece[across] as f64);
    let crosswise = worth((w - a) * h) + worth(a * (h - b));
    let lengthwise = worth(w * (h - b)) + worth((w - a) * b);
    (worth(w * h) - crosswise.max(lengthwise), lengthwise > crosswise)
}

fn worth(area: f64) -> f64 {
    area * area.sqrt()
}
