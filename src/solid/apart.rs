//! A holder taken apart: which way each piece comes off the others, and how far it is drawn away from them.
//!
//! Pieces come off in the opposite order of being put on, each the way that nothing bars, away from what it touches
//! most. They count as the boxes that they fill, as they lie.

use kurbo::Point;

use crate::holder::{Holder, Part, Placement};
use crate::kernel::vector::{along, cross, dot, minus, plus};
use crate::style::Space;

/// What two boxes may share and not be in each other's way, in mm: fits, and how exact figures are.
const SLACK: f64 = 0.6;

/// The least and the most by which a piece is drawn away, in mm, and the share of the holder's largest measure between.
const AWAY: [f64; 2] = [25.0, 90.0];
const AWAY_SHARE: f64 = 0.13;

/// Longer than this, in mm, where two pieces touch is told at both its ends, so far from its middle in shares of it.
const LONG: f64 = 60.0;
const ENDS: f64 = 0.42;

/// How far pieces are drawn from one another, as a share of the same.
const PASSING: f64 = 0.5;

/// How one piece comes off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TakenOff {
    /// How far it is moved from its place in the holder, in mm.
    pub by: Space,
    /// The way it comes off, of length 1; nothing for one that stays.
    pub way: Space,
    /// Where it touches what it is taken off, in its place in the holder: both ends of that, the long way.
    pub from: [Space; 2],
    /// How far what it is taken off is moved itself.
    pub base: Space,
}

/// A piece as the box that it fills.
struct PieceBox<'h> {
    part: &'h Part,
    middle: Space,
    /// The ways of its length, its width and out of its show face.
    axes: [Space; 3],
    half: Space,
}

impl<'h> PieceBox<'h> {
    fn new(part: &'h Part, place: &Placement) -> Self {
        let [length, width, thickness] = place.size;
        let middle = place.to_space(Point::new(length / 2.0, width / 2.0), thickness / 2.0);
        Self { part, middle, axes: place.frame(), half: place.size.map(|size| size / 2.0) }
    }

    /// From where to where it reaches along a direction, moved by `by`.
    fn along(&self, way: Space, by: Space) -> [f64; 2] {
        let middle = dot(self.middle, way) + dot(by, way);
        let reach: f64 =
            self.axes.iter().zip(self.half).map(|(axis, half)| dot(*axis, way).abs() * half).sum();
        [middle - reach, middle + reach]
    }

    /// How much it shares with another along a direction; negative for the room between.
    fn shared(&self, other: &Self, way: Space) -> f64 {
        let ([a, b], [c, d]) = (self.along(way, [0.0; 3]), other.along(way, [0.0; 3]));
        b.min(d) - a.max(c)
    }

    /// Whether both go through one another where they are joined: tabs, pins, half-laps.
    fn is_in(&self, other: &Self) -> bool {
        self.axes.iter().all(|axis| self.shared(other, *axis) > SLACK)
    }
}

/// The ways a piece may come off, those that are best seen first.
const ORDER: [(usize, f64); 6] = [(2, 1.0), (1, 1.0), (0, 1.0), (0, -1.0), (1, -1.0), (2, -1.0)];

/// How the pieces `added` come off what stands and off one another; the first of them stays where nothing stands.
/// Pieces are told by their places in [`super::wood_solids`]; the answer is in the order of `added`.
pub(crate) fn taken_apart(holder: &Holder, standing: &[usize], added: &[usize]) -> Vec<TakenOff> {
    let boxes: Vec<PieceBox<'_>> = holder
        .parts
        .iter()
        .flat_map(|part| part.places.iter().map(|place| PieceBox::new(part, place)))
        .collect();
    let largest = holder.size.into_iter().fold(0.0, f64::max);
    let away = (largest * AWAY_SHARE).clamp(AWAY[0], AWAY[1]);
    let bench = Dismantling { holder, boxes: &boxes, away };
    let mut offs: Vec<Option<TakenOff>> = vec![None; boxes.len()];
    standing.iter().for_each(|piece| offs[*piece] = Some(TakenOff::at_rest()));
    for OffStep { piece, way, from } in bench.order(standing, added).into_iter().rev() {
        offs[piece] = Some(bench.drawn(piece, way, from, &offs));
    }
    added.iter().map(|piece| offs[*piece].unwrap_or_else(TakenOff::at_rest)).collect()
}

/// One piece taken off.
struct OffStep {
    piece: usize,
    way: Option<Space>,
    /// What it touched most.
    from: Option<usize>,
}

struct Dismantling<'d> {
    holder: &'d Holder,
    boxes: &'d [PieceBox<'d>],
    away: f64,
}

impl Dismantling<'_> {
    /// In which order and which way pieces come off, the first one first.
    fn order(&self, standing: &[usize], added: &[usize]) -> Vec<OffStep> {
        let mut left: Vec<usize> = standing.iter().chain(added).copied().collect();
        let mut waiting = added.to_vec();
        let mut steps = Vec::new();
        while let Some(last) = waiting.last().copied() {
            if left.len() == 1 {
                steps.push(OffStep { piece: last, way: None, from: None });
                break;
            }
            let free =
                || waiting.iter().rev().filter_map(|piece| self.way_off(*piece, &left, true));
            let step = free().find(|step| step.from.is_some()).or_else(|| free().next());
            let step = step.or_else(|| self.way_off(last, &left, false));
            let step = step.unwrap_or(OffStep { piece: last, way: None, from: None });
            waiting.retain(|piece| *piece != step.piece);
            left.retain(|piece| *piece != step.piece);
            steps.push(step);
        }
        steps
    }

    /// The best way off of a piece, away from what it touches most; of those that nothing bars, if only `free`.
    fn way_off(&self, piece: usize, left: &[usize], free: bool) -> Option<OffStep> {
        let own = &self.boxes[piece];
        let others: Vec<usize> = left.iter().copied().filter(|other| *other != piece).collect();
        let ways = ORDER.iter().map(|(axis, sign)| {
            // The axes of its own that come nearest to those of the holder.
            let nearest = (0..3)
                .max_by(|a, b| own.axes[*a][*axis].abs().total_cmp(&own.axes[*b][*axis].abs()));
            let way = own.axes[nearest.unwrap_or(0)];
            way.map(|part| part * sign * way[*axis].signum())
        });
        let ways = ways.filter(|way| {
            !free || others.iter().all(|other| !self.bars(own, &self.boxes[*other], *way))
        });
        let told = ways.map(|way| {
            let touched =
                others.iter().map(|other| (*other, self.touched(own, &self.boxes[*other], way)));
            let most = touched.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
            let (from, area) = most.unwrap_or((piece, 0.0));
            (way, (area > 0.0).then_some(from), area)
        });
        let best = told.reduce(|best, next| if next.2 > best.2 + 1.0 { next } else { best })?;
        Some(OffStep { piece, way: Some(best.0), from: best.1 })
    }

    /// Whether `other` is in the way of `own` as it goes off.
    fn bars(&self, own: &PieceBox<'_>, other: &PieceBox<'_>, way: Space) -> bool {
        if beside(own, other, way) {
            return false;
        }
        if own.is_in(other) {
            return !self.slides(own, other, way);
        }
        let ([_, end], [start, _]) = (own.along(way, [0.0; 3]), other.along(way, [0.0; 3]));
        start >= end - SLACK
    }

    /// Whether two pieces that are in one another come apart this way.
    fn slides(&self, own: &PieceBox<'_>, other: &PieceBox<'_>, way: Space) -> bool {
        let is = |axis: Space| dot(axis, way).abs() > 0.99;
        let outward = dot(minus(own.middle, other.middle), way) > -SLACK;
        if own.part.is_round() || other.part.is_round() {
            let rod = if own.part.is_round() { own } else { other };
            return is(rod.axes[0]) && outward;
        }
        let [a, b] = [own, other].map(|piece| piece.part.kind.as_str());
        let tabbed = |into: &PieceBox<'_>, tabs: &PieceBox<'_>| {
            self.holder.joints.iter().any(|joint| {
                joint.tabs == tabs.part.name && (joint.into == into.part.name || joint.loose)
            })
        };
        let across = |one: &PieceBox<'_>| is(one.axes[2]);
        if tabbed(other, own) || tabbed(own, other) {
            let into = if tabbed(other, own) { other } else { own };
            return across(into) && outward;
        }
        let both = cross(own.axes[2], other.axes[2]);
        match dot(both, both) > 0.9 && a != b {
            // A half-lap.
            true => is(both),
            false => {
                let least = own
                    .axes
                    .into_iter()
                    .min_by(|a, b| own.shared(other, *a).total_cmp(&own.shared(other, *b)));
                least.is_some_and(is) && outward
            }
        }
    }

    /// The area in which a piece touches another at its end opposite to the way off, in mm²; more where they are in one
    /// another.
    fn touched(&self, own: &PieceBox<'_>, other: &PieceBox<'_>, way: Space) -> f64 {
        let area: f64 = sides_of(own, way).map(|side| own.shared(other, side).max(0.0)).product();
        if own.is_in(other) {
            return if self.slides(own, other, way) { 4.0 * area } else { 0.0 };
        }
        let ([start, _], [_, end]) = (own.along(way, [0.0; 3]), other.along(way, [0.0; 3]));
        if (end - start).abs() < 2.0 * SLACK { area } else { 0.0 }
    }

    /// A piece drawn off what it touched, as far as it takes to pass what is drawn off already.
    fn drawn(
        &self,
        piece: usize,
        way: Option<Space>,
        from: Option<usize>,
        offs: &[Option<TakenOff>],
    ) -> TakenOff {
        let own = &self.boxes[piece];
        let Some(way) = way else { return TakenOff::at_rest() };
        let base = from.and_then(|from| offs[from]).map_or([0.0; 3], |off| off.by);
        let moved = |far: f64| along(base, way, far);
        let mut far = self.away;
        // Each passes at least one more piece.
        for _ in 0..self.boxes.len() {
            let met = self.boxes.iter().zip(offs).filter_map(|(other, off)| {
                let by = off.as_ref()?.by;
                let aside = sides_of(own, way).any(|side| {
                    let ([a, b], [c, d]) = (own.along(side, moved(far)), other.along(side, by));
                    b.min(d) - a.max(c) < SLACK
                });
                let ([start, end], [near, past]) =
                    (own.along(way, moved(far)), other.along(way, by));
                let clear = start - past >= self.away * PASSING - SLACK || end <= near;
                (!aside && !clear).then_some(past - start + self.away * PASSING)
            });
            match met.fold(0.0, f64::max) {
                more if more > 0.0 => far += more,
                _ => break,
            }
        }
        let other = from.map_or(own, |from| &self.boxes[from]);
        TakenOff { by: moved(far), way, from: touch(own, other, way), base }
    }
}

impl TakenOff {
    fn at_rest() -> Self {
        Self { by: [0.0; 3], way: [0.0; 3], from: [[0.0; 3]; 2], base: [0.0; 3] }
    }

    /// The lines along which it comes, each from where it is drawn to where it goes; none for one that stays.
    pub(crate) fn ways(&self) -> Vec<[Space; 2]> {
        if self.way == [0.0; 3] {
            return Vec::new();
        }
        let line = |from: Space| [self.by, self.base].map(|by| plus(from, by));
        let [one, other] = self.from;
        if one == other { vec![line(one)] } else { vec![line(one), line(other)] }
    }
}

/// Both ends of where two pieces touch, at the end of the first that is opposite to the way off; one place twice where
/// that is small.
fn touch(own: &PieceBox<'_>, other: &PieceBox<'_>, way: Space) -> [Space; 2] {
    let start = own.along(way, [0.0; 3])[0];
    let mut middle = way.map(|part| part * start);
    let mut longest = ([0.0; 3], 0.0);
    for side in sides_of(own, way) {
        let ([a, b], [c, d]) = (own.along(side, [0.0; 3]), other.along(side, [0.0; 3]));
        let (near, far) = (a.max(c), b.min(d));
        middle = plus(middle, side.map(|part| part * f64::midpoint(near, far)));
        if far - near > longest.1 {
            longest = (side, far - near);
        }
    }
    let reach = if longest.1 > LONG { longest.1 * ENDS } else { 0.0 };
    [1.0, -1.0].map(|sign| plus(middle, longest.0.map(|part| part * sign * reach)))
}

/// Whether a piece passes beside another as it goes off.
fn beside(own: &PieceBox<'_>, other: &PieceBox<'_>, way: Space) -> bool {
    sides_of(own, way).any(|side| own.shared(other, side) < SLACK)
}

/// The two axes of a piece across a way along its third.
fn sides_of(own: &PieceBox<'_>, way: Space) -> impl Iterator<Item = Space> + use<> {
    own.axes.into_iter().filter(move |axis| dot(*axis, way).abs() < 0.5)
}
