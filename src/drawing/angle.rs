//! The dimension of an angle: an arc between two ways from a corner, after ISO 129-1.

use kurbo::{Point, Vec2};

use super::canvas::Canvas;
use super::dimension;
use super::{Line, Path};
use crate::kernel::Vertex;

/// The arc about `corner` from one way to another, both unit vectors, with arrow heads. Returns its middle.
pub(super) fn arc(canvas: &mut Canvas, corner: Point, from: Vec2, to: Vec2, radius: f64) -> Point {
    let sweep = from.cross(to).atan2(from.dot(to));
    let (start, end) = (corner + from * radius, corner + to * radius);
    let arc =
        vec![Vertex { at: start, bulge: (sweep / 4.0).tan() }, Vertex { at: end, bulge: 0.0 }];
    canvas.stroke(Line::Dimension, Path::Open(arc));
    let quarter = std::f64::consts::FRAC_PI_2 * sweep.signum();
    // A head's shaft follows the arc, here its chord over the head's length.
    let lean = 1.25 / radius * sweep.signum();
    if sweep.abs() * radius > ROOM {
        dimension::arrow(canvas, start, turned(from, quarter + lean));
        dimension::arrow(canvas, end, turned(to, -quarter - lean));
    } else {
        // Too narrow for heads inside: they point at it from outside.
        for (tip, way) in [(start, turned(from, -quarter)), (end, turned(to, quarter))] {
            canvas.line(Line::Dimension, tip, tip + way * TAIL);
            dimension::arrow(canvas, tip, way);
        }
    }
    corner + turned(from, sweep / 2.0) * radius
}

/// Room for two heads on an arc, and how far a head outside it is drawn on, in mm.
const ROOM: f64 = 6.0;
const TAIL: f64 = 5.0;

fn turned(way: Vec2, by: f64) -> Vec2 {
    Vec2::from_angle(way.atan2() + by)
}
