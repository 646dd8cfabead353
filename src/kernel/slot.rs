//! Slots with a drilled end. Every contour is closed and counter-clockwise; all figures are mm.

use std::f64::consts::{FRAC_PI_2, PI};

use kurbo::{Point, Vec2};

use super::polyline::bulge_of;
use super::shape::{in_reach, not_negative, positive, simple};
use super::{Contour, ShapeError, Vertex};
use crate::tolerance::CLOSING;

/// A parallel-sided slot with a drilled end, to be cut in from an edge: a circle of
/// `end_diameter` round `end`, and two walls `width` apart to a flat mouth square across at
/// `mouth`, which belongs past the part's edge. An `end_diameter` larger than `width` makes a
/// keyhole.
///
/// # Errors
/// A size that is not positive, an end smaller than the slot, or a mouth within the drilled end.
///
/// ```
/// use cleatwright::kernel::open_slot;
/// use kurbo::Point;
/// let slot = open_slot(Point::new(50.0, 60.0), Point::new(50.0, -1.0), 12.7, 12.7).unwrap();
/// let half_round = std::f64::consts::PI * 6.35 * 6.35 / 2.0;
/// assert!((slot.area() - (61.0 * 12.7 + half_round)).abs() < 1e-9);
/// ```
pub fn open_slot(
    end: Point,
    mouth: Point,
    width: f64,
    end_diameter: f64,
) -> Result<Contour, ShapeError> {
    let slot = Slot::new(end, mouth, width, end_diameter)?;
    let [lower, upper] = slot.walls_at(slot.length);
    let straight = |p: Point| Vertex { at: p, bulge: 0.0 };
    simple([straight(lower), straight(upper)].into_iter().chain(slot.drilled_end()))
}

/// A slot that widens from a drilled end to the edge it opens to, its sides tangents of the end's
/// circle: `end_diameter` round `end`, `mouth_width` across at `mouth`, and going on alike for
/// `past` mm beyond, which belongs past the part's edge.
///
/// # Errors
/// A size that is not positive, a mouth narrower than the end, or one within the drilled end.
///
/// ```
/// use cleatwright::kernel::tapered_slot;
/// use kurbo::Point;
/// let slot = tapered_slot(Point::new(50.0, 60.0), Point::new(50.0, 0.0), 12.0, 12.0, 1.0).unwrap();
/// // As wide at the mouth as at the end, it is a straight slot.
/// assert!((slot.area() - (61.0 * 12.0 + std::f64::consts::PI * 18.0)).abs() < 1e-9);
/// ```
pub fn tapered_slot(
    end: Point,
    mouth: Point,
    end_diameter: f64,
    mouth_width: f64,
    past: f64,
) -> Result<Contour, ShapeError> {
    not_negative("what a slot runs past the edge", past)?;
    positive("the width of a slot's mouth", mouth_width)?;
    let slot = Slot::new(end, mouth, end_diameter, end_diameter)?;
    if mouth_width < end_diameter - CLOSING {
        return Err(ShapeError::MouthNarrowerThanEnd { mouth_width, end_diameter });
    }
    let half_mouth = (mouth_width / 2.0).max(slot.radius);
    if slot.length <= slot.radius {
        return Err(ShapeError::SlotTooShort { length: slot.length, needs: slot.radius });
    }
    // Direction from the center to where a side touches the circle, from the axis.
    let to_mouth = slot.length.hypot(half_mouth);
    let touch = half_mouth.atan2(slot.length) + (slot.radius / to_mouth).acos();
    let at = |along: f64, aside: f64| slot.at(along, aside);
    let flare = half_mouth + past * (touch - FRAC_PI_2).tan();
    let far = slot.length + past;
    let round = |side: f64| at(slot.radius * touch.cos(), side * slot.radius * touch.sin());
    let bulge = bulge_of(PI - touch);
    let vertex = |at: Point, bulge: f64| Vertex { at, bulge };
    simple([
        vertex(at(far, -flare), 0.0),
        vertex(at(far, flare), 0.0),
        vertex(round(1.0), bulge),
        vertex(at(-slot.radius, 0.0), bulge),
        vertex(round(-1.0), 0.0),
    ])
}

/// A parallel-sided slot with a drilled end whose sides curve outward by `radius` to meet, at
/// `mouth`, an edge that runs square to the slot; it goes on, as wide as the curves make it, for
/// `past` mm beyond.
///
/// # Errors
/// As [`open_slot`]; a radius that is negative or longer than the straight sides.
///
/// ```
/// use cleatwright::kernel::eased_slot;
/// use kurbo::Point;
/// let (end, mouth) = (Point::new(50.0, 60.0), Point::new(50.0, 0.0));
/// let slot = eased_slot(end, mouth, 40.0, 10.0, 5.0).unwrap();
/// let pi = std::f64::consts::PI;
/// let corners = 2.0 * (1.0 - pi / 4.0) * 100.0;
/// assert!((slot.area() - (60.0 * 40.0 + pi * 200.0 + corners + 5.0 * 60.0)).abs() < 1e-9);
/// ```
pub fn eased_slot(
    end: Point,
    mouth: Point,
    width: f64,
    radius: f64,
    past: f64,
) -> Result<Contour, ShapeError> {
    not_negative("what a slot runs past the edge", past)?;
    not_negative("the radius of a slot's mouth", radius)?;
    let slot = Slot::new(end, mouth, width, width)?;
    if slot.length < radius {
        return Err(ShapeError::SlotTooShort { length: slot.length, needs: radius });
    }
    let at = |along: f64, aside: f64| slot.at(along, aside);
    let (narrow, wide) = (slot.half_width, slot.half_width + radius);
    let (near, edge, far) = (slot.length - radius, slot.length, slot.length + past);
    let quarter = bulge_of(-FRAC_PI_2);
    let vertex = |at: Point, bulge: f64| Vertex { at, bulge };
    let mouth = [
        vertex(at(near, -narrow), quarter),
        vertex(at(edge, -wide), 0.0),
        vertex(at(far, -wide), 0.0),
        vertex(at(far, wide), 0.0),
        vertex(at(edge, wide), quarter),
        vertex(at(near, narrow), 0.0),
    ];
    simple(mouth.into_iter().chain(slot.drilled_end()))
}

/// A slot closed at both ends: a circle of `end_diameter` round `from`, a half-round of the
/// slot's `width` round `to`.
///
/// # Errors
/// As [`open_slot`].
pub fn closed_slot(
    from: Point,
    to: Point,
    width: f64,
    end_diameter: f64,
) -> Result<Contour, ShapeError> {
    let slot = Slot::new(from, to, width, end_diameter)?;
    let [lower, upper] = slot.walls_at(slot.length);
    let half_round = [Vertex { at: lower, bulge: 1.0 }, Vertex { at: upper, bulge: 0.0 }];
    simple(half_round.into_iter().chain(slot.drilled_end()))
}

/// What all slots share: axis and drilled end.
struct Slot {
    center: Point,
    /// Unit direction from the drilled end along the slot.
    ahead: Vec2,
    length: f64,
    half_width: f64,
    radius: f64,
    /// How far along the axis from the center the walls leave the drilled circle.
    wall_start: f64,
}

impl Slot {
    fn new(center: Point, other: Point, width: f64, end_diameter: f64) -> Result<Self, ShapeError> {
        for coordinate in [center.x, center.y, other.x, other.y] {
            in_reach("an end of a slot", coordinate)?;
        }
        positive("the width of a slot", width)?;
        positive("the diameter of a slot's end", end_diameter)?;
        if end_diameter < width - CLOSING {
            return Err(ShapeError::EndSmallerThanSlot { end_diameter, width });
        }
        let (half_width, length) = (width / 2.0, (other - center).hypot());
        let radius = (end_diameter / 2.0).max(half_width);
        let wall_start = ((radius - half_width) * (radius + half_width)).sqrt();
        if length <= wall_start + CLOSING {
            return Err(ShapeError::SlotTooShort { length, needs: wall_start });
        }
        let ahead = (other - center) / length;
        Ok(Self { center, ahead, length, half_width, radius, wall_start })
    }

    /// The point `along` mm from the drilled center and `aside` mm to the left of the axis.
    fn at(&self, along: f64, aside: f64) -> Point {
        self.center + self.ahead * along + self.ahead.turn_90() * aside
    }

    /// The points of the right and left wall `along` mm from the drilled center.
    fn walls_at(&self, along: f64) -> [Point; 2] {
        let (on_axis, aside) =
            (self.center + self.ahead * along, self.ahead.turn_90() * self.half_width);
        [on_axis - aside, on_axis + aside]
    }

    /// The drilled end in two arcs, from the left wall round to the right one.
    fn drilled_end(&self) -> [Vertex; 3] {
        let [right, left] = self.walls_at(self.wall_start);
        let half_sweep = self.half_width.atan2(self.wall_start);
        let bulge = bulge_of(PI - half_sweep);
        let far = self.center - self.ahead * self.radius;
        [Vertex { at: left, bulge }, Vertex { at: far, bulge }, Vertex { at: right, bulge: 0.0 }]
    }
}
