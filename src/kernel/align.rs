//! Putting a cutter exactly on the edges it all but lies on.

use kurbo::Point;

use super::polyline::{bulge_of, near};
use super::{Contour, Segment, Vertex};
use crate::tolerance::ALIGNING;

/// `cutter` with every vertex that lies within [`ALIGNING`] of a vertex or an edge of `contours`
/// put onto it, and with a vertex wherever one of theirs lies that close to the cutter's edges.
///
/// A boolean operation knows edges that coincide from edges that cross, but edges that do
/// nearly either would come out one way at one end and the other way at the other.
///
/// `None` when nothing of any size is left.
pub(super) fn aligned<'a>(
    cutter: &Contour,
    contours: impl Iterator<Item = &'a Contour>,
) -> Option<Contour> {
    let around = cutter.bounds();
    let edges: Vec<Segment> = contours
        .flat_map(Contour::segments)
        .filter(|s| near(s.bounds(), around, ALIGNING))
        .collect();
    let moved = Contour::new(
        cutter.vertices().iter().map(|v| Vertex { at: on_edges(v.at, &edges), bulge: v.bulge }),
    )?;
    Contour::new(moved.segments().flat_map(|s| split_at_vertices(&s, &edges)))
}

fn on_edges(point: Point, edges: &[Segment]) -> Point {
    let close = |p: &Point| (*p - point).hypot() <= ALIGNING;
    let vertex = edges.iter().map(|s| s.start).find(close);
    let on_edge = || edges.iter().map(|s| s.nearest(point)).find(close);
    vertex.or_else(on_edge).unwrap_or(point)
}

/// The segment in pieces, one from each of the edges' vertices that lie on it to the next.
fn split_at_vertices(segment: &Segment, edges: &[Segment]) -> Vec<Vertex> {
    let mut places: Vec<(f64, Point)> = edges
        .iter()
        .map(|e| e.start)
        .filter(|p| (segment.nearest(*p) - *p).hypot() <= ALIGNING)
        .map(|p| (segment.share_at(p), p))
        .chain([(0.0, segment.start)])
        .filter(|(share, p)| *share < 1.0 && (*p - segment.end).hypot() > ALIGNING)
        .filter(|(share, p)| *share == 0.0 || (*p - segment.start).hypot() > ALIGNING)
        .collect();
    places.sort_by(|a, b| a.0.total_cmp(&b.0));
    let sweep = segment.arc().map_or(0.0, |arc| arc.sweep);
    let ends = places.iter().skip(1).map(|(share, _)| *share).chain([1.0]);
    let piece = |((from, at), to): (&(f64, Point), f64)| {
        let bulge = if places.len() == 1 { segment.bulge } else { bulge_of(sweep * (to - from)) };
        Vertex { at: *at, bulge }
    };
    places.iter().zip(ends).map(piece).collect()
}

impl Segment {
    /// How far along the segment `point`, taken to lie on it, comes: 0 at the start, 1 at the end.
    fn share_at(&self, point: Point) -> f64 {
        let Some(arc) = self.arc() else {
            let run = self.end - self.start;
            return (point - self.start).dot(run) / run.hypot2();
        };
        let turned = (point - arc.center).atan2() - arc.start_angle;
        (turned * arc.sweep.signum()).rem_euclid(std::f64::consts::TAU) / arc.sweep.abs()
    }
}
