//! Contours as polygons that enclose the same area.

use kurbo::Point;

use crate::kernel::{Contour, Segment};

/// How far a side may stand off the arc that it stands in for, in mm.
const CHORD: f64 = 0.1;

/// Where two stretches meet at more than this, in radians, they meet in a corner.
const CORNER: f64 = 0.02;

/// A corner of a polygon, or a place on a smooth stretch of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct RingPoint {
    pub at: Point,
    /// Whether the contour turns sharply here.
    pub sharp: bool,
}

/// A closed polygon, the first point not repeated, wound as its contour is.
pub(super) type Ring = Vec<RingPoint>;

/// The contour as a polygon of the same area, on the contour wherever a stretch of it ends.
pub(super) fn ring(contour: &Contour) -> Ring {
    let segments: Vec<Segment> = contour.segments().collect();
    let before = segments.iter().cycle().skip(segments.len().saturating_sub(1));
    let mut ring = Ring::new();
    for (segment, before) in segments.iter().zip(before) {
        let turn = before.direction_at(segment.start).cross(segment.direction_at(segment.start));
        let back = before.direction_at(segment.start).dot(segment.direction_at(segment.start));
        ring.push(RingPoint { at: segment.start, sharp: turn.abs() > CORNER || back < 0.0 });
        ring.extend(between(segment).map(|at| RingPoint { at, sharp: false }));
    }
    ring
}

/// The places of an arc between its ends.
///
/// Ends stay, the others move out to the radius q at which the polygon has the arc's area: of n sides of angle d, two
/// reach from radius r to q and the rest join q to q, so (n - 2) q² sin d + 2 r q sin d = n d r².
fn between(segment: &Segment) -> impl Iterator<Item = Point> + use<> {
    let arc = segment.arc();
    let sides = arc.map_or(1, |arc| {
        let most = 2.0 * (1.0 - (CHORD / arc.radius).min(0.5)).acos();
        ((arc.sweep.abs() / most).ceil() as usize).max(2)
    });
    (1..sides).filter_map(move |side| {
        let arc = arc?;
        let count = sides as f64;
        let step = arc.sweep.abs() / count;
        let (rest, area) = (count - 2.0, count * step / step.sin());
        let out = if rest > 0.0 { ((1.0 + rest * area).sqrt() - 1.0) / rest } else { area / 2.0 };
        let angle = arc.start_angle + arc.sweep * side as f64 / count;
        Some(arc.center + (arc.point(angle) - arc.center) * out)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kernel::Vertex;

    fn area(ring: &Ring) -> f64 {
        let next = ring.iter().cycle().skip(1);
        let twice = ring.iter().zip(next).map(|(a, b)| a.at.to_vec2().cross(b.at.to_vec2()));
        twice.sum::<f64>() / 2.0
    }

    #[test]
    fn a_polygon_has_the_area_of_its_contour() {
        let circle = Contour::circle(Point::new(3.0, 4.0), 12.7);
        let slot = [(0.0, 0.0, 0.0), (80.0, 0.0, 0.3), (80.0, 20.0, 0.0), (30.0, 20.0, -1.0)];
        let slot = slot.into_iter().chain([(20.0, 20.0, 0.0), (0.0, 20.0, 0.0)]);
        let slot = Contour::new(slot.map(|(x, y, bulge)| Vertex::arc(x, y, bulge))).unwrap();
        for contour in [circle, slot] {
            let ring = ring(&contour);
            assert!((area(&ring) - contour.area()).abs() < 1e-9 * contour.area());
        }
    }

    #[test]
    fn a_rounded_corner_is_smooth_and_a_square_one_is_not() {
        let quarter = (std::f64::consts::PI / 8.0).tan();
        let corners = [(0.0, 0.0, 0.0), (40.0, 0.0, 0.0), (40.0, 20.0, quarter), (30.0, 30.0, 0.0)];
        let corners = corners.into_iter().chain([(0.0, 30.0, 0.0)]);
        let contour = Contour::new(corners.map(|(x, y, bulge)| Vertex::arc(x, y, bulge))).unwrap();
        let sharp: Vec<Point> =
            ring(&contour).iter().filter(|point| point.sharp).map(|point| point.at).collect();
        assert_eq!(sharp, [(0.0, 0.0), (40.0, 0.0), (0.0, 30.0)].map(Point::from));
    }
}
