//! Patterns that are worth sawing often, and what they prove, by column generation.

use super::bounds::{Priced, least_cost};
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
struct Measured {
    grid: Grid,
    /// Whether what the table finds can be sawn.
    real: bool,
    /// Whether no panel yields more than the table says.
    proof: bool,
}

/// Tables too large for the purse are of no use: at least this many must be possible.
const TABLES: u64 = 12;
/// The coarse measure of a side.
const COARSE: i64 = 199;

/// Patterns for `grown`, priced until no better are found, the purse is empty, or `upper` is
/// proved to be least.
pub(super) fn generate(grown: &Grown, upper: i64, purse: &mut Purse) -> Mix {
    let mut mix = Mix { patterns: Vec::new(), lower: 0 };
    let each = purse.left() / TABLES / grown.stock.len().max(1) as u64;
    let measured: Vec<Vec<Measured>> =
        grown.stock.iter().map(|stock| measure(stock, &grown.items, each)).collect();
    let rows = Rows::new(grown);
    let mut programme = rows.programme();
    let mut patterns: Vec<Pattern> = Vec::new();
    while !purse.is_empty() && mix.lower < upper {
        let before = patterns.len();
        let prices = programme.prices();
        let scale = rows.scale(&prices);
        let worth: Vec<f64> = rows.worth(&prices).map(|price| (price * scale).floor()).collect();
        let mut most = vec![f64::INFINITY; grown.stock.len()];
        for (stock, tables) in measured.iter().enumerate() {
            for measured in tables {
                let table = measured.grid.table(&worth, purse);
                if measured.proof {
                    most[stock] = most[stock].min(table.most());
                }
                let gain = table.most() / scale - rows.price_of(stock, &prices, grown);
                if measured.real && gain > 1e-6 * rows.dearest {
                    let (panel, makes) = table.pattern(grown.stock[stock].size, grown.kerf);
                    let pattern = Pattern { stock, panel, makes };
                    programme.add(rows.column(&pattern, grown));
                    patterns.push(pattern);
                }
            }
        }
        if most.iter().all(|most| most.is_finite()) {
            let priced = Priced { worth: &worth, most: &most };
            mix.lower = mix.lower.max(least_cost(&grown.stock, &grown.items, &priced));
        }
        if patterns.len() == before {
            break;
        }
        purse.spend((rows.items.len() * rows.items.len() * 4) as u64);
        programme.optimise();
        if least_step(programme.cost(), &grown.stock) <= mix.lower && programme.cost() < rows.dearest
        {
            break;
        }
    }
    mix.patterns =
        programme.taken().into_iter().map(|(at, amount)| (patterns[at].clone(), amount)).collect();
    mix
}

/// What a bound of `cost` would round up to; the programme's cost only falls.
fn least_step(cost: f64, _stock: &[Stock]) -> i64 {
    (cost - 1e-6).ceil() as i64
}

/// Tables for a panel that take no more than `each` looks: an exact one, or, where sizes are too
/// many, a coarse one for proof and a thinned one for patterns.
fn measure(stock: &Stock, items: &[Item], each: u64) -> Vec<Measured> {
    let poses = poses(items, stock);
    let sizes = [0, 1].map(|axis| sizes(&poses, items, axis));
    let exact = |axis: usize| Raster::exact(stock.size[axis], &sizes[axis]);
    if let (Some(x), Some(y)) = (exact(0), exact(1)) {
        let grid = Grid::new([x, y], poses.clone());
        if grid.work() <= each {
            return vec![Measured { grid, real: true, proof: true }];
        }
    }
    let thin = [0, 1].map(|axis| Raster::thinned(stock.size[axis], &sizes[axis]));
    let thin = Measured { grid: Grid::new(thin, poses.clone()), real: true, proof: false };
    let coarse = poses.iter().map(|pose| Pose { size: coarse(pose.size, stock.size), ..*pose });
    let whole = [Raster::whole(COARSE), Raster::whole(COARSE)];
    let coarse =
        Measured { grid: Grid::new(whole, coarse.collect()), real: false, proof: true };
    [thin, coarse].into_iter().filter(|measured| measured.grid.work() <= each).collect()
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
struct Rows {
    /// The row of each item, if it is asked for.
    of_item: Vec<Option<usize>>,
    items: Vec<usize>,
    of_stock: Vec<Option<usize>>,
    need: Vec<f64>,
    /// More than any pattern costs.
    dearest: f64,
}

impl Rows {
    fn new(grown: &Grown) -> Self {
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

    fn programme(&self) -> Programme {
        Programme::new(self.need.clone(), &vec![4.0 * self.dearest; self.need.len()])
    }

    /// So large that prices become whole numbers of seven digits.
    fn scale(&self, prices: &[f64]) -> f64 {
        let largest = prices[..self.items.len()].iter().copied().fold(0.0, f64::max);
        if largest > 0.0 { 1e7 / largest } else { 1.0 }
    }

    /// The price of each item; nothing for what is not asked for.
    fn worth(&self, prices: &[f64]) -> impl Iterator<Item = f64> {
        self.of_item.iter().map(|row| row.map_or(0.0, |row| prices[row].max(0.0)))
    }

    /// What a pattern must be worth to be taken.
    fn price_of(&self, stock: usize, prices: &[f64], grown: &Grown) -> f64 {
        let scarce = self.of_stock[stock].map_or(0.0, |row| prices[row].max(0.0));
        grown.stock[stock].cost as f64 + scarce
    }

    fn column(&self, pattern: &Pattern, grown: &Grown) -> Column {
        let made = pattern.makes.iter();
        let mut gives: Vec<(usize, f64)> =
            made.filter_map(|&(item, n)| Some((self.of_item[item]?, n as f64))).collect();
        gives.extend(self.of_stock[pattern.stock].map(|row| (row, -1.0)));
        Column { cost: grown.stock[pattern.stock].cost as f64, gives }
    }
}
