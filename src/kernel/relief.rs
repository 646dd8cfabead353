//! Dog-bone relief: the extra bite of a round bit that lets a square corner seat fully.

use std::collections::BTreeMap;
use std::f64::consts::{FRAC_1_SQRT_2, PI};

use kurbo::{Point, Vec2};

use super::cut::sliver_area;
use super::{Contour, CutError, Region, Segment};
use crate::tolerance::{COORDINATE, RELIEF_SLACK};

/// Where the extra bite is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Relief {
    /// At the corner: a circle through the corner, its center on the bisector. The smallest bite.
    Corner,
    /// Along one side: a circle through the corner, its center on the longer side's line, so that
    /// the shorter side (the end of a tenon, which shows or bears) stays whole. On equal sides
    /// the bite goes along the one that runs more along x. Corners that are not square get
    /// [`Relief::Corner`], for there a circle on one side's line need not clear the other.
    Side,
    /// No bite: the corners are squared by hand.
    None,
}

impl Relief {
    /// How far a bite with a circle of `radius` mm reaches at most past a side of a square corner, in mm.
    pub(crate) fn bite(self, radius: f64) -> f64 {
        match self {
            Self::Corner => radius * (1.0 - FRAC_1_SQRT_2),
            Self::Side => radius,
            Self::None => 0.0,
        }
    }
}

/// Why a corner can't be relieved. All figures in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum ReliefError {
    #[error("a bit of {bit:.2} mm can't relieve a corner")]
    NoBit { bit: f64 },
    #[error(
        "a bit of {bit:.2} mm does not fit the corner at ({:.1}, {:.1}): there is room for {room:.2} mm",
        .at.x, .at.y
    )]
    BitTooLarge { at: Point, bit: f64, room: f64 },
    #[error(
        "the reliefs along the side from ({:.1}, {:.1}) to ({:.1}, {:.1}) need {needs:.2} mm, the side \
         is {side:.2} mm long",
        .from.x, .from.y, .to.x, .to.y
    )]
    SideTooShort { from: Point, to: Point, needs: f64, side: f64 },
    #[error(
        "the corner at ({:.1}, {:.1}) is {degrees:.0} degrees: no round bit clears one sharper than \
         60 degrees",
        .at.x, .at.y
    )]
    TooAcute { at: Point, degrees: f64 },
    #[error("the seat at ({:.1}, {:.1}) lies {depth:.2} mm inside the wood", .at.x, .at.y)]
    NotOpened { at: Point, depth: f64 },
    #[error(
        "the relief at ({:.1}, {:.1}), {diameter:.2} mm across, breaks out into another cut or edge",
        .at.x, .at.y
    )]
    BreaksOut { at: Point, diameter: f64 },
    #[error("relief at ({:.1}, {:.1}): {error}", .at.x, .at.y)]
    Cut { at: Point, error: CutError },
}

/// `region` with each seat relieved that is still a sharp inside corner between two straight
/// sides, for a part with a corner of the same angle. The circle's radius is half the `bit` plus
/// [`RELIEF_SLACK`].
///
/// A seat that another cut already opened, one on an edge that is no inside corner, and one
/// that is all but straight get none.
///
/// # Errors
/// A seat inside the wood (a rounded corner, or no opening at all), and any corner where the bit
/// or the bite does not fit; see [`ReliefError`].
///
/// ```
/// use cleatwright::kernel::{Region, Relief, rectangle, relieve};
/// use cleatwright::tolerance::RELIEF_SLACK;
/// use kurbo::Point;
/// let board = rectangle(Point::ORIGIN, 200.0, 100.0, [0.0; 4]).unwrap();
/// let corner = Point::new(60.0, 30.0);
/// let mortise = rectangle(corner, 80.0, 40.0, [0.0; 4]).unwrap();
/// let plain = Region::new(board, vec![mortise]);
/// let relieved = relieve(&plain, &[corner], Relief::Corner, 6.35).unwrap();
/// // In a square corner the bite is r² (pi/2 - 1).
/// let r = 6.35 / 2.0 + RELIEF_SLACK;
/// let bite = r * r * (std::f64::consts::FRAC_PI_2 - 1.0);
/// assert!((plain.area() - relieved.area() - bite).abs() < 1e-6);
/// ```
pub fn relieve(
    region: &Region,
    seats: &[Point],
    relief: Relief,
    bit: f64,
) -> Result<Region, ReliefError> {
    if relief == Relief::None {
        return Ok(region.clone());
    }
    if !(bit.is_finite() && bit > 0.0) {
        return Err(ReliefError::NoBit { bit });
    }
    let radius = bit / 2.0 + RELIEF_SLACK;
    let bites = bites(region, seats, relief, radius)?;
    for bite in &bites {
        bite.check_bit(bit)?;
    }
    check_sides(&bites)?;
    bites.iter().try_fold(region.clone(), |region, bite| bite.take(&region))
}

/// An inside corner between two straight sides, the wood on their left.
#[derive(Debug, Clone, Copy)]
struct Corner {
    at: Point,
    /// Contour and segment that leads in, and its like that leads out: which sides these are.
    sides: [(usize, usize); 2],
    /// The sides themselves.
    segments: [Segment; 2],
    /// Whether each side ends in another inside corner, so that it is a wall between two others.
    walled: [bool; 2],
    /// Angle of the open space, in radians.
    angle: f64,
}

/// A circle to cut, and what it takes from where.
struct Bite {
    corner: Corner,
    center: Point,
    radius: f64,
    /// How much of each side it takes, in mm.
    setbacks: [f64; 2],
    /// How much wood it takes, in mm².
    area: f64,
}

fn bites(
    region: &Region,
    seats: &[Point],
    relief: Relief,
    radius: f64,
) -> Result<Vec<Bite>, ReliefError> {
    let corners = inside_corners(region);
    let mut chosen = BTreeMap::new();
    for seat in seats {
        match corners.iter().find(|c| (c.at - *seat).hypot() <= COORDINATE) {
            Some(corner) => _ = chosen.insert(corner.sides[0], *corner),
            None => open_already(region, *seat)?,
        }
    }
    let bites = chosen.into_values().map(|corner| Bite::new(corner, relief, radius));
    let nothing = sliver_area(&Contour::circle(Point::ORIGIN, radius));
    Ok(bites.collect::<Result<Vec<_>, _>>()?.into_iter().filter(|b| b.area > nothing).collect())
}

fn open_already(region: &Region, seat: Point) -> Result<(), ReliefError> {
    let depth = region.room_at(seat);
    if depth > COORDINATE { Err(ReliefError::NotOpened { at: seat, depth }) } else { Ok(()) }
}

fn inside_corners(region: &Region) -> Vec<Corner> {
    let mut corners = Vec::new();
    for (contour, line) in region.contours().enumerate() {
        let segments: Vec<Segment> = line.segments().collect();
        let count = segments.len();
        let turns_in = |i: usize| {
            let (a, b) = (segments[i % count], segments[(i + 1) % count]);
            a.direction_at(a.end).cross(b.direction_at(b.start)) < 0.0
        };
        for (i, before) in segments.iter().enumerate() {
            let after = segments[(i + 1) % count];
            if !(before.is_line() && after.is_line() && turns_in(i)) {
                continue;
            }
            let (back, ahead) = (-before.direction_at(before.end), after.direction_at(after.start));
            corners.push(Corner {
                at: before.end,
                sides: [(contour, i), (contour, (i + 1) % count)],
                segments: [*before, after],
                walled: [turns_in(i + count - 1), turns_in(i + 1)],
                angle: back.cross(ahead).abs().atan2(back.dot(ahead)),
            });
        }
    }
    corners
}

impl Corner {
    /// Unit directions from the corner along its two sides.
    fn ways(&self) -> [Vec2; 2] {
        let [before, after] = &self.segments;
        [-before.direction_at(before.end), after.direction_at(after.start)]
    }

    fn is_square(&self) -> bool {
        (self.angle - PI / 2.0).abs() < 1e-6
    }

    /// Which side to bite along: the longer one, else the one more along x.
    fn longer_side(&self) -> usize {
        let [before, after] = self.segments.map(|s| s.length());
        let [back, ahead] = self.ways();
        let second = if (before - after).abs() <= COORDINATE {
            ahead.x.abs() > back.x.abs()
        } else {
            after > before
        };
        usize::from(second)
    }
}

impl Bite {
    fn new(corner: Corner, relief: Relief, radius: f64) -> Result<Self, ReliefError> {
        let angle = corner.angle;
        if angle < PI / 3.0 - 1e-6 {
            return Err(ReliefError::TooAcute { at: corner.at, degrees: angle.to_degrees() });
        }
        if relief == Relief::Side && corner.is_square() {
            return Ok(Self::along_side(corner, radius));
        }
        let [back, ahead] = corner.ways();
        // The circle's chords along the sides stand at half the angle to the bisector; each cuts
        // off a segment of central angle pi - angle.
        let setback = 2.0 * radius * (angle / 2.0).cos();
        Ok(Self {
            corner,
            center: corner.at + (back + ahead).normalize() * radius,
            radius,
            setbacks: [setback, setback],
            area: radius * radius * (PI - angle - angle.sin()),
        })
    }

    /// A half circle past the side bitten along; the other side is tangent at the corner.
    fn along_side(corner: Corner, radius: f64) -> Self {
        let side = corner.longer_side();
        let mut setbacks = [0.0; 2];
        setbacks[side] = 2.0 * radius;
        Self {
            corner,
            center: corner.at + corner.ways()[side] * radius,
            radius,
            setbacks,
            area: PI * radius * radius / 2.0,
        }
    }

    /// The bit must pass between the walls at the far ends of both sides.
    fn check_bit(&self, bit: f64) -> Result<(), ReliefError> {
        let corner = &self.corner;
        for (side, walled) in corner.segments.iter().zip(corner.walled) {
            let room = side.length();
            if walled && room < bit - COORDINATE {
                return Err(ReliefError::BitTooLarge { at: corner.at, bit, room });
            }
        }
        Ok(())
    }

    /// Cuts the circle. It must take its whole bite: one that takes less runs out into a space
    /// that was open already, or takes with it the wood between two cuts.
    fn take(&self, region: &Region) -> Result<Region, ReliefError> {
        let at = self.corner.at;
        let circle = Contour::circle(self.center, self.radius);
        let cut = region.cut(&circle).map_err(|error| ReliefError::Cut { at, error })?;
        let taken = region.area() - cut.area();
        if (taken - self.area).abs() > sliver_area(&circle) {
            return Err(ReliefError::BreaksOut { at, diameter: 2.0 * self.radius });
        }
        Ok(cut)
    }
}

/// The bites on one side must leave some of it.
fn check_sides(bites: &[Bite]) -> Result<(), ReliefError> {
    let mut needs: BTreeMap<(usize, usize), (Segment, f64)> = BTreeMap::new();
    for bite in bites {
        let corner = &bite.corner;
        for ((key, segment), setback) in corner.sides.iter().zip(corner.segments).zip(bite.setbacks)
        {
            needs.entry(*key).or_insert((segment, 0.0)).1 += setback;
        }
    }
    for (segment, needs) in needs.into_values() {
        let side = segment.length();
        if needs > side - COORDINATE {
            let (from, to) = (segment.start, segment.end);
            return Err(ReliefError::SideTooShort { from, to, needs, side });
        }
    }
    Ok(())
}
