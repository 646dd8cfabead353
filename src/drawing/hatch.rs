//! Hatching of cut faces and milled areas.

use kurbo::{Point, Rect, Vec2};

use super::Line;
use super::canvas::Canvas;

/// Spacing of the hatching, in mm.
const SPACING: f64 = 3.0;

/// Hatches the convex polygon through `corners` with lines at 60°, so that they never run along a
/// bevel of 45°.
pub(super) fn hatch(canvas: &mut Canvas, corners: &[Point]) {
    let Some(origin) = corners.first().copied() else { return };
    let along = Vec2::from_angle(60_f64.to_radians());
    let normal = Vec2::new(-along.y, along.x);
    let reach = corners.iter().map(|p| (*p - origin).dot(normal));
    let (low, high) = reach.fold((f64::MAX, f64::MIN), |(a, b), r| (a.min(r), b.max(r)));
    let count = ((high - low) / SPACING).min(1e4) as u32;
    for i in 0..count {
        let offset = low + (f64::from(i) + 0.5) * SPACING;
        if let Some((from, to)) = chord(corners, origin, normal, offset) {
            canvas.line(Line::Furniture, from, to);
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

/// Hatches `area` and leaves white what is written on it.
pub(super) fn hatch_between(canvas: &mut Canvas, area: Rect) {
    let corners = box_corners(area);
    let texts: Vec<Rect> =
        canvas.texts().iter().map(|text| text.inset(0.8)).filter(|t| t.overlaps(area)).collect();
    let along = Vec2::from_angle(60_f64.to_radians());
    let normal = Vec2::new(-along.y, along.x);
    let reach = corners.map(|corner| corner.to_vec2().dot(normal));
    let low = reach.iter().fold(f64::MAX, |a, b| a.min(*b));
    let high = reach.iter().fold(f64::MIN, |a, b| a.max(*b));
    let first = (low / SPACING).ceil();
    let count = ((high - low) / SPACING).min(1e4) as u32 + 1;
    for i in 0..count {
        let offset = (first + f64::from(i)) * SPACING;
        if let Some((from, to)) = chord(&corners, Point::ORIGIN, normal, offset) {
            for (from, to) in outside(from, to, &texts) {
                canvas.line(Line::Furniture, from, to);
            }
        }
    }
}

/// The stretches of a line that lie in none of `areas`.
fn outside(from: Point, to: Point, areas: &[Rect]) -> Vec<(Point, Point)> {
    let mut free = vec![(0.0, 1.0)];
    for area in areas {
        let Some((enters, leaves)) = within(from, to, *area) else { continue };
        free = free
            .into_iter()
            .flat_map(|(a, b): (f64, f64)| [(a, b.min(enters)), (a.max(leaves), b)])
            .filter(|(a, b)| a < b)
            .collect();
    }
    free.into_iter().map(|(a, b)| (from.lerp(to, a), from.lerp(to, b))).collect()
}

/// Shares of the way at which a line enters and leaves `area` (Liang and Barsky's clipping).
fn within(from: Point, to: Point, area: Rect) -> Option<(f64, f64)> {
    let way = to - from;
    let sides = [
        (-way.x, from.x - area.x0),
        (way.x, area.x1 - from.x),
        (-way.y, from.y - area.y0),
        (way.y, area.y1 - from.y),
    ];
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (speed, room) in sides {
        if speed == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if speed < 0.0 {
            enters = enters.max(room / speed);
        } else {
            leaves = leaves.min(room / speed);
        }
    }
    (enters < leaves).then_some((enters, leaves))
}

/// The corners of a box, counter-clockwise.
fn box_corners(area: Rect) -> [Point; 4] {
    [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)]
        .map(|(x, y)| Point::new(x, y))
}
