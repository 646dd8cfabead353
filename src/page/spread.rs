//! On how few pages a pattern lies: turned and moved under a grid of pages, those left out that would be blank.

use std::collections::BTreeSet;

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::frame::Frame;
use crate::kernel::convex::hull;

/// What is printed reaches no nearer to the end of a page's room than this, in mm: half the widest line, and a hair.
const BORDER: f64 = 0.6;

/// From one turn that is tried to the next, in degrees.
const TURN: usize = 1;

/// How many places within a page's reach the grid is tried at, each way, where pages may be blank.
const SHIFTS: usize = 12;

/// Of how many places one is looked at first: most grids are ruled out by those.
const FIRST: usize = 8;

/// Fewer pages than these need no trying: on one or two all is seen that a box round it shows, and three in a row are no
/// better than three round a corner.
const TRIED: usize = 4;

/// More pages than this, blank ones and those round them counted, are not tried with any left out.
const MOST_TRIED: u32 = u128::BITS;

/// How a pattern lies on pages.
///
/// Coordinates are the pattern's mm, turned about its origin by `turn`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spread {
    /// In degrees, counter-clockwise.
    pub turn: f64,
    /// Whether the pages lie on their long side.
    pub level: bool,
    /// One page at least, by rows from the top; each touches another along a side where there are more.
    pub panes: Vec<Pane>,
}

/// What one of the pages shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pane {
    /// From the left.
    pub column: usize,
    /// From the top.
    pub row: usize,
    /// As large as a page's room; neighbors have the overlap in common.
    pub area: Rect,
}

impl Spread {
    /// The panes of the page to the right of `pane` and of the one below it.
    pub(super) fn next_to(&self, pane: &Pane) -> [Option<&Pane>; 2] {
        let at = |column, row| self.panes.iter().find(|p| (p.column, p.row) == (column, row));
        [at(pane.column + 1, pane.row), at(pane.column, pane.row + 1)]
    }
}

/// The fewest pages that show all of `ink`: places on a pattern's lines, no two neighbors on one line further apart than
/// the least overlap. Turned as little as serves. `None` for no ink, or for more than `most` pages.
pub(super) fn spread(
    ink: &[Point],
    frames: &[Frame; 2],
    overlap: f64,
    most: usize,
) -> Option<Spread> {
    if ink.is_empty() || !ink.iter().all(|at| at.is_finite()) {
        return None;
    }
    let hull = hull(ink);
    let boxes = turns().flat_map(|turn| frames.iter().map(move |frame| (turn, frame)));
    let boxes = boxes.map(|(turn, frame)| Lattice::round(&hull, turn, frame, overlap));
    // The first of the fewest.
    let plain = boxes.min_by_key(Lattice::pages)?;
    if plain.pages() > most {
        return None;
    }
    let (lattice, kept) =
        sparse(ink, frames, overlap, plain.pages()).unwrap_or((plain, plain.all()));
    Some(lattice.spread(kept))
}

/// Turns in degrees, the plainest first.
fn turns() -> impl Iterator<Item = f64> {
    let askew = (TURN..180).step_by(TURN).filter(|turn| *turn != 90);
    [0, 90].into_iter().chain(askew).map(|turn| turn as f64)
}

/// The grid that leaves most pages blank, and its other pages: fewer than `most`; `None` where none has fewer.
fn sparse(
    ink: &[Point],
    frames: &[Frame; 2],
    overlap: f64,
    most: usize,
) -> Option<(Lattice, BTreeSet<(i32, i32)>)> {
    let (mut fewest, mut best) = (most, None);
    for turn in turns() {
        let map = turning(turn);
        let turned: Vec<Point> = ink.iter().map(|at| map * *at).collect();
        for frame in frames {
            if fewest < TRIED {
                return best;
            }
            for lattice in Lattice::round(&turned, 0.0, frame, overlap).shifts(&turned) {
                let lattice = Lattice { turn, ..lattice };
                if lattice.at_least(&turned) >= fewest {
                    continue;
                }
                if let Some(kept) = lattice.kept(&turned).filter(|kept| kept.len() < fewest) {
                    fewest = kept.len();
                    best = Some((lattice, kept));
                }
            }
        }
    }
    best
}

/// Turning about the origin by some degrees, right angles without a rest.
pub(super) fn turning(degrees: f64) -> Affine {
    match degrees.rem_euclid(360.0) {
        0.0 => Affine::IDENTITY,
        90.0 => Affine::new([0.0, 1.0, -1.0, 0.0, 0.0, 0.0]),
        other => Affine::rotate(other.to_radians()),
    }
}

/// Pages laid side by side, neighbors overlapping, on a pattern that is turned.
#[derive(Debug, Clone, Copy)]
struct Lattice {
    turn: f64,
    level: bool,
    /// The lower left corner of the page at column 0 of the lowest row.
    origin: Point,
    /// A page's room less its border.
    room: Size,
    overlap: f64,
    columns: i32,
    rows: i32,
}

impl Lattice {
    /// The fewest pages round all of `points` turned, these in the middle of them.
    fn round(points: &[Point], turn: f64, frame: &Frame, overlap: f64) -> Self {
        let map = turning(turn);
        let bounds = bounds(points.iter().map(|at| map * *at));
        let room = frame.room.size() - Size::new(2.0 * BORDER, 2.0 * BORDER);
        let overlap = overlap - 2.0 * BORDER;
        let columns = count(bounds.width(), room.width, overlap);
        let rows = count(bounds.height(), room.height, overlap);
        let covered = |count: i32, room: f64| f64::from(count) * (room - overlap) + overlap;
        let slack = Vec2::new(
            covered(columns, room.width) - bounds.width(),
            covered(rows, room.height) - bounds.height(),
        );
        let origin = bounds.origin() - slack / 2.0;
        let level = frame.paper.width > frame.paper.height;
        Self { turn, level, origin, room, overlap, columns, rows }
    }

    fn pages(&self) -> usize {
        self.columns as usize * self.rows as usize
    }

    fn all(&self) -> BTreeSet<(i32, i32)> {
        (0..self.columns).flat_map(|c| (0..self.rows).map(move |r| (c, r))).collect()
    }

    fn step(&self) -> Vec2 {
        Vec2::new(self.room.width - self.overlap, self.room.height - self.overlap)
    }

    /// The same, moved under the pattern by shares of a page; none where there are too many pages to try.
    fn shifts(self, points: &[Point]) -> impl Iterator<Item = Self> {
        let corner = bounds(points.iter().copied()).origin();
        let share = |i: usize| i as f64 / SHIFTS as f64;
        let few = ((self.columns + 2) * (self.rows + 2)) as u32 <= MOST_TRIED;
        let tried = if few { SHIFTS } else { 0 };
        (0..tried).flat_map(move |i| {
            (0..tried).map(move |j| {
                let shift = Vec2::new(share(i) * self.step().x, share(j) * self.step().y);
                Self { origin: corner - shift, ..self }
            })
        })
    }

    /// How many pages are needed for some of `points` that no other page shows.
    fn at_least(&self, points: &[Point]) -> usize {
        let wide = self.columns + 2;
        let mut needed = 0_u128;
        for at in points.iter().step_by(FIRST) {
            if let ((column, None), (row, None)) = self.seen_on(*at) {
                needed |= 1_u128.checked_shl((row * wide + column) as u32).unwrap_or_default();
            }
        }
        needed.count_ones() as usize
    }

    /// The pages that some of `points` are seen on alone, and of those that more than one could show as few as are
    /// needed; `None` where they do not lie side by side.
    fn kept(&self, points: &[Point]) -> Option<BTreeSet<(i32, i32)>> {
        let mut kept = BTreeSet::new();
        let mut shared = Vec::new();
        for at in points {
            let (columns, rows) = self.seen_on(*at);
            match (columns, rows) {
                ((c, None), (r, None)) => drop(kept.insert((c, r))),
                places => shared.push(places),
            }
        }
        shared.dedup();
        for (columns, rows) in shared {
            let of = |(one, other): (i32, Option<i32>)| std::iter::once(one).chain(other);
            let mut places = of(columns).flat_map(|c| of(rows).map(move |r| (c, r)));
            if !places.clone().any(|place| kept.contains(&place)) {
                kept.extend(places.next());
            }
        }
        are_joined(&kept).then_some(kept)
    }

    /// The column and the row that show a point; two each where pages overlap.
    fn seen_on(&self, at: Point) -> ((i32, Option<i32>), (i32, Option<i32>)) {
        let one = |along: f64, step: f64| {
            let place = (along / step).floor();
            let before = along - place * step < self.overlap;
            (place as i32, before.then_some(place as i32 - 1))
        };
        let (from, step) = (at - self.origin, self.step());
        (one(from.x, step.x), one(from.y, step.y))
    }

    /// The pages that are `kept`, named from the left and from the top.
    fn spread(&self, kept: BTreeSet<(i32, i32)>) -> Spread {
        let left = kept.iter().map(|(c, _)| *c).min().unwrap_or_default();
        let top = kept.iter().map(|(_, r)| *r).max().unwrap_or_default();
        let pane = |(c, r): (i32, i32)| {
            let corner =
                self.origin + Vec2::new(f64::from(c) * self.step().x, f64::from(r) * self.step().y);
            Pane {
                column: (c - left) as usize,
                row: (top - r) as usize,
                area: Rect::from_origin_size(corner, self.room).inflate(BORDER, BORDER),
            }
        };
        let mut panes: Vec<Pane> = kept.into_iter().map(pane).collect();
        panes.sort_by_key(|pane| (pane.row, pane.column));
        Spread { turn: self.turn, level: self.level, panes }
    }
}

/// Whether one comes from each to each by sides.
fn are_joined(pages: &BTreeSet<(i32, i32)>) -> bool {
    let Some(first) = pages.first() else { return false };
    let (mut seen, mut next) = (BTreeSet::from([*first]), vec![*first]);
    while let Some((c, r)) = next.pop() {
        for place in [(c + 1, r), (c - 1, r), (c, r + 1), (c, r - 1)] {
            if pages.contains(&place) && seen.insert(place) {
                next.push(place);
            }
        }
    }
    seen.len() == pages.len()
}

/// How many windows of `room` that overlap show all of `length`.
fn count(length: f64, room: f64, overlap: f64) -> i32 {
    const HAIR: f64 = 1e-6;
    ((length - overlap - HAIR) / (room - overlap)).ceil().clamp(1.0, 1e4) as i32
}

/// The box round some points; one without a size for none.
pub(super) fn bounds(points: impl Iterator<Item = Point>) -> Rect {
    points.map(|at| Rect::from_points(at, at)).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}
