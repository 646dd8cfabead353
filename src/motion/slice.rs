//! All places that a body may take at one tilt, as cells between what is in its way.
//!
//! A place at a tilt is told by how far the body's nearest point is from the wall beyond where it hangs (`x`) and how
//! far its highest point is above where it hangs (`y`), so that turning at one place lets it stay on the wall and
//! its top stay level. Where a convex piece of the body would meet a fixed one is again a convex polygon: the sum of
//! the fixed piece and the body's, turned and mirrored (Lozano-Perez, Spatial planning: a configuration space
//! approach, 1983), and for a clearance a polygon around a disk of that radius.

use kurbo::{Point, Rect, Vec2};

use super::scene::{PiecePair, Scene};
use crate::kernel::convex::sum;
use crate::tolerance::COORDINATE;

/// Sides of the polygon around a disk: it stands off the disk by 3.5 % of the radius at its corners.
const AROUND: usize = 12;

/// Places nearer than this, in mm, are one.
const SAME: f64 = 1e-9;

/// Where the body is, to be moved there from where it hangs: turned about the point (0, 0) by `tilt` degrees, which
/// lifts what stands out from the wall and takes its top back toward the wall, then moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HeldPose {
    /// In mm out from the wall.
    pub out: f64,
    /// In mm up.
    pub up: f64,
    /// In degrees.
    pub tilt: f64,
}

fn turned(at: Point, sin: f64, cos: f64) -> Point {
    Point::new(at.x * cos - at.y * sin, at.x * sin + at.y * cos)
}

/// A free stretch of places: between two lines from `x[0]` to `x[1]`, `low` and `high` at either end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FreeCell {
    pub x: [f64; 2],
    pub low: [f64; 2],
    pub high: [f64; 2],
    /// Its column among all.
    pub column: usize,
}

impl FreeCell {
    /// What is free at `x`, which lies within it.
    pub(super) fn at(&self, x: f64) -> [f64; 2] {
        [along(self.x, self.low, x), along(self.x, self.high, x)]
    }
}

/// On the line through two ends.
pub(super) fn along(x: [f64; 2], y: [f64; 2], at: f64) -> f64 {
    if y[0] == y[1] {
        return y[0];
    }
    let share = ((at - x[0]) / (x[1] - x[0])).clamp(0.0, 1.0);
    y[0] + (y[1] - y[0]) * share
}

/// What is free at one tilt.
#[derive(Debug)]
pub(super) struct TiltSlice {
    pub tilt: f64,
    /// The body's pieces turned, moved so that place (0, 0) has them as they are.
    pub pieces: Vec<Vec<Point>>,
    /// Around the places at which each pair meets.
    pub meets: Vec<Rect>,
    /// From left to right, in a column from below to above.
    pub cells: Vec<FreeCell>,
    /// Where the cells of each column begin, and the end of all.
    pub columns: Vec<usize>,
    shift: Vec2,
}

impl TiltSlice {
    pub(super) fn new(scene: &Scene, tilt: f64) -> Self {
        let (sin, cos) = tilt.to_radians().sin_cos();
        let turn = |corners: &Vec<Point>| corners.iter().map(|at| turned(*at, sin, cos)).collect();
        let mut pieces: Vec<Vec<Point>> =
            scene.moving.iter().map(|piece| turn(&piece.corners)).collect();
        let all = || pieces.iter().flatten();
        let nearest = all().map(|at| at.x).fold(f64::INFINITY, f64::min);
        let top = all().map(|at| at.y).fold(f64::NEG_INFINITY, f64::max);
        let shift = Vec2::new(scene.nearest - nearest, scene.top - top);
        pieces.iter_mut().flatten().for_each(|at| *at += shift);
        let mut slice =
            Self { tilt, pieces, meets: Vec::new(), cells: Vec::new(), columns: Vec::new(), shift };
        slice.fill(scene);
        slice
    }

    /// The pose of a place.
    pub(super) fn pose(&self, place: Point) -> HeldPose {
        HeldPose { out: place.x + self.shift.x, up: place.y + self.shift.y, tilt: self.tilt }
    }

    /// Finds the free cells from the wall to where the body is in front of everything.
    fn fill(&mut self, scene: &Scene) {
        let ends = [self.wall(scene), scene.free];
        let mut blocks = Vec::new();
        let mirrored: Vec<Vec<Point>> = self.pieces.iter().map(|piece| mirrored(piece)).collect();
        for pair in &scene.pairs {
            let met = met(scene, pair, &mirrored[pair.moving]);
            let first = Rect::from_points(met[0], met[0]);
            let around = met.iter().fold(first, |around, at| around.union_pt(*at));
            self.meets.push(around);
            if around.x1 > ends[0] && around.x0 < ends[1] {
                blocks.push(Block::of(&met));
            }
        }
        for x in columns(&blocks, ends) {
            self.column(x, &blocks);
        }
        self.columns.push(self.cells.len());
    }

    /// How near the wall it may come.
    fn wall(&self, scene: &Scene) -> f64 {
        let kept = self.pieces.iter().zip(&scene.moving).map(|(piece, moving)| {
            moving.from_wall - piece.iter().map(|at| at.x).fold(f64::INFINITY, f64::min)
        });
        kept.fold(f64::NEG_INFINITY, f64::max) - COORDINATE
    }

    /// The free cells of a column, between the blocks that are in it.
    fn column(&mut self, x: [f64; 2], blocks: &[Block]) {
        let middle = f64::midpoint(x[0], x[1]);
        let mut met: Vec<Bar> = blocks.iter().filter_map(|block| block.bar(x, middle)).collect();
        drop_hidden(&mut met);
        met.sort_by(|a, b| a.low[0].total_cmp(&b.low[0]));
        let mut crossings = crossings(x, &met);
        crossings.push(x[1]);
        let mut from = x[0];
        for to in crossings {
            if to - from > SAME {
                self.between_bars([from, to], x, &met);
                from = to;
            }
        }
    }

    /// The free cells of a column in which no two bars cross.
    fn between_bars(&mut self, x: [f64; 2], whole: [f64; 2], bars: &[Bar]) {
        let on = |y: [f64; 2]| x.map(|at| along(whole, y, at));
        let mut here: Vec<Bar> =
            bars.iter().map(|bar| Bar { low: on(bar.low), high: on(bar.high) }).collect();
        here.sort_by(|a, b| (a.low[0] + a.low[1]).total_cmp(&(b.low[0] + b.low[1])));
        let column = self.columns.len();
        self.columns.push(self.cells.len());
        let mut low = [f64::NEG_INFINITY; 2];
        let open = Bar { low: [f64::INFINITY; 2], high: [f64::INFINITY; 2] };
        for bar in here.iter().chain([&open]) {
            if bar.low[0] + bar.low[1] > low[0] + low[1] {
                self.cells.push(FreeCell { x, low, high: bar.low, column });
            }
            if bar.high[0] + bar.high[1] > low[0] + low[1] {
                low = bar.high;
            }
        }
    }
}

fn mirrored(piece: &[Point]) -> Vec<Point> {
    piece.iter().map(|at| Point::new(-at.x, -at.y)).collect()
}

/// Where a pair meets; the moving piece is mirrored.
fn met(scene: &Scene, pair: &PiecePair, mirrored: &[Point]) -> Vec<Point> {
    let met = sum(&scene.fixed[pair.fixed], mirrored);
    if pair.apart > 0.0 { sum(&met, &around_disk(pair.apart)) } else { met }
}

/// A polygon around a disk, its sides square to both axes and the ways between.
fn around_disk(radius: f64) -> Vec<Point> {
    let half = std::f64::consts::PI / AROUND as f64;
    let corner = |at: usize| {
        let way = Vec2::from_angle(half * (2 * at + 1) as f64);
        (way * (radius / half.cos())).to_point()
    };
    (0..AROUND).map(corner).collect()
}

/// The ways square to the sides of [`around_disk`].
pub(super) fn disk_ways() -> impl Iterator<Item = Vec2> {
    let step = std::f64::consts::TAU / AROUND as f64;
    (0..AROUND).map(move |at| Vec2::from_angle(step * at as f64))
}

/// A convex polygon by its lower and its upper corners, each from left to right.
struct Block {
    lower: Vec<Point>,
    upper: Vec<Point>,
}

impl Block {
    fn of(ring: &[Point]) -> Self {
        let count = ring.len();
        let pick = |better: fn(Point, Point) -> bool| {
            (1..count).fold(0, |best, at| if better(ring[at], ring[best]) { at } else { best })
        };
        let left_low = pick(|a, b| a.x < b.x || a.x == b.x && a.y < b.y);
        let left_high = pick(|a, b| a.x < b.x || a.x == b.x && a.y > b.y);
        let right_low = pick(|a, b| a.x > b.x || a.x == b.x && a.y < b.y);
        let right_high = pick(|a, b| a.x > b.x || a.x == b.x && a.y > b.y);
        let chain = |from: usize, to: usize| -> Vec<Point> {
            let steps = (to + count - from) % count;
            (0..=steps).map(|step| ring[(from + step) % count]).collect()
        };
        let mut upper = chain(right_high, left_high);
        upper.reverse();
        Self { lower: chain(left_low, right_low), upper }
    }

    fn corners(&self) -> impl Iterator<Item = &Point> {
        self.lower.iter().chain(&self.upper)
    }

    /// What it takes of a column that has none of its corners inside.
    fn bar(&self, x: [f64; 2], middle: f64) -> Option<Bar> {
        Some(Bar {
            low: on_chain(&self.lower, x, middle)?,
            high: on_chain(&self.upper, x, middle)?,
        })
    }
}

fn on_chain(chain: &[Point], x: [f64; 2], middle: f64) -> Option<[f64; 2]> {
    let after = chain.partition_point(|at| at.x <= middle);
    let (from, to) = (chain.get(after.checked_sub(1)?)?, chain.get(after)?);
    Some(x.map(|at| along([from.x, to.x], [from.y, to.y], at)))
}

/// What a block takes of a column, at its left and its right end.
#[derive(Debug, Clone, Copy)]
struct Bar {
    low: [f64; 2],
    high: [f64; 2],
}

impl Bar {
    fn hides(&self, other: &Self) -> bool {
        (0..2).all(|end| self.low[end] <= other.low[end] && other.high[end] <= self.high[end])
    }
}

fn drop_hidden(bars: &mut Vec<Bar>) {
    let mut at = 0;
    while at < bars.len() {
        let bar = bars[at];
        let hidden = bars
            .iter()
            .enumerate()
            .any(|(other, by)| other != at && by.hides(&bar) && (other < at || !bar.hides(by)));
        if hidden {
            bars.swap_remove(at);
        } else {
            at += 1;
        }
    }
}

/// Columns in which no block has a corner.
fn columns(blocks: &[Block], ends: [f64; 2]) -> Vec<[f64; 2]> {
    let corners = blocks.iter().flat_map(Block::corners).map(|at| at.x);
    let mut stops: Vec<f64> = corners.filter(|x| ends[0] < *x && *x < ends[1]).collect();
    stops.extend(ends);
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|b, a| *b - *a <= SAME);
    stops.windows(2).map(|pair| [pair[0], pair[1]]).collect()
}

/// Where lines of different bars cross within a column, from left to right.
fn crossings(x: [f64; 2], bars: &[Bar]) -> Vec<f64> {
    let mut found = Vec::new();
    for (at, bar) in bars.iter().enumerate() {
        for other in &bars[at + 1..] {
            for [a, b] in [
                [bar.low, other.low],
                [bar.low, other.high],
                [bar.high, other.low],
                [bar.high, other.high],
            ] {
                found.extend(crossing(x, a, b));
            }
        }
    }
    found.sort_by(f64::total_cmp);
    found
}

/// Where two lines cross between the ends of a column.
pub(super) fn crossing(x: [f64; 2], a: [f64; 2], b: [f64; 2]) -> Option<f64> {
    let [from, to] = [a[0] - b[0], a[1] - b[1]];
    if from * to >= 0.0 {
        return None;
    }
    let at = x[0] + (x[1] - x[0]) * from / (from - to);
    at.is_finite().then_some(at)
}
