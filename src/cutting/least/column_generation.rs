//! Patterns that are worth sawing often, and what they prove, by column generation.

use super::dual_bound::{DualValues, least_cost, round_up};
use super::inflated::{Inflated, within};
use super::master::{KINDS, MasterRows};
use super::meter::Meter;
use super::pattern::Pattern;
use super::raster::Raster;
use super::simplex::LinearProgram;
use super::value_table::{CutGrid, Pose};
use super::{ItemType, StockSize};

/// The linear relaxation as far as column generation came.
#[derive(Default)]
pub(super) struct Relaxation {
    /// Patterns with how often each is sawn, not a whole number.
    pub patterns: Vec<(Pattern, f64)>,
    pub lower: i64,
}

/// A table that patterns of one stock are priced by.
struct PricingTable {
    grid: CutGrid,
    speed: TableSpeed,
    /// Whether what the table finds can be sawn.
    real: bool,
    /// Whether no panel yields more than the table says.
    proof: bool,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum TableSpeed {
    Quick,
    Slow,
}

/// Tables too large for the meter are of no use: at least this many must be possible.
const TABLES: u64 = 12;
/// About how many entries are looked at for each size of panel.
const LOOKS: u64 = 8;
/// The coarse measure of a side.
const COARSE: i64 = 199;

/// Patterns for `inflated`, priced until no better are found, the meter is empty, or `upper` is
/// proved to be least.
pub(super) fn relax(inflated: &Inflated, upper: i64, meter: &mut Meter) -> Relaxation {
    let mut relaxation = Relaxation::default();
    if inflated.items.len() > KINDS {
        return relaxation;
    }
    let mut pricing = Pricing::new(inflated, meter.left());
    let mut program = pricing.rows.program();
    while !meter.is_empty() && relaxation.lower < upper {
        let duals = program.duals();
        // Quick tables first: the slow ones are needed for what these don't find, and for proof.
        if !pricing.round(TableSpeed::Quick, &duals, &mut program, meter).found {
            let slow = pricing.round(TableSpeed::Slow, &duals, &mut program, meter);
            relaxation.lower = relaxation.lower.max(slow.bound(inflated));
            if !slow.found {
                break;
            }
        }
        meter.spend((duals.len() * duals.len() * 4) as u64);
        program.optimize();
        if round_up(program.cost(), &inflated.stock) <= relaxation.lower {
            break;
        }
    }
    let patterns = |(at, amount): (usize, f64)| (pricing.patterns[at].clone(), amount);
    relaxation.patterns = program.solution().into_iter().map(patterns).collect();
    relaxation
}

/// Looks for patterns worth more than they cost.
struct Pricing<'a> {
    inflated: &'a Inflated,
    rows: MasterRows,
    /// The tables of each stock.
    tables: Vec<Vec<PricingTable>>,
    patterns: Vec<Pattern>,
}

/// What one round of tables came to.
struct PricingRound {
    found: bool,
    /// Of the items, at a scale of their own.
    values: Vec<f64>,
    /// The most that a panel of each stock yields at these values, as far as that is proved.
    most: Vec<f64>,
}

impl PricingRound {
    /// What no plan costs less than.
    fn bound(&self, inflated: &Inflated) -> i64 {
        if !self.most.iter().all(|most| most.is_finite()) {
            return 0;
        }
        let duals = DualValues { values: &self.values, most: &self.most };
        least_cost(&inflated.stock, &inflated.items, &duals)
    }
}

impl<'a> Pricing<'a> {
    /// Tables that `steps` are enough for.
    fn new(inflated: &'a Inflated, steps: u64) -> Self {
        let each = steps / TABLES / inflated.stock.len().max(1) as u64;
        let stock = inflated.stock.iter();
        let tables = stock.map(|stock| tables(stock, &inflated.items, each)).collect();
        Self { inflated, rows: MasterRows::new(inflated), tables, patterns: Vec::new() }
    }

    fn round(
        &mut self,
        speed: TableSpeed,
        duals: &[f64],
        program: &mut LinearProgram,
        meter: &mut Meter,
    ) -> PricingRound {
        let scale = self.rows.scale(duals);
        let values = self.rows.item_duals(duals);
        let values: Vec<f64> = values.map(|dual| (dual * scale).floor()).collect();
        let mut most = vec![f64::INFINITY; self.tables.len()];
        let before = self.patterns.len();
        for (at, tables) in self.tables.iter().enumerate() {
            let stock = &self.inflated.stock[at];
            for priced in tables.iter().filter(|table| table.speed == speed) {
                let table = priced.grid.table(&values, meter);
                if priced.proof {
                    most[at] = most[at].min(table.most());
                }
                let gain = table.most() / scale - self.rows.threshold(at, duals, stock);
                if priced.real && gain > 1e-6 * self.rows.dearest {
                    let (panel, makes) = table.pattern(stock.size, self.inflated.kerf);
                    let pattern = Pattern { stock: at, panel, makes };
                    program.add(self.rows.column(&pattern, stock));
                    self.patterns.push(pattern);
                }
            }
        }
        PricingRound { found: self.patterns.len() > before, values, most }
    }
}

/// A quick table for patterns, and a slow one that also proves: exact, or, where sizes are too
/// many, coarse. Tables of more than `each` looks are left out.
fn tables(stock: &StockSize, items: &[ItemType], each: u64) -> Vec<PricingTable> {
    let poses = poses(items, stock);
    let sizes = [0, 1].map(|axis| sizes(&poses, items, axis));
    let axes = [0, 1].map(|axis| Raster::thinned(stock.size[axis], &sizes[axis]));
    let grid = CutGrid::new(axes, poses.clone());
    let quick = PricingTable { grid, speed: TableSpeed::Quick, real: true, proof: false };
    let exact = |axis: usize| Raster::exact(stock.size[axis], &sizes[axis]);
    let slow = if let (Some(x), Some(y)) = (exact(0), exact(1))
        && (x.len() * y.len()) as u64 * LOOKS <= each
    {
        let grid = CutGrid::new([x, y], poses);
        PricingTable { grid, speed: TableSpeed::Slow, real: true, proof: true }
    } else {
        let coarse = poses.iter().map(|pose| Pose { size: coarse(pose.size, stock.size), ..*pose });
        let coarse: Vec<Pose> = coarse.collect();
        // Of sides of 0 any number would fit in a row, and the table does not count them so.
        let proof = coarse.iter().all(|pose| pose.size.iter().all(|side| *side > 0));
        let whole = [Raster::whole(COARSE), Raster::whole(COARSE)];
        PricingTable {
            grid: CutGrid::new(whole, coarse),
            speed: TableSpeed::Slow,
            real: false,
            proof,
        }
    };
    let mut tables = vec![quick, slow];
    tables.retain(|table| table.grid.cells() * LOOKS <= each);
    tables
}

/// Sizes in coarse steps, so that pieces that fit side by side still do: each side `x` of a panel
/// `w` becomes the largest whole number below `(COARSE + 1) x / w`. A row of such numbers adds up
/// to less than `COARSE + 1`, and two pieces longer than half the side still don't fit together.
fn coarse(piece: [i64; 2], panel: [i64; 2]) -> [i64; 2] {
    [0, 1].map(|axis| (piece[axis] * (COARSE + 1) - 1) / panel[axis])
}

fn poses(items: &[ItemType], stock: &StockSize) -> Vec<Pose> {
    let mut poses = Vec::new();
    for (at, item) in items.iter().enumerate().filter(|(_, item)| item.demand > 0) {
        let fitting = item.poses().filter(|(size, _)| within(*size, stock.size));
        poses.extend(fitting.map(|(size, turned)| Pose { item: at, turned, size }));
    }
    poses
}

/// The sizes along an axis, with how many pieces have them.
fn sizes(poses: &[Pose], items: &[ItemType], axis: usize) -> Vec<(i64, usize)> {
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
