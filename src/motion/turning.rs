//! Whether a body may turn from one tilt to the next where it is.

use kurbo::{Point, Rect, Vec2};

use super::scene::{PiecePair, Scene};
use super::slice::{TiltSlice, disk_ways};
use crate::kernel::convex::{normals, reach};

/// How far below the distance that is kept a strip may be, in mm: rounding.
const ROUNDING: f64 = 1e-7;

/// Whether the body, at `place` in both slices, keeps its distances while it turns from the one to the other.
///
/// For each pair a strip at least as wide as the distance that is kept, square to the same side of one of them,
/// must lie between both before and after. On the way its width goes from the one to the other but for
/// r a² / 2, with r the farthest corner's distance from the point (0, 0) and a the angle in radians: half of that from a
/// corner that leaves its chord, the rest where the strip itself turns while the body moves. 600 mm and a quarter
/// of a degree come to 0.006 mm.
pub(super) fn may_turn(scene: &Scene, slices: [&TiltSlice; 2], place: Point) -> bool {
    scene.pairs.iter().enumerate().all(|(at, pair)| {
        is_beside(slices.map(|slice| slice.meets[at]), place)
            || has_strip(scene, slices, pair, place)
    })
}

/// Whether a place is to the same side of both boxes, which it may touch.
fn is_beside([one, other]: [Rect; 2], place: Point) -> bool {
    place.x <= one.x0.min(other.x0)
        || place.x >= one.x1.max(other.x1)
        || place.y <= one.y0.min(other.y0)
        || place.y >= one.y1.max(other.y1)
}

fn has_strip(scene: &Scene, slices: [&TiltSlice; 2], pair: &PiecePair, place: Point) -> bool {
    let fixed = &scene.fixed[pair.fixed];
    let bodies = slices.map(|slice| &slice.pieces[pair.moving]);
    let place = place.to_vec2();
    let is_wide = |body: &[Point], out_of_fixed: Vec2| {
        let strip =
            place.dot(out_of_fixed) - reach(body, -out_of_fixed) - reach(fixed, out_of_fixed);
        strip >= pair.apart - ROUNDING
    };
    let standing = |way: Vec2| bodies.iter().all(|body| is_wide(body, way));
    let turning = || {
        let mut ways = normals(bodies[0]).zip(normals(bodies[1]));
        ways.any(|(one, other)| is_wide(bodies[0], -one) && is_wide(bodies[1], -other))
    };
    normals(fixed).any(standing) || turning() || pair.apart > 0.0 && disk_ways().any(standing)
}
