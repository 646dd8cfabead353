//! A closed contour of true lines and circular arcs.

use kurbo::{Affine, Point, Rect, Vec2};

use crate::tolerance;

/// One corner of a contour and the way to the next one.
///
/// `bulge` is the tangent of a quarter of the sweep to the next vertex (the DXF reference's
/// definition): 0 is a straight line, 1 a half circle, positive turns counter-clockwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Where the segment starts, in mm.
    pub at: Point,
    /// Tangent of a quarter of the sweep to the next vertex.
    pub bulge: f64,
}

impl Vertex {
    /// A vertex followed by a straight line.
    pub fn line(x: f64, y: f64) -> Self {
        Self { at: Point::new(x, y), bulge: 0.0 }
    }

    /// A vertex followed by an arc of the given bulge.
    pub fn arc(x: f64, y: f64, bulge: f64) -> Self {
        Self { at: Point::new(x, y), bulge }
    }
}

/// A stretch of a contour: a line (`bulge` 0) or a circular arc, from `start` to `end`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Segment {
    /// First point, in mm.
    pub start: Point,
    /// Last point, in mm.
    pub end: Point,
    /// Tangent of a quarter of the sweep; positive is counter-clockwise.
    pub bulge: f64,
}

/// The circle an arc lies on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Center, in mm.
    pub center: Point,
    /// Radius, in mm.
    pub radius: f64,
    /// Angle of the start point, in radians.
    pub start_angle: f64,
    /// Signed sweep in radians; positive is counter-clockwise.
    pub sweep: f64,
}

impl Segment {
    /// Whether this is a straight line.
    pub fn is_line(&self) -> bool {
        self.bulge == 0.0
    }

    /// The circle under an arc; `None` for a straight line.
    ///
    /// Center and radius follow from chord and bulge: sagitta = bulge × chord / 2.
    pub fn arc(&self) -> Option<Arc> {
        if self.is_line() {
            return None;
        }
        let chord = self.end - self.start;
        let b = self.bulge;
        let to_center = Vec2::new(-chord.y, chord.x) * ((1.0 - b * b) / (4.0 * b));
        let center = self.start.midpoint(self.end) + to_center;
        Some(Arc {
            center,
            radius: chord.hypot() * (1.0 + b * b) / (4.0 * b.abs()),
            start_angle: (self.start - center).atan2(),
            sweep: 4.0 * b.atan(),
        })
    }

    /// Unit direction of travel at `point`, which is taken to lie on the segment.
    pub fn direction_at(&self, point: Point) -> Vec2 {
        match self.arc() {
            Some(arc) => (point - arc.center).turn_90().normalize() * self.bulge.signum(),
            None => (self.end - self.start).normalize(),
        }
    }

    /// The point half way along.
    pub fn middle(&self) -> Point {
        self.arc().map_or_else(
            || self.start.midpoint(self.end),
            |arc| arc.point(arc.start_angle + arc.sweep / 2.0),
        )
    }

    /// The point at a `share` of its length from the start, 0 to 1.
    pub fn point_at(&self, share: f64) -> Point {
        self.arc().map_or_else(
            || self.start.lerp(self.end, share),
            |arc| arc.point(arc.start_angle + arc.sweep * share),
        )
    }

    /// The stretch from one share of its length to another. The tangent of a quarter of a part of the sweep is its
    /// bulge.
    pub fn stretch(&self, from: f64, to: f64) -> Self {
        let at = |share: f64| match share {
            0.0 => self.start,
            1.0 => self.end,
            share => self.point_at(share),
        };
        let bulge = if self.is_line() { 0.0 } else { (self.bulge.atan() * (to - from)).tan() };
        Self { start: at(from), end: at(to), bulge }
    }

    /// Length along the segment, in mm.
    pub fn length(&self) -> f64 {
        match self.arc() {
            Some(arc) => arc.radius * arc.sweep.abs(),
            None => (self.end - self.start).hypot(),
        }
    }

    /// The smallest upright box around the segment.
    pub fn bounds(&self) -> Rect {
        let mut rect = Rect::from_points(self.start, self.end);
        if let Some(arc) = self.arc() {
            for quarter in 0..4 {
                let angle = f64::from(quarter) * std::f64::consts::FRAC_PI_2;
                if arc.covers(angle) {
                    rect = rect.union_pt(arc.center + Vec2::from_angle(angle) * arc.radius);
                }
            }
        }
        rect
    }

    /// Twice the signed area between the segment and the origin.
    fn double_area(&self) -> f64 {
        let chord = self.start.to_vec2().cross(self.end.to_vec2());
        let bow = self.arc().map_or(0.0, |a| a.radius * a.radius * (a.sweep - a.sweep.sin()));
        chord + bow
    }

    /// Points along the segment after `start` up to and with `end`, none further than
    /// `tolerance` mm from the true arc.
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        let Some(arc) = self.arc() else { return vec![self.end] };
        let step = 2.0 * (1.0 - (tolerance / arc.radius).min(1.0)).acos();
        let count = (arc.sweep.abs() / step).ceil().max(1.0);
        let mut points: Vec<Point> = (1..count as usize)
            .map(|i| arc.point(arc.start_angle + arc.sweep * i as f64 / count))
            .collect();
        points.push(self.end);
        points
    }
}

impl Arc {
    /// The point of the circle at `angle` radians.
    pub fn point(&self, angle: f64) -> Point {
        self.center + Vec2::from_angle(angle) * self.radius
    }

    /// Whether the direction `angle` (radians) from the center falls within the sweep.
    pub fn covers(&self, angle: f64) -> bool {
        let turn = std::f64::consts::TAU;
        let along =
            if self.sweep > 0.0 { angle - self.start_angle } else { self.start_angle - angle };
        along.rem_euclid(turn) <= self.sweep.abs()
    }
}

/// A closed contour. Closed by construction: the last vertex leads back to the first, and the
/// first is not repeated. Whether it winds counter-clockwise (an outline) or clockwise (an
/// opening) is told by [`Contour::area`]'s sign.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    vertices: Vec<Vertex>,
}

impl Contour {
    /// A contour through `vertices`, with repeated points dropped.
    ///
    /// `None` when fewer than two different points are left, or when any number is not finite.
    pub fn new(vertices: impl IntoIterator<Item = Vertex>) -> Option<Self> {
        let mut kept: Vec<Vertex> = Vec::new();
        for vertex in vertices {
            if !(vertex.at.is_finite() && vertex.bulge.is_finite()) {
                return None;
            }
            match kept.last_mut() {
                Some(last) if same_point(last.at, vertex.at) => last.bulge = vertex.bulge,
                _ => kept.push(vertex),
            }
        }
        while kept.len() > 1 && same_point(kept[0].at, kept[kept.len() - 1].at) {
            kept.pop();
        }
        (kept.len() >= 2).then_some(Self { vertices: kept })
    }

    /// A full circle as two half-circle arcs, counter-clockwise, starting at its rightmost point.
    pub fn circle(center: Point, radius: f64) -> Self {
        Self {
            vertices: vec![
                Vertex::arc(center.x + radius, center.y, 1.0),
                Vertex::arc(center.x - radius, center.y, 1.0),
            ],
        }
    }

    /// The vertices in order; the last leads back to the first.
    pub fn vertices(&self) -> &[Vertex] {
        &self.vertices
    }

    /// The segments in order, the closing one last.
    pub fn segments(&self) -> impl Iterator<Item = Segment> + '_ {
        let next = self.vertices.iter().cycle().skip(1);
        self.vertices.iter().zip(next).map(|(a, b)| Segment {
            start: a.at,
            end: b.at,
            bulge: a.bulge,
        })
    }

    /// Signed area in mm²: positive when counter-clockwise. Exact for arcs.
    pub fn area(&self) -> f64 {
        self.segments().map(|s| s.double_area()).sum::<f64>() / 2.0
    }

    /// Length all the way round, in mm.
    pub fn perimeter(&self) -> f64 {
        self.segments().map(|s| s.length()).sum()
    }

    /// The smallest upright box around the contour.
    pub fn bounds(&self) -> Rect {
        let first = Rect::from_points(self.vertices[0].at, self.vertices[0].at);
        self.segments().fold(first, |rect, s| rect.union(s.bounds()))
    }

    /// The same contour run through the other way.
    // A line's bulge is taken from 0, for its negative would be written "-0".
    pub fn reversed(&self) -> Self {
        let mut vertices: Vec<Vertex> =
            self.segments().map(|s| Vertex { at: s.end, bulge: 0.0 - s.bulge }).collect();
        vertices.reverse();
        Self { vertices }
    }

    /// The same contour begun on another of its segments, at a `share` of its length.
    pub fn begun_at(&self, segment: usize, share: f64) -> Self {
        let mut segments: Vec<Segment> = self.segments().collect();
        let count = segments.len();
        segments.rotate_left(segment % count);
        let first = segments[0];
        segments[0] = first.stretch(share, 1.0);
        segments.push(first.stretch(0.0, share));
        let corner = |segment: &Segment| Vertex { at: segment.start, bulge: segment.bulge };
        Self::new(segments.iter().map(corner)).unwrap_or_else(|| self.clone())
    }

    /// The contour wound counter-clockwise.
    pub fn counter_clockwise(self) -> Self {
        if self.area() < 0.0 { self.reversed() } else { self }
    }

    /// The contour wound clockwise.
    pub fn clockwise(self) -> Self {
        if self.area() > 0.0 { self.reversed() } else { self }
    }

    /// Moved, turned or mirrored by `map`, which must keep shapes (no stretch, no shear).
    /// A mirror turns the winding round.
    // Adding 0 makes a mirrored line's bulge 0 again, and not "-0".
    pub fn transformed(&self, map: Affine) -> Self {
        let flip = map.determinant().signum();
        let vertices = self
            .vertices
            .iter()
            .map(|v| Vertex { at: map * v.at, bulge: v.bulge * flip + 0.0 })
            .collect();
        Self { vertices }
    }

    /// The contour as a closed polygon (first point not repeated), none of whose sides stands
    /// further than `tolerance` mm off the true arc.
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        let mut points: Vec<Point> = self.segments().flat_map(|s| s.flatten(tolerance)).collect();
        points.rotate_right(1);
        points
    }
}

pub(super) fn same_point(a: Point, b: Point) -> bool {
    (a - b).hypot() <= tolerance::CLOSING
}
