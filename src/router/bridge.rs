//! Bridges: where the outline's cut is broken off, so that the part stays in its sheet.

use kurbo::{Point, Vec2};

use super::Bridges;
use crate::kernel::{Contour, Segment, Vertex};

/// An outline cut with bridges left standing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bridged {
    /// What is cut right through, each from its first vertex to its last.
    pub runs: Vec<Vec<Vertex>>,
    /// What is not, in the way of the outline.
    pub gaps: Vec<Vec<Vertex>>,
}

/// `outline` with gaps, spread as evenly as its shape lets them: on its straight outer sides,
/// where a bridge is easily sawn and planed off, never in a slot or on a corner.
///
/// `None` where no bridge is wanted or no side has room; fewer than wanted where not all have.
pub(crate) fn bridged(outline: &Contour, bridges: Bridges) -> Option<Bridged> {
    let segments: Vec<Segment> = outline.segments().collect();
    let middles = middles(&segments, bridges);
    if middles.is_empty() {
        return None;
    }
    // Cut the outline into stretches, and begin with the first gap.
    let mut stretches: Vec<(bool, Segment)> = Vec::new();
    for (index, segment) in segments.iter().enumerate() {
        let length = segment.length();
        let mut from = 0.0;
        for (_, middle) in middles.iter().filter(|(on, _)| *on == index) {
            let (start, end) = (middle - bridges.gap / 2.0, middle + bridges.gap / 2.0);
            stretches.push((false, part_of(segment, from / length, start / length)));
            stretches.push((true, part_of(segment, start / length, end / length)));
            from = end;
        }
        stretches.push((false, part_of(segment, from / length, 1.0)));
    }
    let first = stretches.iter().position(|(is_gap, _)| *is_gap)?;
    stretches.rotate_left(first);
    let mut bridged = Bridged { runs: Vec::new(), gaps: Vec::new() };
    for stretch in stretches.chunk_by(|a, b| a.0 == b.0) {
        let line = joined(stretch.iter().map(|(_, segment)| *segment));
        let is_gap = stretch.first().is_some_and(|(is_gap, _)| *is_gap);
        if is_gap { bridged.gaps.push(line) } else { bridged.runs.push(line) }
    }
    Some(bridged)
}

/// Where bridges stand: on which segment, and how far along it their middles are, in order.
fn middles(segments: &[Segment], bridges: Bridges) -> Vec<(usize, f64)> {
    let perimeter: f64 = segments.iter().map(Segment::length).sum();
    let sides = sides(segments, bridges.gap);
    let mut taken: Vec<(usize, f64, f64)> = Vec::new();
    for bridge in 0..bridges.count {
        let ideal = (bridge as f64 + 0.5) * perimeter / bridges.count as f64;
        let off = |at: f64| {
            let apart = (at - ideal).abs();
            apart.min(perimeter - apart)
        };
        let spots = sides.iter().flat_map(|side| side.spots(ideal, &taken, bridges.gap));
        let best = spots.min_by(|a, b| off(a.2).total_cmp(&off(b.2)));
        taken.extend(best);
    }
    taken.sort_by(|a, b| a.2.total_cmp(&b.2));
    taken.into_iter().map(|(segment, along, _)| (segment, along)).collect()
}

/// A straight side with room for a bridge.
struct BridgeSide {
    segment: usize,
    /// Where it starts along the outline.
    start: f64,
    /// Where the middle of a gap may stand on it.
    least: f64,
    most: f64,
}

impl BridgeSide {
    /// The places on it for one more gap that are nearest to `ideal`: right there, or hard by one
    /// that is taken. Each is the segment, and how far along it and along the outline.
    fn spots(
        &self,
        ideal: f64,
        taken: &[(usize, f64, f64)],
        gap: f64,
    ) -> impl Iterator<Item = (usize, f64, f64)> {
        let on_side: Vec<f64> = taken.iter().filter(|t| t.0 == self.segment).map(|t| t.1).collect();
        let beside = on_side.clone().into_iter().flat_map(move |t| [t - 2.0 * gap, t + 2.0 * gap]);
        let (segment, start, least, most) = (self.segment, self.start, self.least, self.most);
        std::iter::once((ideal - start).clamp(least, most))
            .chain(beside)
            .filter(move |at| (least..=most).contains(at))
            .filter(move |at| on_side.iter().all(|t| (t - at).abs() >= 2.0 * gap - 1e-9))
            .map(move |at| (segment, at, start + at))
    }
}

/// The straight sides that the whole outline lies to the left of, long enough for a gap.
fn sides(segments: &[Segment], gap: f64) -> Vec<BridgeSide> {
    let mut start = 0.0;
    let mut sides = Vec::new();
    for (index, segment) in segments.iter().enumerate() {
        let (length, from) = (segment.length(), start);
        start += length;
        if segment.is_line() && length >= 1.5 * gap && is_outer(segment, segments) {
            let (least, most) = (0.75 * gap, length - 0.75 * gap);
            sides.push(BridgeSide { segment: index, start: from, least, most });
        }
    }
    sides
}

fn is_outer(side: &Segment, segments: &[Segment]) -> bool {
    let way = (side.end - side.start).normalize();
    let is_left = |point: Point| way.cross(point - side.start) >= -crate::tolerance::COORDINATE;
    segments.iter().all(|s| is_left(s.start) && is_left(s.middle()))
}

/// A straight segment from one share of its length to another; a whole one as it is.
fn part_of(segment: &Segment, from: f64, to: f64) -> Segment {
    let run: Vec2 = segment.end - segment.start;
    match (from, to) {
        (0.0, 1.0) => *segment,
        (0.0, to) => Segment { end: segment.start + run * to, ..*segment },
        (from, 1.0) => Segment { start: segment.start + run * from, ..*segment },
        (from, to) => {
            Segment { start: segment.start + run * from, end: segment.start + run * to, ..*segment }
        }
    }
}

fn joined(segments: impl Iterator<Item = Segment>) -> Vec<Vertex> {
    let mut line: Vec<Vertex> = Vec::new();
    let mut end = None;
    for segment in segments {
        line.push(Vertex { at: segment.start, bulge: segment.bulge });
        end = Some(segment.end);
    }
    line.extend(end.map(|at| Vertex { at, bulge: 0.0 }));
    line
}
