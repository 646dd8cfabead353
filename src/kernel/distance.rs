//! Least distances between segments, contours and points: exact for lines and arcs.

use kurbo::{Point, Vec2};

use super::{Arc, Contour, Region, Segment};
use crate::tolerance::COORDINATE;

/// A straight way from one thing to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// On the first thing.
    pub from: Point,
    /// On the second thing.
    pub to: Point,
}

impl Gap {
    /// In mm.
    pub fn width(&self) -> f64 {
        (self.to - self.from).hypot()
    }

    fn turned(self) -> Self {
        Self { from: self.to, to: self.from }
    }
}

impl Segment {
    /// The point of the segment nearest to `point`.
    pub fn nearest(&self, point: Point) -> Point {
        let Some(arc) = self.arc() else {
            let run = self.end - self.start;
            let along = (point - self.start).dot(run) / run.hypot2();
            return self.start + run * if along.is_finite() { along.clamp(0.0, 1.0) } else { 0.0 };
        };
        let out = point - arc.center;
        if out != Vec2::ZERO && arc.covers(out.atan2()) {
            return arc.center + out.normalize() * arc.radius;
        }
        let to_start = (point - self.start).hypot2();
        if to_start <= (point - self.end).hypot2() { self.start } else { self.end }
    }

    /// How far along it its point nearest to `point` is, as a share of its length, 0 to 1.
    pub(crate) fn nearest_share(&self, point: Point) -> f64 {
        let nearest = self.nearest(point);
        let length = self.length();
        let passed = match self.arc() {
            None => (nearest - self.start).hypot(),
            Some(arc) => {
                let turned = (nearest - arc.center).atan2() - arc.start_angle;
                // On the start itself the turn may come out as a hair less than all round.
                let turned = (turned * arc.sweep.signum()).rem_euclid(std::f64::consts::TAU);
                if turned <= arc.sweep.abs() { arc.radius * turned } else { 0.0 }
            }
        };
        if length > 0.0 { (passed / length).clamp(0.0, 1.0) } else { 0.0 }
    }

    /// Every way to `other` that could be a shortest one nearby: from each end, along common
    /// perpendiculars, and where they cross.
    pub(crate) fn gaps(&self, other: &Self) -> Vec<Gap> {
        let from_ends = [self.start, self.end].map(|p| Gap { from: p, to: other.nearest(p) });
        let to_ends = [other.start, other.end].map(|p| Gap { from: self.nearest(p), to: p });
        let crossings = crossings(self, other).into_iter().map(|p| Gap { from: p, to: p });
        from_ends
            .into_iter()
            .chain(to_ends)
            .chain(perpendiculars(self, other))
            .chain(crossings)
            .collect()
    }
}

impl Contour {
    /// Least distance from `point` to the contour's line in mm, inside or outside.
    pub fn distance_to(&self, point: Point) -> f64 {
        self.segments().map(|s| (s.nearest(point) - point).hypot()).fold(f64::INFINITY, f64::min)
    }
}

impl Region {
    /// Whether there is wood at `point`.
    pub fn contains(&self, point: Point) -> bool {
        self.outline().contains(point) && !self.openings().iter().any(|o| o.contains(point))
    }

    /// How much wood there is round `point`, in mm: the distance to the nearest edge, negative
    /// where there is no wood.
    pub fn room_at(&self, point: Point) -> f64 {
        let edge = self.contours().map(|c| c.distance_to(point)).fold(f64::INFINITY, f64::min);
        if self.contains(point) { edge } else { -edge }
    }

    /// Whether `point` is off the wood, and not on its edge.
    fn is_beyond(&self, point: Point) -> bool {
        !self.contains(point) && self.room_at(point) < -COORDINATE
    }

    /// How far a straight line stays in the wood that leaves `from`, a point on an edge or in the wood, on the
    /// unit vector `way`: in mm, edges that it runs along counted as wood.
    pub(crate) fn wood_ahead(&self, from: Point, way: Vec2) -> f64 {
        let far = self.bounds().size().to_vec2().hypot() + 1.0;
        let line = Segment { start: from, end: from + way * far, bulge: 0.0 };
        let along = |at: Point| (at - from).dot(way);
        let mut stops: Vec<f64> = Vec::new();
        for edge in self.contours().flat_map(Contour::segments) {
            let [off, end_off] = [edge.start, edge.end].map(|at| (at - from).cross(way));
            // A straight edge all on one side is not met.
            let beside = edge.bulge == 0.0 && off * end_off > 0.0;
            if !beside || off.abs().min(end_off.abs()) <= COORDINATE {
                stops.extend(crossings(&line, &edge).into_iter().map(along));
            }
            // A corner on the line may count for neither of its edges.
            stops.extend((off.abs() <= COORDINATE).then(|| along(edge.start)));
        }
        stops.retain(|stop| *stop > COORDINATE);
        stops.sort_by(f64::total_cmp);
        let mut within = 0.0;
        for stop in stops {
            let middle = from + way * f64::midpoint(within, stop);
            if stop - within > COORDINATE && self.is_beyond(middle) {
                break;
            }
            within = stop;
        }
        within
    }
}

/// Ways square to both segments at both ends, away from their end points. Two parallel lines or
/// two arcs of one center have none that an end point does not show as well.
fn perpendiculars(a: &Segment, b: &Segment) -> Vec<Gap> {
    match (a.arc(), b.arc()) {
        (None, None) => Vec::new(),
        (None, Some(arc)) => line_to_arc(a, &arc),
        (Some(arc), None) => line_to_arc(b, &arc).into_iter().map(Gap::turned).collect(),
        (Some(one), Some(two)) => arc_to_arc(&one, &two),
    }
}

fn line_to_arc(line: &Segment, arc: &Arc) -> Vec<Gap> {
    let run = line.end - line.start;
    let along = (arc.center - line.start).dot(run) / run.hypot2();
    if !(0.0..=1.0).contains(&along) {
        return Vec::new();
    }
    let foot = line.start + run * along;
    on_arc(arc, run.turn_90()).map(|to| Gap { from: foot, to }).collect()
}

fn arc_to_arc(one: &Arc, two: &Arc) -> Vec<Gap> {
    let axis = two.center - one.center;
    on_arc(one, axis).flat_map(|from| on_arc(two, axis).map(move |to| Gap { from, to })).collect()
}

/// The points of an arc straight ahead and straight behind its center.
fn on_arc(arc: &Arc, axis: Vec2) -> impl Iterator<Item = Point> {
    let arc = *arc;
    [axis, -axis]
        .into_iter()
        .filter(move |v| *v != Vec2::ZERO && arc.covers(v.atan2()))
        .map(move |v| arc.center + v.normalize() * arc.radius)
}

/// Where two segments cross, but for overlaps, which their end points show.
fn crossings(a: &Segment, b: &Segment) -> Vec<Point> {
    match (a.arc(), b.arc()) {
        (None, None) => lines_cross(a, b).into_iter().collect(),
        (None, Some(arc)) => line_crosses_arc(a, &arc),
        (Some(arc), None) => line_crosses_arc(b, &arc),
        (Some(one), Some(two)) => arcs_cross(&one, &two),
    }
}

fn lines_cross(a: &Segment, b: &Segment) -> Option<Point> {
    let (u, v) = (a.end - a.start, b.end - b.start);
    let turn = u.cross(v);
    let apart = b.start - a.start;
    let (along_a, along_b) = (apart.cross(v) / turn, apart.cross(u) / turn);
    let within = 0.0..=1.0;
    (within.contains(&along_a) && within.contains(&along_b)).then(|| a.start + u * along_a)
}

fn line_crosses_arc(line: &Segment, arc: &Arc) -> Vec<Point> {
    let run = line.end - line.start;
    let middle = (arc.center - line.start).dot(run) / run.hypot2();
    let off = (line.start + run * middle - arc.center).hypot();
    let half_chord = (arc.radius * arc.radius - off * off).sqrt() / run.hypot();
    [middle - half_chord, middle + half_chord]
        .into_iter()
        .filter(|t| (0.0..=1.0).contains(t))
        .map(|t| line.start + run * t)
        .filter(|p| arc.covers((*p - arc.center).atan2()))
        .collect()
}

/// Circles of radii r and s, d apart, cross at (d² + r² − s²) / 2d along the line of centers.
fn arcs_cross(one: &Arc, two: &Arc) -> Vec<Point> {
    let axis = two.center - one.center;
    let apart = axis.hypot();
    let along = (apart * apart + one.radius * one.radius - two.radius * two.radius) / (2.0 * apart);
    let off = (one.radius * one.radius - along * along).sqrt();
    if !(along.is_finite() && off.is_finite()) {
        return Vec::new();
    }
    let ahead = axis / apart;
    [off, -off]
        .map(|side| one.center + ahead * along + ahead.turn_90() * side)
        .into_iter()
        .filter(|p| [one, two].iter().all(|arc| arc.covers((*p - arc.center).atan2())))
        .collect()
}
