//! Cutting to length in whole numbers: the best mix of patterns, its surest ones taken, the best
//! mix for what is then left, and so on down; and again with other choices, while time lasts.

use super::Panel;
use super::bounds::{Priced, proved_cost, round_up};
use super::budget::Purse;
use super::bulk::Bulk;
use super::columns::{Pattern, Rows};
use super::dice::Dice;
use super::draft::Draft;
use super::grown::Grown;
use super::knapsack::{Choice, pack};
use super::simplex::Programme;

/// After so many dives that found nothing better there is little hope.
const DIVES: usize = 300;

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
        for sheet in &draft.plan.sheets {
            let (stock, makes) = (sheet.stock, sheet.counts());
            self.patterns.push(Pattern { stock, panel: Panel::Left, makes });
        }
        let top = self.mix(self.whole, draft.lower);
        draft.raise(top.lower);
        let mut bold = false;
        for _ in 0..DIVES {
            if draft.done() || self.purse.is_empty() {
                return;
            }
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
            let mix = self.mix(&rest, lower - bulk.cost);
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

    /// The best mix for what `rest` asks for, of patterns that make no more than that; or one that
    /// costs no more than `enough`.
    fn mix(&mut self, rest: &Grown, enough: i64) -> Mix {
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
        let mut centre = Centre::new(rows.count());
        loop {
            self.purse.spend((programme.optimise() * rows.count() * rows.count()) as u64 / 4);
            let prices = programme.prices();
            let added = self.price(rest, &rows, &mut programme, &prices, &mut centre);
            used.extend(self.patterns.len() - added..self.patterns.len());
            // No better mix would lead to a cheaper plan.
            let lower = round_up(centre.proved, &rest.stock);
            let settled = round_up(programme.cost(), &rest.stock) <= lower.max(enough);
            if added == 0 || settled || self.purse.is_empty() {
                break;
            }
        }
        let lower = round_up(centre.proved, &rest.stock);
        let taken = programme.taken().into_iter().map(|(at, amount)| (used[at], amount)).collect();
        Mix { taken, cost: programme.cost(), lower }
    }

    /// Patterns worth more than they cost, added to the programme: how many.
    ///
    /// Prices half way to those that proved most so far lead sooner to the end (Wentges, "Weighted
    /// Dantzig-Wolfe decomposition for linear mixed-integer programming", International
    /// Transactions in Operational Research 4, 1997); where they lead nowhere, the prices as they
    /// are.
    fn price(
        &mut self,
        rest: &Grown,
        rows: &Rows,
        programme: &mut Programme,
        prices: &[f64],
        centre: &mut Centre,
    ) -> usize {
        for used in [centre.between(prices), prices.to_vec()] {
            let scale = rows.scale(&used);
            let worth: Vec<f64> = rows.worth(&used).map(|price| (price * scale).floor()).collect();
            let mut most = Vec::new();
            let mut added = 0;
            for (at, stock) in rest.stock.iter().enumerate() {
                let price = (rows.price_of(at, &used, stock) * scale).ceil();
                let packed = pack(stock.size[0], choices(rest, &worth), price, self.purse);
                most.push(packed.most);
                for makes in packed.makes {
                    let pattern = Pattern { stock: at, panel: Panel::Left, makes };
                    let column = rows.column(&pattern, stock);
                    if column.gain(prices) > 1e-7 * rows.dearest {
                        programme.add(column);
                        self.patterns.push(pattern);
                        added += 1;
                    }
                }
            }
            let priced = Priced { worth: &worth, most: &most };
            centre.move_to(used, proved_cost(&rest.stock, &rest.items, &priced));
            if added > 0 {
                return added;
            }
        }
        0
    }
}

/// The prices that proved most so far.
struct Centre {
    prices: Vec<f64>,
    proved: f64,
}

impl Centre {
    fn new(rows: usize) -> Self {
        Self { prices: vec![0.0; rows], proved: 0.0 }
    }

    fn between(&self, prices: &[f64]) -> Vec<f64> {
        if self.proved <= 0.0 {
            return prices.to_vec();
        }
        prices.iter().zip(&self.prices).map(|(a, b)| 0.4 * a + 0.6 * b).collect()
    }

    fn move_to(&mut self, prices: Vec<f64>, proved: f64) {
        if proved > self.proved {
            *self = Self { prices, proved };
        }
    }
}

fn choices(rest: &Grown, worth: &[f64]) -> Vec<Choice> {
    let items = rest.items.iter().zip(worth).enumerate();
    items
        .map(|(item, (piece, &worth))| Choice {
            item,
            length: piece.size[0],
            worth,
            copies: piece.demand,
        })
        .collect()
}
