//! From smooth curves to lines and true arcs.
//!
//! A stretch of the curve becomes one arc where the arc through its ends that leaves along the
//! curve also arrives along it, and else a biarc: two arcs that meet smoothly (D. S. Meek and
//! D. J. Walton, "Approximating smooth planar curves by arc splines", 1995). Either way the
//! contour runs on without a corner where the curve has none.

use std::collections::VecDeque;

use kurbo::{BezPath, CubicBez, ParamCurve, PathEl, Point, Shape, Vec2};

use super::polyline::bulge_of;
use super::shape::simple;
use super::{Contour, Segment, ShapeError, Vertex};
use crate::tolerance::{CLOSING, COORDINATE, FITTING, SMOOTH};

/// The most lines and arcs a fitted contour has.
pub(crate) const MOST_PIECES: usize = 2000;

/// Why a curve does not become a contour. All figures in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum FitError {
    #[error("there are {count} loops where one is needed")]
    SeveralLoops { count: usize },
    #[error("more than {MOST_PIECES} lines and arcs are needed to follow it")]
    TooMany,
    #[error(transparent)]
    Shape(#[from] ShapeError),
}

/// The contour along `path`, which is in mm and closed: its last point leads straight back to its
/// first. Counter-clockwise; lines are kept as they are, a full circle becomes one, and no point
/// of the curves lies further from the contour than [`FITTING`], nor the other way round.
///
/// # Errors
/// When the path has more than one loop, encloses nothing, crosses or touches itself, reaches too
/// far, or needs more than `MOST_PIECES` lines and arcs.
///
/// ```
/// use cleatwright::kernel::fit_arcs;
/// use kurbo::{Circle, Shape};
/// let drawn = Circle::new((30.0, 40.0), 20.0).to_path(0.001);
/// let fitted = fit_arcs(&drawn).unwrap();
/// assert_eq!(fitted.vertices().len(), 2);
/// assert!((fitted.area() - std::f64::consts::PI * 400.0).abs() < 0.5);
/// ```
pub fn fit_arcs(path: &BezPath) -> Result<Contour, FitError> {
    let mut pieces = pieces(path)?;
    if let Some(circle) = circle(path, &pieces) {
        return Ok(simple(circle)?);
    }
    smooth_joints(&mut pieces);
    begin_at_a_break(&mut pieces);
    let mut vertices: Vec<Vertex> = Vec::new();
    while let Some(first) = pieces.front() {
        let (taken, drawn) = if first.is_line {
            (Taken::Whole(1), vec![first.chord()])
        } else {
            next_arcs(pieces.make_contiguous()).ok_or(FitError::TooMany)?
        };
        take(&mut pieces, taken);
        vertices.extend(drawn.iter().map(|s| Vertex { at: s.start, bulge: s.bulge }));
        if vertices.len() > MOST_PIECES {
            return Err(FitError::TooMany);
        }
    }
    Ok(simple(vertices)?)
}

/// One cubic or straight line of the path.
#[derive(Debug, Clone, Copy)]
struct Stroke {
    curve: CubicBez,
    is_line: bool,
    /// Unit directions at its ends.
    leaving: Vec2,
    arriving: Vec2,
}

impl Stroke {
    fn new(curve: CubicBez) -> Self {
        let CubicBez { p0, p1, p2, p3 } = curve;
        let way = |ways: [Vec2; 3]| {
            let seen = ways.into_iter().find(|way| way.hypot() > CLOSING);
            seen.map_or(Vec2::new(1.0, 0.0), Vec2::normalize)
        };
        let (leaving, arriving) =
            (way([p1 - p0, p2 - p0, p3 - p0]), way([p3 - p2, p3 - p1, p3 - p0]));
        Self { curve, is_line: is_line(&curve), leaving, arriving }
    }

    fn chord(&self) -> Segment {
        Segment { start: self.curve.p0, end: self.curve.p3, bulge: 0.0 }
    }

    /// Whether `next` goes on without a corner.
    fn runs_into(&self, next: &Self) -> bool {
        self.arriving == next.leaving
    }

    /// The piece up to and from the parameter `t`.
    fn split(&self, t: f64) -> (Self, Self) {
        let (head, tail) =
            (Self::new(self.curve.subsegment(0.0..t)), Self::new(self.curve.subsegment(t..1.0)));
        let joint = tail.leaving;
        (
            Self { leaving: self.leaving, arriving: joint, ..head },
            Self { arriving: self.arriving, leaving: joint, ..tail },
        )
    }
}

fn control_length(curve: &CubicBez) -> f64 {
    (curve.p1 - curve.p0).hypot() + (curve.p2 - curve.p1).hypot() + (curve.p3 - curve.p2).hypot()
}

/// Whether the control points lie in order on the chord.
fn is_line(curve: &CubicBez) -> bool {
    let run = curve.p3 - curve.p0;
    let length = run.hypot();
    let on_chord = |p: Point| {
        let way = p - curve.p0;
        way.cross(run).abs() <= CLOSING * length
            && (-CLOSING..=length + CLOSING).contains(&(way.dot(run) / length))
    };
    length > CLOSING && on_chord(curve.p1) && on_chord(curve.p2)
}

/// The path's pieces, closed, without those too short to be drawn.
fn pieces(path: &BezPath) -> Result<VecDeque<Stroke>, FitError> {
    let count = path.elements().iter().filter(|el| matches!(el, PathEl::MoveTo(_))).count();
    if count > 1 {
        return Err(FitError::SeveralLoops { count });
    }
    let mut curves: Vec<CubicBez> = Vec::new();
    for segment in path.segments() {
        add(&mut curves, segment.to_cubic());
    }
    let (Some(first), Some(last)) = (curves.first(), curves.last()) else {
        return Err(ShapeError::Flat.into());
    };
    let (start, end) = (first.p0, last.p3);
    if (end - start).hypot() >= COORDINATE {
        curves.push(CubicBez::new(end, end, start, start));
    } else if let Some(last) = curves.last_mut() {
        last.p3 = start;
    }
    for at in curves.iter().flat_map(|c| [c.p0, c.p1, c.p2, c.p3]) {
        super::shape::in_reach("a point of the path", at.x)?;
        super::shape::in_reach("a point of the path", at.y)?;
    }
    Ok(curves.into_iter().map(Stroke::new).collect())
}

/// Adds a curve, moved to start where the one before it ends. One too short to be drawn is left
/// out, and the next starts where it started.
fn add(curves: &mut Vec<CubicBez>, mut curve: CubicBez) {
    if let Some(last) = curves.last() {
        let shift = last.p3 - curve.p0;
        (curve.p0, curve.p1) = (last.p3, curve.p1 + shift);
    }
    if control_length(&curve) >= COORDINATE {
        curves.push(curve);
    }
}

/// Gives neighbors that all but run into one another a common direction where they meet; a
/// line keeps its own.
fn smooth_joints(pieces: &mut VecDeque<Stroke>) {
    for index in 0..pieces.len() {
        let next = (index + 1) % pieces.len();
        let (one, other) = (pieces[index], pieces[next]);
        let smooth = one.arriving.cross(other.leaving).abs() < SMOOTH
            && one.arriving.dot(other.leaving) > 0.0;
        if smooth && !(one.is_line && other.is_line) {
            let common = match (one.is_line, other.is_line) {
                (true, _) => one.arriving,
                (_, true) => other.leaving,
                _ => (one.arriving + other.leaving).normalize(),
            };
            pieces[index].arriving = common;
            pieces[next].leaving = common;
        }
    }
}

/// Turns the loop so that it begins at a line or a corner, if it has any.
fn begin_at_a_break(pieces: &mut VecDeque<Stroke>) {
    let count = pieces.len();
    let at_break = |i: &usize| {
        let (before, this) = (&pieces[(i + count - 1) % count], &pieces[*i]);
        before.is_line || !before.runs_into(this)
    };
    if let Some(start) = (0..count).find(at_break) {
        pieces.rotate_left(start);
    }
}

/// What of the pieces has been drawn: so many whole ones, or the first up to a parameter.
#[derive(Clone, Copy)]
enum Taken {
    Whole(usize),
    Part(f64),
}

fn take(pieces: &mut VecDeque<Stroke>, taken: Taken) {
    match taken {
        Taken::Whole(count) => drop(pieces.drain(..count)),
        Taken::Part(t) => {
            if let Some(first) = pieces.front_mut() {
                *first = first.split(t).1;
            }
        }
    }
}

/// The next arcs along `pieces`, the first of which is a curve. Whole pieces are followed as far
/// as one arc goes, or as a biarc does when that is more than twice as far, being two arcs.
fn next_arcs(pieces: &[Stroke]) -> Option<(Taken, Vec<Segment>)> {
    let joined = pieces.windows(2).take_while(|w| !w[1].is_line && w[0].runs_into(&w[1])).count();
    let run = &pieces[..=joined];
    let one = furthest(run, one_arc);
    let two = furthest(run, two_arcs);
    let length = |count: usize| run[..count].iter().map(|p| control_length(&p.curve)).sum::<f64>();
    let whole = match (one, two) {
        (Some(one), Some(two)) if length(two.0) > 2.0 * length(one.0) => Some(two),
        (Some(one), _) => Some(one),
        (None, two) => two,
    };
    match whole {
        Some((count, arcs)) => Some((Taken::Whole(count), arcs)),
        None => part_way(pieces.first()?),
    }
}

/// How many whole pieces from the first one `fit` follows, and with what.
fn furthest(
    run: &[Stroke],
    fit: impl Fn(&[Stroke]) -> Option<Vec<Segment>>,
) -> Option<(usize, Vec<Segment>)> {
    (1..=run.len()).map_while(|count| Some((count, fit(&run[..count])?))).last()
}

/// The start of a piece that is too much for a biarc, as far as one goes; somewhat less far where
/// that leaves equal parts and not a sliver at the end.
fn part_way(piece: &Stroke) -> Option<(Taken, Vec<Segment>)> {
    const HALVINGS: usize = 60;
    const ENOUGH: usize = 12;
    let fit = |t: f64| {
        let head = [piece.split(t).0];
        one_arc(&head).or_else(|| two_arcs(&head)).or_else(|| next_to_nothing(&head[0]))
    };
    let (mut near, mut far) = (0.0, 1.0);
    let mut best = None;
    for halving in 0..HALVINGS {
        if halving >= ENOUGH && best.is_some() {
            break;
        }
        let t = f64::midpoint(near, far);
        match fit(t) {
            Some(arcs) => (near, best) = (t, Some((Taken::Part(t), arcs))),
            None => far = t,
        }
    }
    let even = 1.0 / (1.0 / near).ceil();
    if near > 0.0
        && let Some(arcs) = fit(even)
    {
        return Some((Taken::Part(even), arcs));
    }
    best
}

/// A straight line where the curve is so short that it can't stray.
fn next_to_nothing(piece: &Stroke) -> Option<Vec<Segment>> {
    (control_length(&piece.curve) <= FITTING / 4.0).then(|| vec![piece.chord()])
}

/// The ends of a run of pieces with the directions there.
struct Ends {
    start: Point,
    end: Point,
    leaving: Vec2,
    arriving: Vec2,
}

fn ends(run: &[Stroke]) -> Option<Ends> {
    let (first, last) = (run.first()?, run.last()?);
    let (start, end) = (first.curve.p0, last.curve.p3);
    let long = (end - start).hypot() >= COORDINATE;
    long.then_some(Ends { start, end, leaving: first.leaving, arriving: last.arriving })
}

/// How far `to` is turned from `from`, in radians, counter-clockwise.
fn turn(from: Vec2, to: Vec2) -> f64 {
    from.cross(to).atan2(from.dot(to))
}

/// The arc along `run`, if one is near enough.
fn one_arc(run: &[Stroke]) -> Option<Vec<Segment>> {
    /// An arc leaves and arrives at the same angle to its chord, to within this (radians).
    const EVEN: f64 = 1e-4;
    let Ends { start, end, leaving, arriving } = ends(run)?;
    let chord = end - start;
    let (before, after) = (turn(leaving, chord), turn(chord, arriving));
    let sweep = before + after;
    let even = (before - after).abs() <= EVEN && sweep.abs() <= std::f64::consts::PI + EVEN;
    let arc = [bowed(start, end, bulge_of(sweep))];
    (even && follows(run, &arc)).then(|| arc.to_vec())
}

/// The biarc along `run` whose arcs have tangents of one length, if it is near enough.
fn two_arcs(run: &[Stroke]) -> Option<Vec<Segment>> {
    let Ends { start, end, leaving, arriving } = ends(run)?;
    let chord = end - start;
    // The tangents are d long, and the line between their tips, start + d leaving and
    // end - d arriving, touches both arcs where they meet: it is 2 d long.
    let (a, b) = (2.0 * (1.0 - leaving.dot(arriving)), chord.dot(leaving + arriving));
    let d = chord.hypot2() / (b + (b * b + a * chord.hypot2()).sqrt());
    if !d.is_finite() || d <= 0.0 {
        return None;
    }
    let middle = start.midpoint(end) + (leaving - arriving) * (d / 2.0);
    let (first, second) = (turn(leaving, middle - start), turn(end - middle, arriving));
    let arcs =
        [bowed(start, middle, bulge_of(2.0 * first)), bowed(middle, end, bulge_of(2.0 * second))];
    let gentle = first.abs().max(second.abs()) <= std::f64::consts::FRAC_PI_2;
    (gentle && follows(run, &arcs)).then(|| arcs.to_vec())
}

/// An arc, or a line where the arc would stand off it by next to nothing.
fn bowed(start: Point, end: Point, bulge: f64) -> Segment {
    let sagitta = bulge.abs() * (end - start).hypot() / 2.0;
    Segment { start, end, bulge: if sagitta < COORDINATE / 10.0 { 0.0 } else { bulge } }
}

/// Whether `drawn` keeps to the curves of `run`. The curves are looked at so closely that they
/// stray little between two looks, and the rest of the tolerance is left for that. Two lines of
/// like length with common ends, one of which keeps near the other, keep near each other.
fn follows(run: &[Stroke], drawn: &[Segment]) -> bool {
    const LOOKS: usize = 16;
    let near = |p: Point| drawn.iter().any(|s| (s.nearest(p) - p).hypot() <= 0.8 * FITTING);
    let mut length = 0.0;
    for piece in run {
        let mut last = piece.curve.p0;
        for look in 1..=LOOKS {
            let point = piece.curve.eval(look as f64 / LOOKS as f64);
            if !near(point) {
                return false;
            }
            length += (point - last).hypot();
            last = point;
        }
    }
    let drawn_length: f64 = drawn.iter().map(Segment::length).sum();
    (drawn_length - length).abs() <= 0.05 * length + FITTING / 2.0
}

/// Two half circles, when the whole path is one circle.
fn circle(path: &BezPath, pieces: &VecDeque<Stroke>) -> Option<[Vertex; 2]> {
    const LOOKS: usize = 16;
    let center = path.bounding_box().center();
    let looks = pieces.iter().flat_map(|p| {
        (0..LOOKS).map(|look| (p.curve.eval(look as f64 / LOOKS as f64) - center).hypot())
    });
    let (least, most) =
        looks.fold((f64::INFINITY, 0.0_f64), |(least, most), r| (least.min(r), most.max(r)));
    let radius = f64::midpoint(least, most);
    let once = (path.area().abs() - std::f64::consts::PI * radius * radius).abs()
        <= std::f64::consts::TAU * radius * FITTING;
    let round = pieces.iter().all(|p| !p.is_line) && most - least <= 1.9 * FITTING;
    let side = Vec2::new(radius, 0.0);
    (round && once && radius > FITTING)
        .then(|| [center + side, center - side].map(|at| Vertex { at, bulge: 1.0 }))
}
