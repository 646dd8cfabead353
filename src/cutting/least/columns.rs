//! Patterns that are worth sawing often, and what they prove, by column generation.

use super::bounds::{Priced, least_cost, round_up};
use super::budget::Purse;
use super::grown::Grown;
use super::raster::Raster;
use super::simplex::{Column, Programme};
use super::table::{Grid, Pose};
use super::{Item, Panel, Stock};

/// A way to saw one panel.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    pub stock: usize,
    pub panel: Panel,
    /// (item, how often), in order of items.
    pub makes: Vec<(usize, usize)>,
}

/// What column generation came to.
pub(super) struct Mix {
    /// Patterns with how often each is sawn, not a whole number.
    pub patterns: Vec<(Pattern, f64)>,
    pub lower: i64,
}

/// How a panel is measured for its table.
pub(super) struct Measured {
    pub grid: Grid,
    pub kind: Kind,
    /// Whether what the table finds can be sawn.
    pub real: bool,
    /// Whether no panel yields more than the table says.
    pub proof: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Quick,
    Slow,
}

/// Tables too large for the purse are of no use: at least this many must be possible.
const TABLES: u64 = 12;
/// With more kinds of pieces the programme gets too large.
pub(super) const KINDS: usize = 600;
/// About how many looks each size of panel takes.
const LOOKS: u64 = 8;
/// The coarse measure of a side.
const COARSE: i64 = 199;

/// Patterns for `grown`, priced until no better are found, the purse is empty, or `upper` is
/// proved to be least.
pub(super) fn generate(grown: &Grown, upper: i64, purse: &mut Purse) -> Mix {
    let mut mix = Mix { patterns: Vec::new(), lower: 0 };
    if grown.items.len() > KINDS {
        return mix;
    }
    let each = purse.left() / TABLES / grown.stock.len().max(1) as u64;
    let measured: Vec<Vec<Measured>> =
        grown.stock.iter().map(|stock| measure(stock, &grown.items, each)).collect();
    let mut pricing = Pricing { grown, rows: Rows::new(grown), patterns: Vec::new() };
    let mut programme = pricing.rows.programme();
    while !purse.is_empty() && mix.lower < upper {
        let prices = programme.prices();
        // Quick tables first: the slow ones are needed for what these don't find, and for proof.
        let quick = pricing.round(&measured, Kind::Quick, &prices, &mut programme, purse);
        if !quick.found {
            let slow = pricing.round(&measured, Kind::Slow, &prices, &mut programme, purse);
            let priced = Priced { worth: &slow.worth, most: &slow.most };
            if slow.most.iter().all(|most| most.is_finite()) {
                mix.lower = mix.lower.max(least_cost(&grown.stock, &grown.items, &priced));
            }
            if !slow.found {
                break;
            }
        }
        purse.spend((prices.len() * prices.len() * 4) as u64);
        programme.optimise();
        if round_up(programme.cost(), &grown.stock) <= mix.lower {
            break;
        }
    }
    mix.patterns = programme
        .taken()
        .into_iter()
        .map(|(at, amount)| (pricing.patterns[at].clone(), amount))
        .collect();
    mix
}

/// Looks for patterns worth more than they cost.
struct Pricing<'a> {
    grown: &'a Grown,
    rows: Rows,
    patterns: Vec<Pattern>,
}

/// What one round of tables came to.
struct Round {
    found: bool,
    worth: Vec<f64>,
    most: Vec<f64>,
}

impl Pricing<'_> {
    fn round(
        &mut self,
        measured: &[Vec<Measured>],
        kind: Kind,
        prices: &[f64],
        programme: &mut Programme,
        purse: &mut Purse,
    ) -> Round {
        let scale = self.rows.scale(prices);
        let worth: Vec<f64> =
            self.rows.worth(prices).map(|price| (price * scale).floor()).collect();
        let mut most = vec![f64::INFINITY; measured.len()];
        let before = self.patterns.len();
        for (at, tables) in measured.iter().enumerate() {
            let stock = &self.grown.stock[at];
            for measured in tables.iter().filter(|measured| measured.kind == kind) {
                let table = measured.grid.table(&worth, purse);
                if measured.proof {
                    most[at] = most[at].min(table.most());
                }
                let gain = table.most() / scale - self.rows.price_of(at, prices, stock);
                if measured.real && gain > 1e-6 * self.rows.dearest {
                    let (panel, makes) = table.pattern(stock.size, self.grown.kerf);
                    let pattern = Pattern { stock: at, panel, makes };
                    programme.add(self.rows.column(&pattern, stock));
                    self.patterns.push(pattern);
                }
            }
        }
        Round { found: self.patterns.len() > before, worth, most }
    }
}

/// A quick table for patterns, and a slow one that also proves: exact, or, where sizes are too
/// many, coarse. Tables of more than `each` looks are left out.
pub(super) fn measure(stock: &Stock, items: &[Item], each: u64) -> Vec<Measured> {
    let poses = poses(items, stock);
    let sizes = [0, 1].map(|axis| sizes(&poses, items, axis));
    let axes = [0, 1].map(|axis| Raster::thinned(stock.size[axis], &sizes[axis]));
    let grid = Grid::new(axes, poses.clone());
    let quick = Measured { grid, kind: Kind::Quick, real: true, proof: false };
    let exact = |axis: usize| Raster::exact(stock.size[axis], &sizes[axis]);
    let slow = if let (Some(x), Some(y)) = (exact(0), exact(1))
        && (x.len() * y.len()) as u64 * LOOKS <= each
    {
        let grid = Grid::new([x, y], poses);
        Measured { grid, kind: Kind::Slow, real: true, proof: true }
    } else {
        let coarse = poses.iter().map(|pose| Pose { size: coarse(pose.size, stock.size), ..*pose });
        let coarse: Vec<Pose> = coarse.collect();
        // Of sides of 0 any number would fit in a row, and the table does not count them so.
        let proof = coarse.iter().all(|pose| pose.size.iter().all(|side| *side > 0));
        let whole = [Raster::whole(COARSE), Raster::whole(COARSE)];
        Measured { grid: Grid::new(whole, coarse), kind: Kind::Slow, real: false, proof }
    };
    let mut tables = vec![quick, slow];
    tables.retain(|measured| measured.grid.cells() * LOOKS <= each);
    tables
}

/// Sizes in coarse steps, so that pieces that fit side by side still do: each side `x` of a panel
/// `w` becomes the largest whole number below `(COARSE + 1) x / w`. A row of such numbers adds up
/// to less than `COARSE + 1`, and two pieces longer than half the side still don't fit together.
fn coarse(piece: [i64; 2], panel: [i64; 2]) -> [i64; 2] {
    [0, 1].map(|axis| (piece[axis] * (COARSE + 1) - 1) / panel[axis])
}

fn poses(items: &[Item], stock: &Stock) -> Vec<Pose> {
    let mut poses = Vec::new();
    for (at, item) in items.iter().enumerate().filter(|(_, item)| item.demand > 0) {
        let fitting = item.poses().filter(|(size, _)| (0..2).all(|a| size[a] <= stock.size[a]));
        poses.extend(fitting.map(|(size, turned)| Pose { item: at, turned, size }));
    }
    poses
}

/// The sizes along an axis, with how many pieces have them.
fn sizes(poses: &[Pose], items: &[Item], axis: usize) -> Vec<(i64, usize)> {
    let mut sizes: Vec<(i64, usize)> =
        poses.iter().map(|pose| (pose.size[axis], items[pose.item].demand)).collect();
    sizes.sort_unstable();
    sizes.dedup_by(|later, earlier| {
        let same = later.0 == earlier.0;
        if same {
            earlier.1 += later.1;
        }
        same
    });
    sizes
}

/// The rows of the programme: one per item asked for, then one per stock of which there is an end.
pub(super) struct Rows {
    /// The row of each item, if it is asked for.
    of_item: Vec<Option<usize>>,
    items: Vec<usize>,
    of_stock: Vec<Option<usize>>,
    need: Vec<f64>,
    /// More than any pattern costs.
    pub dearest: f64,
}

impl Rows {
    pub(super) fn new(grown: &Grown) -> Self {
        let asked = |&at: &usize| grown.items[at].demand > 0;
        let items: Vec<usize> = (0..grown.items.len()).filter(asked).collect();
        let mut of_item = vec![None; grown.items.len()];
        for (row, &item) in items.iter().enumerate() {
            of_item[item] = Some(row);
        }
        let mut need: Vec<f64> = items.iter().map(|&at| grown.items[at].demand as f64).collect();
        let mut of_stock = vec![None; grown.stock.len()];
        for (at, stock) in grown.stock.iter().enumerate() {
            if let Some(quantity) = stock.quantity {
                of_stock[at] = Some(need.len());
                need.push(-(quantity as f64));
            }
        }
        let dearest = grown.stock.iter().map(|stock| stock.cost).max().unwrap_or(0) as f64 + 1.0;
        Self { of_item, items, of_stock, need, dearest }
    }

    pub(super) fn count(&self) -> usize {
        self.need.len()
    }

    pub(super) fn programme(&self) -> Programme {
        Programme::new(self.need.clone(), &vec![4.0 * self.dearest; self.need.len()])
    }

    /// So large that prices become whole numbers of seven digits.
    pub(super) fn scale(&self, prices: &[f64]) -> f64 {
        let largest = prices[..self.items.len()].iter().copied().fold(0.0, f64::max);
        if largest > 0.0 { 1e7 / largest } else { 1.0 }
    }

    /// The price of each item; nothing for what is not asked for.
    pub(super) fn worth(&self, prices: &[f64]) -> impl Iterator<Item = f64> {
        self.of_item.iter().map(|row| row.map_or(0.0, |row| prices[row].max(0.0)))
    }

    /// What a pattern must be worth to be taken.
    pub(super) fn price_of(&self, at: usize, prices: &[f64], stock: &Stock) -> f64 {
        let scarce = self.of_stock[at].map_or(0.0, |row| prices[row].max(0.0));
        stock.cost as f64 + scarce
    }

    pub(super) fn column(&self, pattern: &Pattern, stock: &Stock) -> Column {
        let made = pattern.makes.iter();
        let mut gives: Vec<(usize, f64)> =
            made.filter_map(|&(item, n)| Some((self.of_item[item]?, n as f64))).collect();
        gives.extend(self.of_stock[pattern.stock].map(|row| (row, -1.0)));
        Column { cost: stock.cost as f64, gives }
    }
}
