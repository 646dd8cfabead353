//! Right prisms in space: what stands for a tool, and all that it passes on a straight way.

use kurbo::{Point, Vec2};

use super::convex::{drawn_in, hull, normals, reach, strip_between};

/// How many sides stand in for a circle.
const SIDES: usize = 72;

/// A place in space or a way through it: x, y and z in mm.
type Place = [f64; 3];

/// A right prism along one of the three axes, its base a convex polygon.
///
/// The base is counter-clockwise in the two other axes in their order round: y and z for a prism along x, z and x for
/// one along y, x and y for one along z.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Prism {
    axis: usize,
    base: Vec<Point>,
    /// Where it begins and ends along its axis, in mm.
    ends: [f64; 2],
    /// The least and the greatest corner of the level block around it; asked for at every step.
    bounds: (Place, Place),
}

impl Prism {
    fn new(axis: usize, base: Vec<Point>, ends: [f64; 2]) -> Self {
        let bounds = bounds(axis, &base, ends);
        Self { axis, base, ends, bounds }
    }

    /// The level block from its least to its greatest corner; `None` where that has no volume.
    pub(crate) fn block(low: Place, high: Place) -> Option<Self> {
        let base = [[low[1], low[2]], [high[1], low[2]], [high[1], high[2]], [low[1], high[2]]];
        let base = base.map(|[y, z]| Point::new(y, z)).to_vec();
        (0..3).all(|axis| high[axis] > low[axis]).then(|| Self::new(0, base, [low[0], high[0]]))
    }

    /// A round rod from the middle of one end to that of the other, along one axis and up it; `None` where it has no
    /// volume. Its sides touch the circle, four of them
    /// square to the axes.
    pub(crate) fn rod(low: Place, high: Place, diameter: f64) -> Option<Self> {
        let mut along = (0..3).filter(|axis| high[*axis] > low[*axis]);
        let axis = along.next().filter(|_| along.next().is_none() && diameter > 0.0)?;
        let middle = planar(low, axis);
        let reach = diameter / 2.0 / (std::f64::consts::PI / SIDES as f64).cos();
        let corner = |side: usize| {
            let turn = std::f64::consts::TAU * (side as f64 + 0.5) / SIDES as f64;
            middle + Vec2::from_angle(turn) * reach
        };
        let base = (0..SIDES).map(corner).collect();
        Some(Self::new(axis, base, [low[axis], high[axis]]))
    }

    /// A prism along x with such a base in y and z, counter-clockwise and convex.
    pub(crate) fn along_x(base: Vec<Point>, ends: [f64; 2]) -> Self {
        Self::new(0, base, ends)
    }

    /// The same turned about the line along x through `y` and `z`: what lies out goes up. What doesn't lie along x
    /// becomes the block around it first.
    pub(crate) fn turned(&self, [y, z]: [f64; 2], degrees: f64) -> Self {
        if degrees == 0.0 {
            return self.clone();
        }
        let level = self.along(0).unwrap_or_else(|| self.around());
        let (sin, cos) = degrees.to_radians().sin_cos();
        let turned = |at: &Point| {
            let (up, out) = (at.x - y, at.y - z);
            Point::new(y + up * cos + out * sin, z + out * cos - up * sin)
        };
        Self::new(level.axis, level.base.iter().map(turned).collect(), level.ends)
    }

    /// The same somewhere else.
    pub(crate) fn moved(&self, by: Place) -> Self {
        let shift = planar(by, self.axis).to_vec2();
        let base = self.base.iter().map(|at| *at + shift).collect();
        Self::new(self.axis, base, self.ends.map(|end| end + by[self.axis]))
    }

    /// All that it passes on a straight way along one axis, where it stands at either end included.
    pub(crate) fn swept(&self, by: Place) -> Self {
        let there = self.moved(by);
        let both: Vec<Point> = self.base.iter().chain(&there.base).copied().collect();
        let ends = [self.ends[0].min(there.ends[0]), self.ends[1].max(there.ends[1])];
        Self::new(self.axis, hull(&both), ends)
    }

    /// The least and the greatest corner of the level block around it.
    pub(crate) fn bounds(&self) -> (Place, Place) {
        self.bounds
    }

    /// Its corners: those of the base at one end, then at the other.
    pub(crate) fn corners(&self) -> impl Iterator<Item = Place> + '_ {
        let at = move |end: f64| self.base.iter().map(move |corner| self.place(*corner, end));
        at(self.ends[0]).chain(at(self.ends[1]))
    }

    /// Its edges, each between two of its corners, by their places in [`Prism::corners`].
    pub(crate) fn edges(&self) -> impl Iterator<Item = [usize; 2]> + use<> {
        let count = self.base.len();
        (0..count).flat_map(move |at| {
            let next = (at + 1) % count;
            [[at, next], [at + count, next + count], [at, at + count]]
        })
    }

    /// How far it has to be moved, at the least, to share no space with another, in mm; 0 where they share none.
    ///
    /// Exact for two that lie along one axis, a level block lying along any (separating axes of convex bodies). Of two
    /// others the second counts as the block around it.
    pub(crate) fn shared(&self, other: &Self) -> f64 {
        let ((low, high), (near, far)) = (self.bounds, other.bounds);
        let overlap = |axis: usize| (high[axis] - near[axis]).min(far[axis] - low[axis]);
        let boxes = (0..3).map(overlap).fold(f64::INFINITY, f64::min);
        if boxes <= 0.0 {
            return 0.0;
        }
        let alike = other.along(self.axis).map(|other| (self.clone(), other));
        let alike = alike.or_else(|| Some((self.along(other.axis)?, other.clone())));
        let around =
            || (self.clone(), other.around().along(self.axis).unwrap_or_else(|| other.clone()));
        let (one, other) = alike.unwrap_or_else(around);
        boxes.min(-strip_between(&one.base, &other.base)).max(0.0)
    }

    /// The same body as a prism along another axis, where it is one: a level block is.
    fn along(&self, axis: usize) -> Option<Self> {
        if axis == self.axis {
            return Some(self.clone());
        }
        let (low, high) = self.bounds;
        self.is_level_block().then(|| {
            let corners = [[low, low], [high, low], [high, high], [low, high]];
            let base = corners.map(|[a, b]| {
                let ([u, _], [_, v]) = (others(axis), others(axis));
                Point::new(a[u], b[v])
            });
            Self::new(axis, base.to_vec(), [low[axis], high[axis]])
        })
    }

    fn is_level_block(&self) -> bool {
        let next = self.base.iter().cycle().skip(1);
        self.base.len() == 4 && self.base.iter().zip(next).all(|(a, b)| a.x == b.x || a.y == b.y)
    }

    /// The level block around it.
    fn around(&self) -> Self {
        let (low, high) = self.bounds;
        Self::block(low, high).unwrap_or_else(|| self.clone())
    }

    fn place(&self, corner: Point, end: f64) -> Place {
        let [u, v] = others(self.axis);
        let mut place = [0.0; 3];
        (place[self.axis], place[u], place[v]) = (end, corner.x, corner.y);
        place
    }
}

/// The two other axes, in their order round.
fn others(axis: usize) -> [usize; 2] {
    [(axis + 1) % 3, (axis + 2) % 3]
}

fn planar(place: Place, axis: usize) -> Point {
    let [u, v] = others(axis);
    Point::new(place[u], place[v])
}

/// The least and the greatest corner of the level block around a prism.
fn bounds(axis: usize, base: &[Point], [one, other]: [f64; 2]) -> (Place, Place) {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    (low[axis], high[axis]) = (one.min(other), one.max(other));
    let [u, v] = others(axis);
    for corner in base {
        for (across, at) in [(u, corner.x), (v, corner.y)] {
            (low[across], high[across]) = (low[across].min(at), high[across].max(at));
        }
    }
    (low, high)
}

/// How far a convex polygon would have to be drawn in, in mm, until it `meets` nothing; up to half its least width.
pub(crate) fn depth(ring: &[Point], meets: impl Fn(&[Point]) -> bool) -> f64 {
    let width = |way: Vec2| reach(ring, way) + reach(ring, -way);
    let half = normals(ring).map(width).fold(f64::INFINITY, f64::min) / 2.0;
    let (mut met, mut free) = (0.0, half);
    for _ in 0..HALVINGS {
        let by = f64::midpoint(met, free);
        if meets(&drawn_in(ring, by)) { met = by } else { free = by }
    }
    free
}

/// Halvings after which a depth is known to a hundredth of a millimeter in a foot.
const HALVINGS: usize = 16;
