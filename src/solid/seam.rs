//! Where the surfaces of two bodies pass through one another: a peg and the face that it stands out of.

use super::seen::{SeenLine, Sight, TOUCH, part_over};
use super::shell::Shell;
use crate::kernel::vector::{cross, dot, minus, unit};
use crate::style::Space;

impl Sight {
    /// What is seen of the edges of bodies, and of the seams between them.
    pub(crate) fn lines<'s>(&self, shells: impl IntoIterator<Item = &'s Shell>) -> Vec<SeenLine> {
        let shells: Vec<&Shell> = shells.into_iter().collect();
        let edges = shells.iter().flat_map(|shell| self.edges(shell));
        let pairs = (0..shells.len()).flat_map(|a| (a + 1..shells.len()).map(move |b| (a, b)));
        let seams = pairs.flat_map(|(a, b)| seams(shells[a], shells[b]));
        edges.chain(seams.flat_map(|seam| self.line(seam))).collect()
    }
}

/// The stretches in which triangles of one body pass through triangles of the other.
pub(crate) fn seams(one: &Shell, other: &Shell) -> Vec<[Space; 2]> {
    let rooms = [one, other].map(|shell| room(&shell.points));
    if are_apart(rooms[0], rooms[1]) {
        return Vec::new();
    }
    let near = |shell: &Shell, beside| -> Vec<[Space; 3]> {
        let triangles = shell.facets.iter().map(|facet| shell.corners(facet));
        triangles.filter(|corners| !are_apart(room(corners), beside)).collect()
    };
    let others = near(other, rooms[0]);
    let pairs = near(one, rooms[1]).into_iter().flat_map(|a| others.iter().map(move |b| (a, b)));
    pairs.filter_map(|(a, b)| seam(&a, b)).collect()
}

/// The level box around places.
fn room(places: &[Space]) -> [Space; 2] {
    let extreme = |of: fn(f64, f64) -> f64, from: f64| {
        std::array::from_fn(|axis| places.iter().map(|place| place[axis]).fold(from, of))
    };
    [extreme(f64::min, f64::INFINITY), extreme(f64::max, f64::NEG_INFINITY)]
}

/// Whether two boxes share no more than bodies that touch.
fn are_apart([low, high]: [Space; 2], [near, far]: [Space; 2]) -> bool {
    (0..3).any(|axis| near[axis] > high[axis] - TOUCH || low[axis] > far[axis] - TOUCH)
}

/// Where the triangle `other` passes through `one`.
fn seam(one: &[Space; 3], other: &[Space; 3]) -> Option<[Space; 2]> {
    let [a, b, c] = *one;
    let out = unit(cross(minus(b, a), minus(c, a)));
    let [start, end] = crossed(other, other.map(|corner| dot(out, minus(corner, a))))?;
    let mut kept = [0.0, 1.0];
    for (from, to) in [(a, b), (b, c), (c, a)] {
        let inward = unit(cross(out, minus(to, from)));
        let inside = |place: Space| dot(inward, minus(place, from)) - TOUCH;
        kept = part_over(kept, inside(start), inside(end))?;
    }
    Some(kept.map(|share| between(start, end, share)))
}

/// Where a triangle whose corners lie so far from a plane passes it; `None` where it lies on one side.
fn crossed(corners: &[Space; 3], beyond: [f64; 3]) -> Option<[Space; 2]> {
    let (least, most) =
        (beyond.into_iter().reduce(f64::min)?, beyond.into_iter().reduce(f64::max)?);
    if least > -TOUCH || most < TOUCH {
        return None;
    }
    let mut places = [(0, 1), (1, 2), (2, 0)].into_iter().filter_map(|(from, to)| {
        let (before, after) = (beyond[from], beyond[to]);
        let passes = (before < 0.0) != (after < 0.0);
        passes.then(|| between(corners[from], corners[to], before / (before - after)))
    });
    Some([places.next()?, places.next()?])
}

fn between(from: Space, to: Space, share: f64) -> Space {
    std::array::from_fn(|axis| from[axis] + (to[axis] - from[axis]) * share)
}
