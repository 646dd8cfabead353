//! The shapes parts are built from. Every contour is closed and counter-clockwise; all figures
//! are mm.

use kurbo::{Point, Vec2};

use super::contact::self_contact;
use super::contour::same_point;
use super::polyline::bulge_of;
use super::tidy::tidy;
use super::{Contour, Vertex};
use crate::tolerance::{CLOSING, REACH};

/// Why a shape can't be drawn. All figures in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ShapeError {
    #[error("{what} must be more than 0, not {value:.2} mm")]
    NotPositive { what: &'static str, value: f64 },
    #[error("{what} can't be less than 0, and it is {value:.2} mm")]
    Negative { what: &'static str, value: f64 },
    #[error("{what} can't be {value} mm: everything lies within 100 m")]
    OutOfReach { what: &'static str, value: f64 },
    #[error("a polygon needs three corners, this one has {count}")]
    TooFewCorners { count: usize },
    #[error(
        "the radii at the ends of the side from ({:.1}, {:.1}) to ({:.1}, {:.1}) need {needs:.2} mm, \
         the side is {side:.2} mm long",
        .from.x, .from.y, .to.x, .to.y
    )]
    RadiusTooLarge { from: Point, to: Point, needs: f64, side: f64 },
    #[error(
        "the end of the slot, {end_diameter:.2} mm across, is smaller than its width of {width:.2} mm"
    )]
    EndSmallerThanSlot { end_diameter: f64, width: f64 },
    #[error(
        "the slot is {length:.2} mm long from centre to centre: its drilled end alone takes \
         {needs:.2} mm"
    )]
    SlotTooShort { length: f64, needs: f64 },
    #[error("the outline encloses nothing")]
    Flat,
    #[error("the outline crosses or touches itself at ({:.1}, {:.1})", .at.x, .at.y)]
    SelfCrossing { at: Point },
}

/// A rectangle with a radius for each corner: lower left, lower right, upper right, upper left;
/// 0 is square.
///
/// # Errors
/// A size that is not positive, a negative radius, or two radii too large for the side between.
///
/// ```
/// use cleatwright::kernel::rectangle;
/// use kurbo::Point;
/// let arm = rectangle(Point::ORIGIN, 200.0, 300.0, [0.0, 50.0, 50.0, 0.0]).unwrap();
/// // Each rounded corner takes (1 - pi/4) r² off.
/// let corners = 2.0 * (1.0 - std::f64::consts::FRAC_PI_4) * 2500.0;
/// assert!((arm.area() - (60_000.0 - corners)).abs() < 1e-9);
/// assert!(rectangle(Point::ORIGIN, 80.0, 300.0, [50.0, 50.0, 0.0, 0.0]).is_err());
/// ```
pub fn rectangle(
    lower_left: Point,
    width: f64,
    height: f64,
    radii: [f64; 4],
) -> Result<Contour, ShapeError> {
    positive("the width of a rectangle", width)?;
    positive("the height of a rectangle", height)?;
    let steps = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let corners: Vec<(Point, f64)> =
        steps.into_iter().zip(radii).map(|(step, r)| (lower_left + Vec2::from(step), r)).collect();
    polygon(&corners)
}

/// A polygon with a radius at each corner, 0 for a sharp one; convex or reflex corners, given
/// in either winding. The last corner leads back to the first.
///
/// # Errors
/// Fewer than three corners, a negative radius, radii too large for a side, or an outline that
/// crosses or touches itself, before or after the corners are rounded, or encloses nothing.
pub fn polygon(corners: &[(Point, f64)]) -> Result<Contour, ShapeError> {
    for (at, radius) in corners {
        in_reach("a corner", at.x)?;
        in_reach("a corner", at.y)?;
        not_negative("the radius of a corner", *radius)?;
    }
    let mut corners = without_repeats(corners);
    if corners.len() < 3 {
        return Err(ShapeError::TooFewCorners { count: corners.len() });
    }
    let sharp = simple(corners.iter().map(|(at, _)| Vertex::line(at.x, at.y)))?;
    if sharp.area() < 0.0 {
        corners.reverse();
    }
    let rounded: Vec<Rounded> = (0..corners.len()).map(|i| Rounded::new(&corners, i)).collect();
    room_on_sides(&rounded)?;
    simple(rounded.iter().flat_map(Rounded::vertices))
}

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

/// `count` places, the first at `start`, each a `step` on from the one before.
///
/// ```
/// use cleatwright::kernel::along;
/// use kurbo::{Point, Vec2};
/// let places: Vec<Point> = along(Point::new(50.8, 25.4), Vec2::new(50.8, 0.0), 12).collect();
/// assert_eq!(places.len(), 12);
/// assert!((places[11].x - 12.0 * 50.8).abs() < 1e-9);
/// ```
pub fn along(start: Point, step: Vec2, count: usize) -> impl Iterator<Item = Point> + Clone {
    // Multiplied, not summed, so that the last place is as exact as the first.
    (0..count).map(move |i| start + step * i as f64)
}

/// A corner of a polygon with the circle that rounds it.
struct Rounded {
    at: Point,
    /// Unit directions of the sides that come in and go out.
    sides: (Vec2, Vec2),
    /// How far from the corner the arc meets the sides: radius × tan(turn / 2).
    setback: f64,
    /// Signed turn in radians, positive to the left.
    turn: f64,
    /// Length of the side that goes out.
    side: f64,
}

impl Rounded {
    fn new(corners: &[(Point, f64)], index: usize) -> Self {
        let count = corners.len();
        let (at, radius) = corners[index];
        let (before, after) =
            (corners[(index + count - 1) % count].0, corners[(index + 1) % count].0);
        let sides = ((at - before).normalize(), (after - at).normalize());
        let turn = sides.0.cross(sides.1).atan2(sides.0.dot(sides.1));
        let setback = radius * (turn.abs() / 2.0).tan();
        Self { at, sides, setback, turn, side: (after - at).hypot() }
    }

    fn vertices(&self) -> [Vertex; 2] {
        [
            Vertex { at: self.at - self.sides.0 * self.setback, bulge: bulge_of(self.turn) },
            Vertex { at: self.at + self.sides.1 * self.setback, bulge: 0.0 },
        ]
    }
}

fn room_on_sides(corners: &[Rounded]) -> Result<(), ShapeError> {
    for (this, next) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        let needs = this.setback + next.setback;
        if needs > this.side + CLOSING {
            let (from, to) = (this.at, next.at);
            return Err(ShapeError::RadiusTooLarge { from, to, needs, side: this.side });
        }
    }
    Ok(())
}

/// What open and closed slots share: axis and drilled end.
struct Slot {
    centre: Point,
    /// Unit direction from the drilled end along the slot.
    ahead: Vec2,
    length: f64,
    half_width: f64,
    radius: f64,
    /// How far along the axis from the centre the walls leave the drilled circle.
    wall_start: f64,
}

impl Slot {
    fn new(centre: Point, other: Point, width: f64, end_diameter: f64) -> Result<Self, ShapeError> {
        for coordinate in [centre.x, centre.y, other.x, other.y] {
            in_reach("an end of a slot", coordinate)?;
        }
        positive("the width of a slot", width)?;
        positive("the diameter of a slot's end", end_diameter)?;
        if end_diameter < width - CLOSING {
            return Err(ShapeError::EndSmallerThanSlot { end_diameter, width });
        }
        let (half_width, length) = (width / 2.0, (other - centre).hypot());
        let radius = (end_diameter / 2.0).max(half_width);
        let wall_start = ((radius - half_width) * (radius + half_width)).sqrt();
        if length <= wall_start + CLOSING {
            return Err(ShapeError::SlotTooShort { length, needs: wall_start });
        }
        let ahead = (other - centre) / length;
        Ok(Self { centre, ahead, length, half_width, radius, wall_start })
    }

    /// The points of the right and left wall `along` mm from the drilled centre.
    fn walls_at(&self, along: f64) -> [Point; 2] {
        let (on_axis, aside) =
            (self.centre + self.ahead * along, self.ahead.turn_90() * self.half_width);
        [on_axis - aside, on_axis + aside]
    }

    /// The drilled end in two arcs, from the left wall round to the right one.
    fn drilled_end(&self) -> [Vertex; 3] {
        let [right, left] = self.walls_at(self.wall_start);
        let half_sweep = self.half_width.atan2(self.wall_start);
        let bulge = bulge_of(std::f64::consts::PI - half_sweep);
        let far = self.centre - self.ahead * self.radius;
        [Vertex { at: left, bulge }, Vertex { at: far, bulge }, Vertex { at: right, bulge: 0.0 }]
    }
}

/// The contour through `vertices`, counter-clockwise, if it does not meet itself.
pub(super) fn simple(vertices: impl IntoIterator<Item = Vertex>) -> Result<Contour, ShapeError> {
    let contour = tidy(vertices).ok_or(ShapeError::Flat)?;
    if let Some(at) = self_contact(&contour) {
        return Err(ShapeError::SelfCrossing { at });
    }
    if contour.is_sliver() { Err(ShapeError::Flat) } else { Ok(contour.counter_clockwise()) }
}

fn without_repeats(corners: &[(Point, f64)]) -> Vec<(Point, f64)> {
    let mut kept: Vec<(Point, f64)> = Vec::new();
    for corner in corners {
        if kept.last().is_none_or(|last| !same_point(last.0, corner.0)) {
            kept.push(*corner);
        }
    }
    while let [first, .., last] = kept.as_slice()
        && same_point(first.0, last.0)
    {
        kept.pop();
    }
    kept
}

pub(super) fn in_reach(what: &'static str, value: f64) -> Result<(), ShapeError> {
    // Written so that it holds for what is not a number as well.
    if value.abs() <= REACH { Ok(()) } else { Err(ShapeError::OutOfReach { what, value }) }
}

fn not_negative(what: &'static str, value: f64) -> Result<(), ShapeError> {
    in_reach(what, value)?;
    if value >= 0.0 { Ok(()) } else { Err(ShapeError::Negative { what, value }) }
}

fn positive(what: &'static str, value: f64) -> Result<(), ShapeError> {
    in_reach(what, value)?;
    if value > 0.0 { Ok(()) } else { Err(ShapeError::NotPositive { what, value }) }
}
