//! Contours without needless vertices.

use std::f64::consts::PI;

use super::polyline::bulge_of;
use super::{Contour, Segment, Vertex};
use crate::tolerance::{COORDINATE, MERGING};

/// A contour through `vertices` without segments too short to be written, and with straight
/// runs and arcs of one circle joined where they continue each other exactly. Joined arcs stay
/// within a half circle.
///
/// `None` when less than two vertices are left.
pub(super) fn tidy(vertices: impl IntoIterator<Item = Vertex>) -> Option<Contour> {
    let mut kept = without_short_segments(vertices);
    let mut at = 0;
    let mut unchanged = 0;
    while kept.len() > 2 && unchanged < kept.len() {
        let count = kept.len();
        let middle = (at + 1) % count;
        let first = segment(kept[at], kept[middle]);
        let second = segment(kept[middle], kept[(at + 2) % count]);
        if let Some(bulge) = joined(&first, &second) {
            kept[at].bulge = bulge;
            kept.remove(middle);
            at = if middle < at { at - 1 } else { at };
            unchanged = 0;
        } else {
            at = middle;
            unchanged += 1;
        }
    }
    Contour::new(kept)
}

fn segment(from: Vertex, to: Vertex) -> Segment {
    Segment { start: from.at, end: to.at, bulge: from.bulge }
}

/// Drops what would be a zero-length segment in a file. The chord, not the length, is measured:
/// an arc that nearly closes on itself does not occur, arcs being half circles at most.
fn without_short_segments(vertices: impl IntoIterator<Item = Vertex>) -> Vec<Vertex> {
    let mut kept: Vec<Vertex> = Vec::new();
    for vertex in vertices {
        match kept.last_mut() {
            Some(last) if (last.at - vertex.at).hypot() < COORDINATE => last.bulge = vertex.bulge,
            _ => kept.push(vertex),
        }
    }
    while let [first, .., last] = kept.as_slice()
        && (first.at - last.at).hypot() < COORDINATE
    {
        kept.pop();
    }
    kept
}

/// The bulge of the one segment that two successive ones make, if they are one.
fn joined(first: &Segment, second: &Segment) -> Option<f64> {
    match (first.arc(), second.arc()) {
        (None, None) => {
            let whole = second.end - first.start;
            let onward = (first.end - first.start).dot(second.end - second.start) > 0.0;
            let off = whole.cross(first.end - first.start).abs();
            (onward && off <= MERGING * whole.hypot()).then_some(0.0)
        }
        (Some(a), Some(b)) => {
            let sweep = a.sweep + b.sweep;
            let same_circle =
                (a.center - b.center).hypot() <= MERGING && (a.radius - b.radius).abs() <= MERGING;
            let onward = a.sweep.signum() == b.sweep.signum();
            (same_circle && onward && sweep.abs() <= PI + MERGING).then(|| bulge_of(sweep))
        }
        _ => None,
    }
}
