//! The way to the `cavalier_contours` crate and back.

use std::f64::consts::PI;

use cavalier_contours::core::math::Vector2;
use cavalier_contours::polyline::{PlineSource, PlineVertex, Polyline};
use kurbo::{Point, Rect};

use super::tidy::tidy;
use super::{Contour, Vertex};
use crate::tolerance::{COORDINATE, REACH};

/// The contour as that crate's closed polyline, which knows arcs up to a half circle only:
/// longer ones are halved.
pub(super) fn to_polyline(contour: &Contour) -> Polyline<f64> {
    let mut polyline = Polyline::new_closed();
    let mut add = |at: Point, bulge| polyline.vertex_data.push(PlineVertex::new(at.x, at.y, bulge));
    for segment in contour.segments() {
        match segment.arc() {
            Some(arc) if segment.bulge.abs() > 1.0 => {
                let half = (arc.sweep / 8.0).tan();
                add(segment.start, half);
                add(arc.point(arc.start_angle + arc.sweep / 2.0), half);
            }
            _ => add(segment.start, segment.bulge),
        }
    }
    polyline
}

/// The polyline as a tidy contour; `None` when nothing of any size is left of it.
pub(super) fn to_contour(polyline: &Polyline<f64>) -> Option<Contour> {
    tidy(polyline.vertex_data.iter().map(|v| Vertex::arc(v.x, v.y, v.bulge)))
}

impl Contour {
    /// Whether `point` lies within the contour, whichever way it winds. On the contour itself
    /// either answer may come.
    pub fn contains(&self, point: Point) -> bool {
        to_polyline(self).winding_number(Vector2::new(point.x, point.y)) != 0
    }

    /// Whether every vertex and arc lies within [`REACH`] of the origin.
    pub(super) fn in_reach(&self) -> bool {
        let bounds = self.bounds();
        // Written so that it holds for what is not a number as well.
        [bounds.x0, bounds.y0, bounds.x1, bounds.y1].into_iter().all(|c| c.abs() <= REACH)
            && self.vertices().iter().all(|v| v.at.is_finite() && v.bulge.is_finite())
    }

    /// Whether the contour encloses next to nothing: narrower on average than a coordinate is
    /// exact. For a strip, width = 2 × area / perimeter.
    pub(super) fn is_sliver(&self) -> bool {
        2.0 * self.area().abs() <= COORDINATE * self.perimeter()
    }
}

/// Whether two boxes come within `by` of each other.
pub(super) fn near(a: Rect, b: Rect, by: f64) -> bool {
    a.x0 <= b.x1 + by && b.x0 <= a.x1 + by && a.y0 <= b.y1 + by && b.y0 <= a.y1 + by
}

/// The bulge of an arc that sweeps `angle` radians; a half circle is a half circle exactly.
pub(super) fn bulge_of(angle: f64) -> f64 {
    let over_half = angle.abs() - PI;
    if over_half.abs() < 1e-9 { angle.signum() } else { (angle / 4.0).tan() }
}
