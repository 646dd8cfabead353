//! Hatching of cut faces and milled areas.

use kurbo::{Point, Vec2};

use super::Line;
use super::canvas::Canvas;

/// Spacing of the hatching, in mm.
const SPACING: f64 = 3.0;

/// Hatches the convex polygon through `corners` with lines at 60°, so that they never run along a
/// bevel of 45°. They are broken round texts.
pub(super) fn hatch(canvas: &mut Canvas, corners: &[Point]) {
    hatch_with(canvas, Line::Furniture, corners);
}

/// The same with lines of some kind.
pub(super) fn hatch_with(canvas: &mut Canvas, line: Line, corners: &[Point]) {
    let Some(origin) = corners.first().copied() else { return };
    let along = Vec2::from_angle(60_f64.to_radians());
    let normal = Vec2::new(-along.y, along.x);
    let reach = corners.iter().map(|p| (*p - origin).dot(normal));
    let (low, high) = reach.fold((f64::MAX, f64::MIN), |(a, b), r| (a.min(r), b.max(r)));
    let count = ((high - low) / SPACING).min(1e4) as u32;
    for i in 0..count {
        let offset = low + (f64::from(i) + 0.5) * SPACING;
        if let Some((from, to)) = chord(corners, origin, normal, offset) {
            canvas.yielding(line, from, to);
        }
    }
}

/// Where the line `offset` along `normal` from `origin` crosses the polygon.
fn chord(corners: &[Point], origin: Point, normal: Vec2, offset: f64) -> Option<(Point, Point)> {
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    let mut hits = sides.filter_map(|(a, b)| {
        let [da, db] = [a, b].map(|p| (*p - origin).dot(normal) - offset);
        ((da < 0.0) != (db < 0.0)).then(|| a.lerp(*b, da / (da - db)))
    });
    Some((hits.next()?, hits.next()?))
}
