//! Cutting to length in whole numbers: the best mix of patterns, its surest ones taken, the best
//! mix for what is then left, and so on down; and again with other choices, while time lasts.

use super::bounds::{Priced, least_cost, round_up};
use super::budget::Purse;
use super::bulk::Bulk;
use super::columns::{Pattern, Rows};
use super::dice::Dice;
use super::grown::Grown;
use super::knapsack::{Choice, pack};
use super::draft::Draft;
use super::Panel;

/// Cuts bars; sizes lie along the first axis.
pub(super) struct Diver<'a> {
    whole: &'a Grown,
    purse: &'a mut Purse,
    /// All patterns found so far.
    patterns: Vec<Pattern>,
    dice: Dice,
}

/// The best mix for a demand, each pattern as often as is best, and what it proves.
struct Mix {
    taken: Vec<(usize, f64)>,
    cost: f64,
    lower: i64,
}

impl<'a> Diver<'a> {
    pub(super) fn new(whole: &'a Grown, purse: &'a mut Purse) -> Self {
        Self { whole, purse, patterns: Vec::new(), dice: Dice::new(1) }
    }

    /// Improves `draft` and its lower bound.
    pub(super) fn run(&mut self, draft: &mut Draft) {
        let top = self.mix(self.whole);
        draft.raise(top.lower);
        let mut bold = false;
        while !draft.done() && !self.purse.is_empty() {
            let ceiling = draft.ceiling();
            if let Some(found) = self.down(&top, ceiling, draft.lower, bold) {
                draft.improve(found);
            }
            bold = true;
        }
    }

    /// One dive; `None` where it can't end below `ceiling`.
    fn down(&mut self, top: &Mix, ceiling: i64, lower: i64, bold: bool) -> Option<Draft> {
        let mut rest = self.whole.clone();
        let mut bulk = Bulk::default();
        let mut taken = top.taken.clone();
        while rest.pieces() > 0 {
            if !self.take_surest(taken, &mut rest, &mut bulk, bold) {
                break;
            }
            if self.purse.is_empty() {
                break;
            }
            let mix = self.mix(&rest);
            let end = bulk.cost.saturating_add(round_up(mix.cost, &rest.stock));
            if end >= ceiling && rest.pieces() > 0 {
                return None;
            }
            taken = mix.taken;
        }
        bulk.fill(&mut rest);
        let mut share = self.purse.share(0.05);
        let draft = Draft::finish(bulk, &rest, lower, &mut share);
        self.purse.give_back(&share);
        Some(draft)
    }

    /// Takes all patterns as often as they are wholly in the mix; where none is, the one nearest
    /// to it, or, when `bold`, now and then another.
    fn take_surest(
        &mut self,
        mut taken: Vec<(usize, f64)>,
        rest: &mut Grown,
        bulk: &mut Bulk,
        bold: bool,
    ) -> bool {
        let mut some = false;
        for &(at, amount) in &taken {
            let times = (amount + 1e-6).floor() as usize;
            some |= times > 0 && bulk.take(&self.patterns[at], times, rest) > 0;
        }
        let part = |amount: f64| amount - (amount + 1e-6).floor();
        taken.sort_by(|a, b| part(b.1).total_cmp(&part(a.1)).then(a.0.cmp(&b.0)));
        while !some && !taken.is_empty() {
            let mut pick = 0;
            while bold && pick + 1 < taken.len() && self.dice.falls(300) {
                pick += 1;
            }
            let (at, _) = taken.remove(pick);
            some = bulk.take(&self.patterns[at], 1, rest) > 0;
        }
        some
    }

    /// The best mix for what `rest` asks for, of patterns that make no more than that.
    fn mix(&mut self, rest: &Grown) -> Mix {
        let rows = Rows::new(rest);
        let mut programme = rows.programme();
        let fits = |pattern: &Pattern| {
            rest.stock[pattern.stock].quantity != Some(0)
                && pattern.makes.iter().all(|&(item, n)| n <= rest.items[item].demand)
        };
        let mut used: Vec<usize> = Vec::new();
        for at in 0..self.patterns.len() {
            if fits(&self.patterns[at]) {
                let pattern = &self.patterns[at];
                programme.add(rows.column(pattern, &rest.stock[pattern.stock]));
                used.push(at);
            }
        }
        let mut lower = 0;
        loop {
            self.purse.spend((programme.optimise() * rows.count() * rows.count()) as u64 / 4);
            let prices = programme.prices();
            let scale = rows.scale(&prices);
            let worth: Vec<f64> = rows.worth(&prices).map(|price| (price * scale).floor()).collect();
            let mut most = Vec::new();
            let before = used.len();
            for (at, stock) in rest.stock.iter().enumerate() {
                let packed = pack(stock.size[0], choices(rest, &worth), self.purse);
                most.push(packed.most);
                let gain = packed.worth / scale - rows.price_of(at, &prices, stock);
                if gain > 1e-6 * rows.dearest {
                    let pattern = Pattern { stock: at, panel: Panel::Left, makes: packed.makes };
                    programme.add(rows.column(&pattern, stock));
                    used.push(self.patterns.len());
                    self.patterns.push(pattern);
                }
            }
            let priced = Priced { worth: &worth, most: &most };
            lower = lower.max(least_cost(&rest.stock, &rest.items, &priced));
            if used.len() == before || self.purse.is_empty() {
                break;
            }
        }
        let taken = programme.taken().into_iter().map(|(at, amount)| (used[at], amount)).collect();
        Mix { taken, cost: programme.cost(), lower }
    }
}

fn choices(rest: &Grown, worth: &[f64]) -> Vec<Choice> {
    let items = rest.items.iter().zip(worth).enumerate();
    items
        .map(|(item, (piece, &worth))| {
            Choice { item, length: piece.size[0], worth, copies: piece.demand }
        })
        .collect()
}
