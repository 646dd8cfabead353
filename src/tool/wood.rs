//! A piece of wood, and how deep a solid goes into it.

use kurbo::{Point, Rect};

use super::UNFELT;
use super::scene::around;
use crate::holder::{Part, Placement, Purpose};
use crate::kernel::convex::{drawn_in, hull, is_inside, sides};
use crate::kernel::prism::{Prism, depth};
use crate::style::Space;

/// How far a chord may stand off the arc that it stands in for, in mm.
const CHORD: f64 = 0.05;

/// How many chords stand in for a bore.
const CHORDS: usize = 32;

/// A piece of wood in its place: flat, with what is cut out of it and bored through it. Bevels and pockets are left
/// out, a dowel counts as square.
pub(super) struct WoodPiece {
    /// Its part's place in the holder's list.
    pub part: usize,
    place: Placement,
    thickness: f64,
    outline: WoodRing,
    open: Vec<WoodRing>,
    bounds: (Space, Space),
}

/// A closed line on a piece, and the box around it: most of what is asked about lies nowhere near.
struct WoodRing {
    corners: Vec<Point>,
    around: Rect,
}

impl WoodRing {
    fn of(corners: Vec<Point>) -> Self {
        Self { around: box_around(&corners), corners }
    }

    fn contains(&self, at: Point) -> bool {
        is_in_box(at, self.around) && is_inside(at, &self.corners)
    }
}

fn box_around(ring: &[Point]) -> Rect {
    let [x, y]: [fn(&Point) -> f64; 2] = [|at| at.x, |at| at.y];
    let least = |of: fn(&Point) -> f64| ring.iter().map(of).fold(f64::INFINITY, f64::min);
    let most = |of: fn(&Point) -> f64| ring.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
    Rect { x0: least(x), y0: least(y), x1: most(x), y1: most(y) }
}

fn is_in_box(at: Point, Rect { x0, y0, x1, y1 }: Rect) -> bool {
    x0 <= at.x && at.x <= x1 && y0 <= at.y && at.y <= y1
}

/// What of a solid lies between the faces of a piece.
struct Inside {
    /// Seen from the show face, convex.
    ring: Vec<Point>,
    /// Where it begins and ends below that, in mm.
    depths: [f64; 2],
    /// How far it goes in through the nearer face, in mm.
    through: f64,
}

impl WoodPiece {
    pub(super) fn of(at: usize, part: &Part, place: &Placement) -> Self {
        let openings = part.region.openings().iter().map(|opening| opening.flatten(CHORD));
        let through = part.drillings.iter().filter(|d| d.depth.is_none() && d.lean == 0.0);
        let bores = through.filter(|drilling| drilling.purpose == Purpose::Tool);
        let bores = bores.map(|drilling| circle(drilling.at, drilling.diameter / 2.0));
        Self {
            part: at,
            place: *place,
            thickness: part.stock.thickness,
            outline: WoodRing::of(part.region.outline().flatten(CHORD)),
            open: openings.chain(bores).map(WoodRing::of).collect(),
            bounds: place.bounds(),
        }
    }

    pub(super) fn bounds(&self) -> (Space, Space) {
        self.bounds
    }

    /// How deep the solid goes into it, in mm: how far it would have to move square to the piece, or be thinner all
    /// round, to be clear of it, whichever is less. 0 where it is clear.
    pub(super) fn shared(&self, prism: &Prism) -> f64 {
        if apart(self.bounds, prism.bounds()) {
            return 0.0;
        }
        let Some(Inside { ring, through, .. }) = self.within(prism) else { return 0.0 };
        let felt = drawn_in(&ring, UNFELT / 2.0);
        if !self.is_met(&felt) {
            return 0.0;
        }
        through.min(depth(&ring, |ring| self.is_met(ring)))
    }

    /// The level block around where the solid meets the piece; `None` where that is not felt.
    pub(super) fn meeting(&self, prism: &Prism) -> Option<(Space, Space)> {
        if apart(self.bounds, prism.bounds()) {
            return None;
        }
        let inside = self.within(prism)?;
        let ring = drawn_in(&inside.ring, UNFELT / 2.0);
        let own = ring.iter().filter(|at| self.is_wood(**at)).copied();
        let ring_box = box_around(&ring);
        let corners = self.rings().flat_map(|other| &other.corners).copied();
        let corners = corners.filter(|at| is_in_box(*at, ring_box) && is_inside(*at, &ring));
        let crossings = self.rings().flat_map(|other| crossings((&ring, ring_box), other));
        let places = own.chain(corners).chain(crossings);
        let places = places.flat_map(|at| inside.depths.map(|deep| self.place.to_space(at, deep)));
        around(places.map(|place| (place, place)))
    }

    /// What of the solid lies between the faces of the piece; `None` where that is not felt.
    fn within(&self, prism: &Prism) -> Option<Inside> {
        let corners: Vec<(Point, f64)> =
            prism.corners().map(|corner| self.place.to_piece(corner)).collect();
        let depths = || corners.iter().map(|(_, depth)| *depth);
        let least = depths().fold(f64::INFINITY, f64::min);
        let most = depths().fold(f64::NEG_INFINITY, f64::max);
        let through = most.min(self.thickness - least);
        if through <= UNFELT {
            return None;
        }
        let (top, bottom) = (least.max(0.0), most.min(self.thickness));
        let edges = prism.edges().map(|edge| edge.map(|end| corners[end]));
        let inside: Vec<Point> = edges.flat_map(|edge| clipped(edge, [top, bottom])).collect();
        let ring = hull(&inside);
        (ring.len() >= 3).then_some(Inside { ring, depths: [top, bottom], through })
    }

    /// Whether a convex polygon lies partly in wood.
    fn is_met(&self, ring: &[Point]) -> bool {
        let around = box_around(ring);
        let crossed = self.rings().any(|other| crossings((ring, around), other).next().is_some());
        crossed
            || ring.first().is_some_and(|at| self.is_wood(*at))
            || self.outline.corners.first().is_some_and(|at| is_inside(*at, ring))
    }

    fn rings(&self) -> impl Iterator<Item = &WoodRing> {
        std::iter::once(&self.outline).chain(&self.open)
    }

    fn is_wood(&self, at: Point) -> bool {
        self.outline.contains(at) && !self.open.iter().any(|open| open.contains(at))
    }
}

/// Whether two level blocks share no more than is unfelt.
pub(super) fn apart((low, high): (Space, Space), (near, far): (Space, Space)) -> bool {
    (0..3).any(|axis| high[axis].min(far[axis]) - low[axis].max(near[axis]) <= UNFELT)
}

fn circle(middle: Point, radius: f64) -> Vec<Point> {
    let turn = |at: usize| std::f64::consts::TAU * at as f64 / CHORDS as f64;
    // Around the circle, so that what fits the bore is clear of its chords.
    let radius = radius / (std::f64::consts::PI / CHORDS as f64).cos();
    (0..CHORDS).map(|at| middle + kurbo::Vec2::from_angle(turn(at)) * radius).collect()
}

/// The ends of what lies of an edge between two depths.
fn clipped([a, b]: [(Point, f64); 2], [top, bottom]: [f64; 2]) -> impl Iterator<Item = Point> {
    let run = b.1 - a.1;
    let at = move |depth: f64| a.0.lerp(b.0, (depth - a.1) / run);
    let crossing = move |depth: f64| ((a.1 < depth) != (b.1 < depth)).then(|| at(depth));
    let end = move |(end, depth): (Point, f64)| (top <= depth && depth <= bottom).then_some(end);
    [end(a), end(b), crossing(top), crossing(bottom)].into_iter().flatten()
}

/// Where sides of a polygon, which has a box `around` it, cross those of another.
fn crossings<'a>(
    (one, around): (&'a [Point], Rect),
    other: &'a WoodRing,
) -> impl Iterator<Item = Point> + 'a {
    let far = is_beyond(diagonal(other.around), around);
    let others = sides(if far { &[] } else { &other.corners });
    let near = others.filter(move |side| !is_beyond(*side, around));
    near.flat_map(move |across| sides(one).filter_map(move |side| crossing(side, across)))
}

fn diagonal(around: Rect) -> [Point; 2] {
    [around.origin(), Point::new(around.x1, around.y1)]
}

/// Whether a line, or the box that it is a diagonal of, lies wholly to one side of a box.
fn is_beyond([a, b]: [Point; 2], Rect { x0, y0, x1, y1 }: Rect) -> bool {
    a.x.max(b.x) < x0 || a.x.min(b.x) > x1 || a.y.max(b.y) < y0 || a.y.min(b.y) > y1
}

fn crossing([a, b]: [Point; 2], [c, d]: [Point; 2]) -> Option<Point> {
    let turn = |a: Point, b: Point, c: Point| (b - a).cross(c - b);
    let (from, to) = (turn(c, d, a), turn(c, d, b));
    let cross = (turn(a, b, c) > 0.0) != (turn(a, b, d) > 0.0) && (from > 0.0) != (to > 0.0);
    cross.then(|| a.lerp(b, from / (from - to)))
}
