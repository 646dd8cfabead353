//! Laying pieces on sheets.
//!
//! The largest piece first, each where it comes to lie nearest to the sheet's start. That is done
//! in several orders of size, and the one that leaves out and uses least is kept.

use std::cmp::Ordering;

use kurbo::{Point, Size};

use super::grid::{CellGrid, GridCell, Mask, Polygon};
use super::turn::QuarterTurn;
use crate::kernel::Region;
use crate::tolerance::COORDINATE;

/// How far a flattened arc may stand off the true arc here, in mm; the spacing grows by as much.
const COARSE: f64 = 0.05;

/// Cells along the longer side of the largest sheet: 1.6 mm on 8 ft.
const CELLS: f64 = 1500.0;

/// The least side of a cell in mm.
const LEAST_CELL: f64 = 0.5;

/// A shape to lay, as often as it is wanted.
pub(super) struct Wanted<'a> {
    pub region: &'a Region,
    pub pieces: usize,
    /// At least one.
    pub turns: Vec<QuarterTurn>,
}

/// Sheets of one size.
#[derive(Debug, Clone)]
pub(super) struct Bin {
    /// The panels that each is sawn in, mm within which parts may lie; one where it is not sawn.
    pub panels: Vec<Size>,
    pub quantity: usize,
}

/// How the sheets of one stock are filled.
#[derive(Debug, Clone, Copy)]
pub(super) struct NestRules {
    /// Least distance between two parts, in mm.
    pub spacing: f64,
    pub fill_openings: bool,
}

/// A panel in use.
pub(super) struct Filled {
    /// Position among the bins.
    pub bin: usize,
    /// Which of the bin's sheets it is of, and which of the sheet's panels.
    pub sheet: usize,
    pub panel: usize,
    pub pieces: Vec<NestedPiece>,
}

/// A piece on a sheet.
pub(super) struct NestedPiece {
    /// Position among what is wanted.
    pub wanted: usize,
    pub turn: QuarterTurn,
    /// Lower left corner of its bounds.
    pub at: Point,
}

/// What laying comes to.
pub(super) struct Nest {
    pub sheets: Vec<Filled>,
    /// Pieces left out, for each of what is wanted.
    pub left: Vec<usize>,
}

/// Lays what is wanted into the bins, the first bins first.
pub(super) fn nest(wanted: &[Wanted<'_>], bins: &[Bin], rules: NestRules) -> Nest {
    let sides = bins.iter().flat_map(|bin| &bin.panels).map(|panel| panel.max_side());
    let longest = sides.fold(0.0, f64::max);
    let cell = (longest / CELLS).max(LEAST_CELL);
    let shapes: Vec<NestShape> = wanted.iter().map(|w| NestShape::new(w, rules, cell)).collect();
    let back = Mask::margin(with_flattening(rules), cell);
    let nester = Nester { shapes, bins, back, cell };
    let all = ORDERS.iter().flat_map(|key| [Rule::End, Rule::Start].map(|rule| (key, rule)));
    let tries = all.map(|(key, rule)| nester.lay_all(wanted, key, rule));
    let best = tries.reduce(|a, b| if nester.is_better(&b, &a) { b } else { a });
    best.unwrap_or_else(|| Nest { sheets: Vec::new(), left: Vec::new() })
}

/// What pieces are ordered by, the greatest first: area of their box, longer side, shorter side.
const ORDERS: [fn(Size) -> f64; 3] = [|s| s.area(), |s| s.max_side(), |s| s.min_side()];

/// How much is tried on a sheet before the next is begun, in areas of the sheet: far more than it takes, and not all that
/// there is in a large shop.
const LOOK_AHEAD: f64 = 8.0;

/// What is least where a piece is laid, along the sheet: its far end, or where it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Rule {
    End,
    Start,
}

impl Rule {
    /// Of a piece `long` along the sheet that begins at `at`: how far along, and across.
    fn place(self, at: Point, long: f64) -> (f64, f64) {
        match self {
            Self::End => (at.x + long, at.y),
            Self::Start => (at.x, at.y),
        }
    }

    /// The farthest that a piece `long` may begin to lie before `best`.
    fn farthest(self, best: (&Turned, Point), long: f64) -> f64 {
        match self {
            Self::End => (best.1.x + best.0.size.width - long).max(0.0),
            Self::Start => best.1.x,
        }
    }
}

/// A shape in each turn that is worth a try.
struct NestShape {
    size: Size,
    turned: Vec<Turned>,
}

struct Turned {
    turn: QuarterTurn,
    size: Size,
    mask: Mask,
    /// With the spacing round it.
    spaced: Mask,
}

impl NestShape {
    fn new(wanted: &Wanted<'_>, rules: NestRules, cell: f64) -> Self {
        let mut turned: Vec<Turned> = Vec::new();
        for turn in &wanted.turns {
            let turn = Turned::new(wanted.region, *turn, rules, cell);
            if !turned.iter().any(|known| known.mask == turn.mask) {
                turned.push(turn);
            }
        }
        Self { size: wanted.region.bounds().size(), turned }
    }
}

impl Turned {
    fn new(region: &Region, turn: QuarterTurn, rules: NestRules, cell: f64) -> Self {
        let map = turn.map(region.bounds(), Point::ORIGIN);
        let contours = if rules.fill_openings { usize::MAX } else { 1 };
        let polygons: Vec<Polygon> = region
            .contours()
            .take(contours)
            .map(|contour| contour.transformed(map).flatten(COARSE))
            .collect();
        let size = turn.size(region.bounds().size());
        let mask = Mask::new(&polygons, size, 0.0, cell);
        let spaced = Mask::new(&polygons, size, with_flattening(rules), cell);
        Self { turn, size, mask, spaced }
    }
}

/// All that stays the same from one try to the next.
struct Nester<'a> {
    shapes: Vec<NestShape>,
    bins: &'a [Bin],
    /// How many cells before a piece what it takes with its spacing begins.
    back: usize,
    cell: f64,
}

impl Nester<'_> {
    fn lay_all(&self, wanted: &[Wanted<'_>], key: &fn(Size) -> f64, rule: Rule) -> Nest {
        let mut order: Vec<usize> = (0..self.shapes.len()).collect();
        order.sort_by(|a, b| key(self.shapes[*b].size).total_cmp(&key(self.shapes[*a].size)));
        let mut nest = Nest { sheets: Vec::new(), left: wanted.iter().map(|w| w.pieces).collect() };
        for (bin, Bin { panels, quantity }) in self.bins.iter().enumerate() {
            for sheet in 0..*quantity {
                let before = nest.sheets.len();
                for (panel, size) in panels.iter().enumerate() {
                    let pieces = self.fill(*size, &order, rule, &mut nest.left);
                    if !pieces.is_empty() {
                        nest.sheets.push(Filled { bin, sheet, panel, pieces });
                    }
                }
                if nest.sheets.len() == before {
                    break;
                }
            }
        }
        nest
    }

    /// Fills one sheet with what is left, and takes it off.
    fn fill(
        &self,
        sheet: Size,
        order: &[usize],
        rule: Rule,
        left: &mut [usize],
    ) -> Vec<NestedPiece> {
        if left.iter().all(|count| *count == 0) {
            return Vec::new();
        }
        let mut grid = CellGrid::new(sheet, self.cell);
        let mut pieces = Vec::new();
        let mut ahead = LOOK_AHEAD * sheet.area();
        for wanted in order {
            let Some(shape) = self.shapes.get(*wanted) else { continue };
            let Some(left) = left.get_mut(*wanted).filter(|left| **left > 0) else { continue };
            if ahead < 0.0 {
                break;
            }
            ahead -= *left as f64 * shape.size.area();
            // A sheet only gets fuller: where a piece found no room, the next alike finds none.
            let mut from = vec![0; shape.turned.len()];
            while *left > 0 {
                let Some((turned, cell)) = self.best_room(&grid, shape, sheet, rule, &mut from)
                else {
                    break;
                };
                grid.take_mask(&turned.spaced, cell, self.back);
                pieces.push(NestedPiece { wanted: *wanted, turn: turned.turn, at: self.at(cell) });
                *left -= 1;
            }
        }
        pieces
    }

    /// Where, and in which turn, the shape comes to lie nearest to the sheet's start. `from` is
    /// the first slice worth a look for each turn, and brought up to date.
    fn best_room<'s>(
        &self,
        grid: &CellGrid,
        shape: &'s NestShape,
        sheet: Size,
        rule: Rule,
        from: &mut [usize],
    ) -> Option<(&'s Turned, GridCell)> {
        let mut best: Option<(&Turned, GridCell)> = None;
        for (turned, from) in shape.turned.iter().zip(from) {
            let Some(mut last) = self.last_cell(sheet, turned.size) else { continue };
            if let Some(best) = best {
                let most = rule.farthest((best.0, self.at(best.1)), turned.size.width);
                last.along = last.along.min((most / self.cell) as usize + 1);
            }
            let found = grid.room(&turned.mask, *from, last);
            *from = found.map_or((*from).max(last.along + 1), |cell| cell.along);
            let Some(cell) = found else { continue };
            let place =
                |(turned, cell): (&Turned, GridCell)| rule.place(self.at(cell), turned.size.width);
            if best.is_none_or(|best| order(place((turned, cell)), place(best)).is_lt()) {
                best = Some((turned, cell));
            }
        }
        best
    }

    /// The lower left corner of a cell.
    fn at(&self, cell: GridCell) -> Point {
        Point::new(cell.along as f64 * self.cell, cell.across as f64 * self.cell)
    }

    /// The last cell on which something of `size` can stand; `None` if the sheet is too small.
    fn last_cell(&self, sheet: Size, size: Size) -> Option<GridCell> {
        let cells = |room: f64| (room + 1e-6 >= 0.0).then(|| ((room + 1e-6) / self.cell) as usize);
        Some(GridCell {
            along: cells(sheet.width - size.width)?,
            across: cells(sheet.height - size.height)?,
        })
    }

    /// Less left out, then fewer sheets of the last kinds, then fewer panels, then less of their
    /// length.
    fn is_better(&self, one: &Nest, other: &Nest) -> bool {
        let worth = |nest: &Nest| {
            let left = nest.left.iter().zip(&self.shapes);
            let left: f64 = left.map(|(count, shape)| *count as f64 * shape.size.area()).sum();
            let last = nest.sheets.last().map_or((0, 0), |filled| (filled.bin, filled.sheet));
            let used: f64 = nest.sheets.iter().map(|filled| self.used(filled)).sum();
            (left, last, nest.sheets.len(), used)
        };
        let (a, b) = (worth(one), worth(other));
        let order = a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2));
        order.then(a.3.total_cmp(&b.3)) == Ordering::Less
    }

    /// How much of the sheet's length is in use, in mm.
    fn used(&self, sheet: &Filled) -> f64 {
        let end = |piece: &NestedPiece| {
            let shape = self.shapes.get(piece.wanted)?;
            Some(piece.at.x + piece.turn.size(shape.size).width)
        };
        sheet.pieces.iter().filter_map(end).fold(0.0, f64::max)
    }
}

/// The spacing with what flattening costs.
fn with_flattening(rules: NestRules) -> f64 {
    rules.spacing + 2.0 * COARSE + COORDINATE
}

fn order(a: (f64, f64), b: (f64, f64)) -> Ordering {
    a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
}
