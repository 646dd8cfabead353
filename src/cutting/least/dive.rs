//! One dimension, in whole numbers: the best mix of patterns, its surest ones taken, the best mix
//! for what is then left, and so on down; and again with other choices, while time lasts.

use super::dual_bound::{DualValues, proved_cost, round_up};
use super::incumbent::Incumbent;
use super::inflated::Inflated;
use super::knapsack::{KnapsackItem, pack};
use super::master::MasterRows;
use super::meter::Meter;
use super::pattern::{Pattern, PatternCounts};
use super::simplex::LinearProgram;
use super::{ItemType, StockSize};
use crate::random::Rng;

/// After so many dives that found nothing better there is little hope.
const DIVES: usize = 300;

/// Dives for pieces that lie behind one another along the first axis.
pub(super) struct Diver<'a> {
    whole: &'a Inflated,
    meter: &'a mut Meter,
    /// All patterns found so far.
    patterns: Vec<Pattern>,
    rng: Rng,
}

/// An optimal basis of the relaxation for some demand, and what it proves.
struct MasterSolution {
    /// Patterns by their position, each with how often it is sawn.
    amounts: Vec<(usize, f64)>,
    cost: f64,
    lower: i64,
}

impl<'a> Diver<'a> {
    pub(super) fn new(whole: &'a Inflated, meter: &'a mut Meter) -> Self {
        Self { whole, meter, patterns: Vec::new(), rng: Rng::new(1) }
    }

    /// Improves the incumbent and its lower bound.
    pub(super) fn run(&mut self, incumbent: &mut Incumbent) {
        for sheet in &incumbent.packing.sheets {
            self.patterns.push(Pattern::bar(self.whole, sheet.stock, sheet.counts()));
        }
        let top = self.master(self.whole, incumbent.lower);
        incumbent.raise_bound(top.lower);
        for dive in 0..DIVES {
            if incumbent.is_optimal() || self.meter.is_empty() {
                return;
            }
            if let Some(found) = self.dive(&top, incumbent, dive > 0) {
                incumbent.improve(found);
            }
        }
    }

    /// One dive; `None` where it can't end below what the incumbent costs.
    fn dive(
        &mut self,
        top: &MasterSolution,
        incumbent: &Incumbent,
        bold: bool,
    ) -> Option<Incumbent> {
        let (ceiling, lower) = (incumbent.ceiling(), incumbent.lower);
        let mut residual = self.whole.clone();
        let mut counts = PatternCounts::default();
        let mut amounts = top.amounts.clone();
        while residual.pieces() > 0 {
            let took = self.take_surest(amounts, &mut residual, &mut counts, bold);
            if !took || self.meter.is_empty() {
                break;
            }
            let master = self.master(&residual, lower - counts.cost);
            let end = counts.cost.saturating_add(round_up(master.cost, &residual.stock));
            if end >= ceiling && residual.pieces() > 0 {
                return None;
            }
            amounts = master.amounts;
        }
        let mut share = self.meter.share(0.05);
        let found = Incumbent::completed(counts, residual, lower, &mut share);
        self.meter.give_back(&share);
        Some(found)
    }

    /// Takes all patterns as often as they are whole times in the basis; where none is, the one
    /// nearest to it, or, when `bold`, now and then another.
    fn take_surest(
        &mut self,
        mut amounts: Vec<(usize, f64)>,
        residual: &mut Inflated,
        counts: &mut PatternCounts,
        bold: bool,
    ) -> bool {
        let mut some = false;
        for &(at, amount) in &amounts {
            let times = (amount + 1e-6).floor() as usize;
            some |= times > 0 && counts.take(&self.patterns[at], times, residual) > 0;
        }
        let fraction = |amount: f64| amount - (amount + 1e-6).floor();
        amounts.sort_by(|a, b| fraction(b.1).total_cmp(&fraction(a.1)).then(a.0.cmp(&b.0)));
        while !some && !amounts.is_empty() {
            let mut pick = 0;
            while bold && pick + 1 < amounts.len() && self.rng.chance(300) {
                pick += 1;
            }
            let (at, _) = amounts.remove(pick);
            some = counts.take(&self.patterns[at], 1, residual) > 0;
        }
        some
    }

    /// The best basis for what `residual` asks for, of patterns that make no more than that; or one
    /// that costs no more than `enough`.
    fn master(&mut self, residual: &Inflated, enough: i64) -> MasterSolution {
        let rows = MasterRows::new(residual);
        let (mut program, mut used) = self.restricted(residual, &rows);
        let mut stabilizer = Stabilizer::new(rows.count());
        loop {
            let pivots = program.optimize();
            self.meter.spend((pivots * rows.count() * rows.count()) as u64 / 4);
            let duals = program.duals();
            let added = self.price(residual, &rows, &mut program, &duals, &mut stabilizer);
            used.extend(self.patterns.len() - added..self.patterns.len());
            // No better basis would lead to a cheaper plan.
            let lower = round_up(stabilizer.proved, &residual.stock);
            let settled = round_up(program.cost(), &residual.stock) <= lower.max(enough);
            if added == 0 || settled || self.meter.is_empty() {
                break;
            }
        }
        let lower = round_up(stabilizer.proved, &residual.stock);
        let amounts = program.solution().into_iter().map(|(at, amount)| (used[at], amount));
        MasterSolution { amounts: amounts.collect(), cost: program.cost(), lower }
    }

    /// The program of the patterns known that make no more than `residual` asks for, and which
    /// these are.
    fn restricted(&self, residual: &Inflated, rows: &MasterRows) -> (LinearProgram, Vec<usize>) {
        let mut program = rows.program();
        let fits = |pattern: &Pattern| {
            residual.stock[pattern.stock].quantity != Some(0)
                && pattern.makes.iter().all(|&(item, n)| n <= residual.items[item].demand)
        };
        let mut used = Vec::new();
        for (at, pattern) in self.patterns.iter().enumerate().filter(|(_, pattern)| fits(pattern)) {
            program.add(rows.column(pattern, &residual.stock[pattern.stock]));
            used.push(at);
        }
        (program, used)
    }

    /// Patterns of negative reduced cost, added to the program: how many.
    ///
    /// Duals half way to those that proved most so far lead sooner to the end (Wentges, "Weighted
    /// Dantzig-Wolfe decomposition for linear mixed-integer programming", International
    /// Transactions in Operational Research 4, 1997); where they lead nowhere, the duals as they
    /// are.
    fn price(
        &mut self,
        residual: &Inflated,
        rows: &MasterRows,
        program: &mut LinearProgram,
        duals: &[f64],
        stabilizer: &mut Stabilizer,
    ) -> usize {
        for used in [stabilizer.between(duals), duals.to_vec()] {
            let scale = rows.scale(&used);
            let values: Vec<f64> =
                rows.item_duals(&used).map(|dual| (dual * scale).floor()).collect();
            let mut most = Vec::new();
            let before = self.patterns.len();
            for (at, stock) in residual.stock.iter().enumerate() {
                let enough = (rows.threshold(at, &used, stock) * scale).ceil();
                let items = knapsack_items(stock, &residual.items, &values);
                let packed = pack(stock.size[0], items, enough, self.meter);
                most.push(packed.most);
                for makes in packed.makes {
                    let pattern = Pattern::bar(residual, at, makes);
                    let column = rows.column(&pattern, stock);
                    if column.reduced_cost(duals) < -1e-7 * rows.dearest {
                        program.add(column);
                        self.patterns.push(pattern);
                    }
                }
            }
            let proof = DualValues { values: &values, most: &most };
            stabilizer.move_to(used, proved_cost(&residual.stock, &residual.items, &proof));
            if self.patterns.len() > before {
                return self.patterns.len() - before;
            }
        }
        0
    }
}

/// The duals that proved most so far.
struct Stabilizer {
    duals: Vec<f64>,
    proved: f64,
}

impl Stabilizer {
    fn new(rows: usize) -> Self {
        Self { duals: vec![0.0; rows], proved: 0.0 }
    }

    fn between(&self, duals: &[f64]) -> Vec<f64> {
        if self.proved <= 0.0 {
            return duals.to_vec();
        }
        duals.iter().zip(&self.duals).map(|(a, b)| 0.4 * a + 0.6 * b).collect()
    }

    fn move_to(&mut self, duals: Vec<f64>, proved: f64) {
        if proved > self.proved {
            *self = Self { duals, proved };
        }
    }
}

/// What may lie on a bar of `stock`, at these values of the items.
fn knapsack_items(stock: &StockSize, items: &[ItemType], values: &[f64]) -> Vec<KnapsackItem> {
    let items = items.iter().zip(values).enumerate();
    let fitting = items.filter(|(_, (item, _))| item.size[1] <= stock.size[1]);
    fitting
        .map(|(at, (item, &value))| KnapsackItem {
            item: at,
            length: item.size[0],
            value,
            copies: item.demand,
        })
        .collect()
}
