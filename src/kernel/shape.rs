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
#[expect(missing_docs, reason = "the messages say it")]
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
        "the slot is {length:.2} mm long from center to center: its drilled end alone takes \
         {needs:.2} mm"
    )]
    SlotTooShort { length: f64, needs: f64 },
    #[error(
        "the mouth of the slot, {mouth_width:.2} mm wide, is narrower than its end of \
         {end_diameter:.2} mm"
    )]
    MouthNarrowerThanEnd { mouth_width: f64, end_diameter: f64 },
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

pub(super) fn not_negative(what: &'static str, value: f64) -> Result<(), ShapeError> {
    in_reach(what, value)?;
    if value >= 0.0 { Ok(()) } else { Err(ShapeError::Negative { what, value }) }
}

pub(super) fn positive(what: &'static str, value: f64) -> Result<(), ShapeError> {
    in_reach(what, value)?;
    if value > 0.0 { Ok(()) } else { Err(ShapeError::NotPositive { what, value }) }
}
