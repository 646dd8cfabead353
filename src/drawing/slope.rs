//! Sides that run askew: the angle of each slope, and the sharp corners that it is laid out by.

use kurbo::{Point, Vec2};

use super::Line;
use super::angle;
use super::canvas::{Canvas, Label};
use super::dimension::FIGURE;
use super::near::{self, WoodArea};
use crate::holder::{Feature, MarkKind, Part, Row, SlotForm};
use crate::kernel::{Contour, Segment};
use crate::length::{Quantity, Units};

/// A side shorter than this, in mm, is none to lay out by itself.
const SHORTEST: f64 = 1.0;

/// More slopes than anybody would set a bevel gauge to: such an outline was traced, and is followed.
const MOST: usize = 6;

/// More corners than a person would lay out one by one.
const MOST_CORNERS: usize = 24;

/// How far two directions may be apart and still be one, in degrees.
const SAME: f64 = 0.05;

/// The widest arc that rounds a corner, in radians: ends of slots sweep more.
const ROUNDS: f64 = 2.6;

/// Radii that an arc is tried with, in mm.
const RADII: [f64; 4] = [22.0, 32.0, 16.0, 44.0];

/// How far the sides of an angle, and the lines of a rounded corner, run past it, in mm.
const OVERSHOOT: f64 = 1.5;

/// A straight side or line that runs askew, from sharp corner to sharp corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Slope {
    pub from: Point,
    pub to: Point,
    /// Whether it is scribed, not sawn.
    scribed: bool,
}

/// A corner as it would be if nothing rounded it.
#[derive(Debug, Clone, Copy, PartialEq)]
struct SharpCorner {
    at: Point,
    /// Where its two sides end, away from it where it is rounded.
    sides: [Point; 2],
}

impl Slope {
    /// The angle to the nearer of the ways along and up the part, in degrees, and the unit vector from its start
    /// along that.
    fn lean(self) -> (f64, Vec2) {
        let way = self.to - self.from;
        let (along, up) = (way.x.abs(), way.y.abs());
        let square = if along >= up { (way.x.signum(), 0.0) } else { (0.0, way.y.signum()) };
        (along.min(up).atan2(along.max(up)).to_degrees(), square.into())
    }

    fn reversed(self) -> Self {
        Self { from: self.to, to: self.from, ..self }
    }

    /// Whether one figure does for both.
    fn is_like(self, other: Self) -> bool {
        let ((a, one), (b, other)) = (self.lean(), other.lean());
        (a - b).abs() < SAME && one.cross(other).abs() < 0.5
    }
}

/// The slopes of a part's sides, slots and scribed lines; none of a traced outline.
fn slopes(part: &Part) -> Vec<Slope> {
    let sides = part.region.contours().flat_map(sides);
    let scribed = part.marks.iter().filter_map(|mark| match mark.kind {
        MarkKind::Scribe { from, to } | MarkKind::Center { from, to } => {
            Some(Slope { from, to, scribed: true })
        }
        _ => None,
    });
    let all: Vec<Slope> = sides.chain(scribed).filter(|slope| is_askew(*slope)).collect();
    if sorts(&all).len() > MOST { Vec::new() } else { all }
}

fn is_askew(slope: Slope) -> bool {
    (slope.to - slope.from).hypot() >= SHORTEST && slope.lean().0 > SAME
}

/// Straight sides of a contour, each to its sharp corners.
fn sides(contour: &Contour) -> Vec<Slope> {
    let segments: Vec<Segment> = contour.segments().collect();
    let count = segments.len();
    let straight = segments.iter().enumerate().filter(|(_, segment)| segment.is_line());
    straight
        .map(|(i, side)| {
            let from = rounded(&segments, i + count - 1).map_or(side.start, |corner| corner.at);
            let to = rounded(&segments, i + 1).map_or(side.end, |corner| corner.at);
            Slope { from, to, scribed: false }
        })
        .collect()
}

/// The corner that segment `i` of a closed outline rounds, if it does: both sides go over into it smoothly.
fn rounded(segments: &[Segment], i: usize) -> Option<SharpCorner> {
    let count = segments.len();
    let [before, arc, after] = [i + count - 1, i, i + 1].map(|i| segments[i % count]);
    let rounds = arc.arc().is_some_and(|arc| arc.sweep.abs() < ROUNDS);
    let smooth = is_smooth(&before, &arc) && is_smooth(&arc, &after);
    let at = meeting(&arc).filter(|_| rounds && smooth)?;
    Some(SharpCorner { at, sides: [arc.start, arc.end] })
}

/// Whether one segment goes on as the other ends.
fn is_smooth(one: &Segment, other: &Segment) -> bool {
    let turn = one.direction_at(one.end).cross(other.direction_at(other.start));
    turn.abs() < 0.02
}

/// Where the ways into and out of an arc would meet if they went straight on.
fn meeting(arc: &Segment) -> Option<Point> {
    let (a, b) = (arc.direction_at(arc.start), arc.direction_at(arc.end));
    let cross = a.cross(b);
    (cross.abs() > 1e-6).then(|| arc.start + a * ((arc.end - arc.start).cross(b) / cross))
}

/// Corners to dimension: the ends of slopes, and those of steps in the outline, but for what slots, notches and
/// tabs have, which are told with these.
pub(super) fn corners(part: &Part) -> Vec<Point> {
    let slopes =
        slopes(part).into_iter().filter(|slope| slope.scribed || !is_of_slot(part, *slope));
    let ends = slopes.flat_map(|slope| [slope.from, slope.to]);
    ends.chain(steps(part)).collect()
}

/// Whether a slope is the side of a slot that tapers: it touches the circle of the slot's end.
fn is_of_slot(part: &Part, slope: Slope) -> bool {
    let touches = |at: &Point, width: f64| {
        let way = (slope.to - slope.from).normalize();
        let off = way.cross(*at - slope.from).abs() - width / 2.0;
        let ends = [slope.from, slope.to].map(|end| ((end - *at).hypot() - width / 2.0).abs());
        off.abs() < 0.1 && ends.into_iter().any(|end| end < 0.1)
    };
    part.rows.iter().any(|row| match row.feature {
        Feature::Slot { width, form: SlotForm::Tapered { .. } } => {
            row.centers.iter().any(|at| touches(at, width))
        }
        _ => false,
    })
}

/// Sharp corners of the outline, but for those of slots and the like: a step at an end, a lip. None of a traced one.
fn steps(part: &Part) -> Vec<Point> {
    let outline: Vec<Segment> = part.region.outline().segments().collect();
    let count = outline.len();
    let corners = (0..count).filter_map(|i| match outline[i].is_line() {
        true => outline[(i + 1) % count].is_line().then_some(outline[i].end),
        false => rounded(&outline, i).map(|corner| corner.at),
    });
    let is_own = |at: Point| {
        let owns =
            |row: &Row| row.centers.iter().any(|center| row.feature.has_corner(at - *center));
        part.rows.iter().any(owns)
    };
    let corners: Vec<Point> = corners.filter(|at| !is_own(*at)).collect();
    if corners.len() > MOST_CORNERS { Vec::new() } else { corners }
}

/// Like slopes together.
fn sorts(slopes: &[Slope]) -> Vec<Vec<Slope>> {
    let mut sorts: Vec<Vec<Slope>> = Vec::new();
    for slope in slopes {
        match sorts.iter_mut().find(|sort| sort.first().is_some_and(|first| first.is_like(*slope)))
        {
            Some(sort) => sort.push(*slope),
            None => sorts.push(vec![*slope]),
        }
    }
    sorts
}

/// Draws the rounded corners of slopes as sharp ones, and one angle for each slope.
pub(super) fn draw(canvas: &mut Canvas, part: &Part, units: Units, wood: &WoodArea) {
    draw_sharp_corners(canvas, part);
    for mut sort in sorts(&slopes(part)) {
        sort.sort_by(|a, b| a.scribed.cmp(&b.scribed).then(length(*b).total_cmp(&length(*a))));
        let count = if sort.len() > 1 { format!("{} × ", sort.len()) } else { String::new() };
        let Some(first) = sort.first() else { continue };
        let angle = units.quantity(Quantity::degrees(first.lean().0));
        let figure = Label::new(format!("{count}{angle}"), FIGURE);
        draw_angle(canvas, &figure, &sort, wood);
    }
}

fn length(slope: Slope) -> f64 {
    (slope.to - slope.from).hypot()
}

/// The two sides of a rounded corner, thin, out to where they meet.
fn draw_sharp_corners(canvas: &mut Canvas, part: &Part) {
    for contour in part.region.contours() {
        let segments: Vec<Segment> = contour.segments().collect();
        for SharpCorner { at, sides } in (0..segments.len()).filter_map(|i| rounded(&segments, i)) {
            let ways = sides.map(|side| at - side);
            let askew = |way: Vec2| way.x.abs().min(way.y.abs()) > 0.01 * way.hypot();
            if ways.into_iter().any(askew) {
                for (side, way) in sides.into_iter().zip(ways) {
                    canvas.line(Line::Dimension, side, at + way.normalize() * OVERSHOOT);
                }
            }
        }
    }
}

/// The angle at one end of one of some like slopes: beside the wood rather than on it, where text has room.
fn draw_angle(canvas: &mut Canvas, figure: &Label, like: &[Slope], wood: &WoodArea) {
    let ends = || like.iter().flat_map(|slope| [*slope, slope.reversed()]);
    let beside = |slope: &Slope| !wood.contains(bisector(*slope, 8.0));
    let tries = RADII.into_iter().flat_map(|radius| {
        let (off, on): (Vec<Slope>, Vec<Slope>) = ends().partition(beside);
        off.into_iter().chain(on).map(move |slope| (slope, radius))
    });
    let is_free = |canvas: &Canvas, slope: Slope, radius: f64| {
        let (_, square) = slope.lean();
        let way = (slope.to - slope.from).normalize();
        let tips = [square, way].map(|way| slope.from + way * (radius + OVERSHOOT));
        tips.into_iter().all(|tip| canvas.can_lead(slope.from, tip))
            && canvas.can_lead(slope.from + square * radius, slope.from + way * radius)
            && near::room_around(canvas, figure, bisector(slope, radius), CLEAR)
    };
    let found = tries.clone().find(|(slope, radius)| is_free(canvas, *slope, *radius));
    let Some((slope, radius)) = found.or_else(|| tries.into_iter().next()) else { return };
    let ((_, square), way) = (slope.lean(), (slope.to - slope.from).normalize());
    canvas.line(Line::Dimension, slope.from, slope.from + square * (radius + OVERSHOOT));
    if radius > length(slope) {
        canvas.line(Line::Dimension, slope.to, slope.from + way * (radius + OVERSHOOT));
    }
    let middle = angle::arc(canvas, slope.from, square, way, radius);
    near::write_around(canvas, figure, middle, CLEAR, None);
}

/// White between an arc and its figure, in mm.
const CLEAR: f64 = 0.4;

/// The point in the middle of a slope's angle, so far from its corner.
fn bisector(slope: Slope, radius: f64) -> Point {
    let way = (slope.to - slope.from).normalize();
    slope.from + (way + slope.lean().1).normalize() * radius
}
