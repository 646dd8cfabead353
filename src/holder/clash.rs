//! Whether two pieces would share the same space.

use std::cell::OnceCell;

use kurbo::Point;

use super::Joint;
use super::finding::Finding;
use super::joint::Joined;
use super::part::Part;
use super::placement::Placement;
use crate::kernel::Contour;
use crate::length::Units;
use crate::limits;
use crate::style::{Face, Purpose, Space};
use crate::tolerance::COORDINATE;

/// Wood that two pieces may share unnoticed, in mm: less than a saw is true to.
const UNFELT: f64 = 0.05;

/// The same for a part with tabs and what they are pressed into.
const PRESSED: f64 = 0.7;

/// How far a curve may stand off its stand-in polygon, in mm.
const COARSE: f64 = 0.02;

/// Places looked at between two corners, where edges may run slantwise.
const LOOKS: usize = 5;

/// A stop for every two parts whose pieces share wood: their outlines are compared as they stand, so
/// that a piece may pass through an opening, a notch or a peg hole of another. Tilted pieces are left
/// out.
pub(super) fn clashes(joined: &Joined, units: Units) -> Vec<Finding> {
    let pieces: Vec<Piece<'_>> =
        joined.parts.iter().flat_map(|part| Piece::of(part, &joined.joints)).collect();
    let mut findings = Vec::new();
    for (i, one) in pieces.iter().enumerate() {
        for other in &pieces[i + 1..] {
            if findings.len() == limits::FAULTS {
                return findings;
            }
            let unfelt = if tabs_between(joined, one, other) { PRESSED } else { UNFELT };
            let Some(depth) = shared(one, other, unfelt) else { continue };
            let message = format!(
                "{} and {} would share the same space, {} deep: make the holder larger there, or one of them \
                 smaller.",
                one.part.name,
                other.part.name,
                units.length(depth)
            );
            findings.push(Finding::stop("parts-collide", message));
        }
    }
    findings
}

fn tabs_between(joined: &Joined, one: &Piece<'_>, other: &Piece<'_>) -> bool {
    let names = [one.part.name.as_str(), other.part.name.as_str()];
    joined.joints.iter().any(|joint| {
        let tabs = [joint.tabs.as_str(), joint.into.as_str()];
        tabs == names || [tabs[1], tabs[0]] == names
    })
}

/// A piece in its place, with the level box that it fills.
struct Piece<'a> {
    part: &'a Part,
    place: &'a Placement,
    low: Space,
    high: Space,
    /// The axis that its face looks along.
    normal: usize,
    /// Its tabs that stand out, to be sanded flush before anything comes there.
    proud: Vec<ProudTab>,
    /// Its edges, once they are asked for.
    edges: OnceCell<Vec<[Space; 2]>>,
}

/// A tab as it is cut and as it is sanded off: level boxes.
struct ProudTab {
    cut: (Space, Space),
    flush: (Space, Space),
}

impl ProudTab {
    /// Those of a part, on all its pieces.
    fn of(part: &Part, joints: &[Joint]) -> Vec<Self> {
        let proud = joints.iter().filter(|joint| joint.tabs == part.name && joint.proud > 0.0);
        let tabs = proud.flat_map(|joint| joint.cut_at.iter().zip(&joint.tabs_at));
        tabs.map(|(cut, flush)| Self { cut: *cut, flush: *flush }).collect()
    }

    /// Where a corner of the tab comes once it is sanded off; any other place stays.
    fn sanded(&self, at: Space) -> Space {
        let (low, high) = self.cut;
        let on_it = (0..3).all(|i| (low[i] - COORDINATE..=high[i] + COORDINATE).contains(&at[i]));
        let (low, high) = self.flush;
        if on_it { std::array::from_fn(|i| at[i].clamp(low[i], high[i])) } else { at }
    }
}

impl<'a> Piece<'a> {
    fn of(part: &'a Part, joints: &'a [Joint]) -> impl Iterator<Item = Self> {
        let level = part.places.iter().filter(|place| place.tilt == 0.0);
        level.map(move |place| {
            let (low, high) = place.bounds();
            let [.., out] = place.frame();
            let normal = (0..3).find(|axis| out[*axis].abs() > 0.5).unwrap_or(0);
            let proud = ProudTab::of(part, joints);
            Self { part, place, low, high, normal, proud, edges: OnceCell::new() }.flush()
        })
    }

    /// The piece with its box no further than its tabs once they are sanded off.
    fn flush(mut self) -> Self {
        if self.proud.is_empty() {
            return self;
        }
        for axis in (0..3).filter(|axis| *axis != self.normal) {
            let along = || self.edges().iter().map(|[at, _]| at[axis]);
            let ends =
                [along().fold(f64::INFINITY, f64::min), along().fold(f64::NEG_INFINITY, f64::max)];
            [self.low[axis], self.high[axis]] = ends;
        }
        self
    }

    fn sanded(&self, at: Space) -> Space {
        self.proud.iter().fold(at, |at, tab| tab.sanded(at))
    }

    /// Whether a pocket of it has taken all the wood between two corners.
    fn is_milled_away(&self, low: Space, high: Space) -> bool {
        self.part.pockets.iter().any(|pocket| {
            let around = pocket.contour.bounds();
            let thickness = self.place.size[2];
            let depths = match pocket.face {
                Face::Show => [0.0, pocket.depth],
                Face::Back => [thickness - pocket.depth, thickness],
            };
            let corners = [around.origin(), Point::new(around.x1, around.y1)];
            let corners = [0, 1].map(|i| self.place.to_space(corners[i], depths[i]));
            (0..3).all(|i| {
                let (from, to) =
                    (corners[0][i].min(corners[1][i]), corners[0][i].max(corners[1][i]));
                from - UNFELT <= low[i] && high[i] <= to + UNFELT
            })
        })
    }

    /// Its outline and openings as lines in space, with holes for pegs.
    fn edges(&self) -> &[[Space; 2]] {
        self.edges.get_or_init(|| self.cut_edges())
    }

    fn cut_edges(&self) -> Vec<[Space; 2]> {
        let pegs = self.part.drillings.iter().filter(|drilling| drilling.purpose == Purpose::Peg);
        let pegs: Vec<Contour> =
            pegs.map(|peg| Contour::circle(peg.at, peg.diameter / 2.0)).collect();
        let contours = self.part.region.contours().chain(&pegs);
        let edges = contours.flat_map(|contour| {
            let points: Vec<Space> = contour
                .flatten(COARSE)
                .into_iter()
                .map(|at: Point| self.sanded(self.place.to_space(at, 0.0)))
                .collect();
            let next = points.iter().copied().cycle().skip(1);
            points.iter().copied().zip(next).map(|(a, b)| [a, b]).collect::<Vec<_>>()
        });
        edges.collect()
    }
}

/// How deep two pieces share wood; `None` where it is no more than `unfelt`.
fn shared(one: &Piece<'_>, other: &Piece<'_>, unfelt: f64) -> Option<f64> {
    let low: Space = std::array::from_fn(|i| one.low[i].max(other.low[i]));
    let high: Space = std::array::from_fn(|i| one.high[i].min(other.high[i]));
    let depth = (0..3).map(|i| high[i] - low[i]).fold(f64::INFINITY, f64::min);
    if depth <= unfelt {
        return None;
    }
    if [one, other].iter().any(|piece| piece.is_milled_away(low, high)) {
        return None;
    }
    if one.part.is_round() || other.part.is_round() {
        let middle = std::array::from_fn(|i| f64::midpoint(low[i], high[i]));
        return (is_wood(one, middle) && is_wood(other, middle)).then_some(depth);
    }
    // Along this axis both are cut across: for pieces on edge to one another the one that lies in both
    // their faces, else any in their face.
    let axis = (0..3).find(|axis| *axis != one.normal && *axis != other.normal)?;
    let (a, b) = (Strip::of(one, axis, (low, high)), Strip::of(other, axis, (low, high)));
    let mut stops: Vec<f64> = a.stops().chain(b.stops()).chain([low[axis], high[axis]]).collect();
    stops.retain(|at| (low[axis]..=high[axis]).contains(at));
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|b, a| *b - *a <= COORDINATE);
    let same = one.normal == other.normal;
    // How far along the axis they share more than is felt, and the most that they share there.
    let (mut along, mut deepest) = (0.0, 0.0_f64);
    for pair in stops.windows(2) {
        let step = (pair[1] - pair[0]) / LOOKS as f64;
        for look in 0..LOOKS {
            let met = a.meets(&b, pair[0] + step * (look as f64 + 0.5), same);
            along += if met > unfelt { step } else { 0.0 };
            deepest = deepest.max(met);
        }
    }
    (along > unfelt).then_some(deepest.min(along).min(depth))
}

/// A piece cut across along one axis, as far as another reaches.
struct Strip<'a> {
    axis: usize,
    /// The other axis of its face.
    across: usize,
    edges: &'a [[Space; 2]],
    /// What of `across` is looked at.
    from: f64,
    to: f64,
}

impl<'a> Strip<'a> {
    fn of(piece: &'a Piece<'_>, axis: usize, (low, high): (Space, Space)) -> Self {
        let across = 3 - axis - piece.normal;
        Self { axis, across, edges: piece.edges(), from: low[across], to: high[across] }
    }

    /// Where what is cut across may change: at corners, and where an edge enters the strip.
    fn stops(&self) -> impl Iterator<Item = f64> {
        self.edges.iter().flat_map(|[a, b]| {
            let (run, rise) = (b[self.across] - a[self.across], b[self.axis] - a[self.axis]);
            let at = |line: f64| {
                let share = (line - a[self.across]) / run;
                (run != 0.0 && (0.0..=1.0).contains(&share)).then_some(a[self.axis] + rise * share)
            };
            let near = self.from - COORDINATE..=self.to + COORDINATE;
            let corner = near.contains(&a[self.across]).then_some(a[self.axis]);
            [corner, at(self.from), at(self.to)].into_iter().flatten()
        })
    }

    /// The stretches of wood within the strip at one place.
    fn chords(&self, at: f64) -> Vec<[f64; 2]> {
        let crosses = |[a, b]: &[Space; 2]| {
            let between = (a[self.axis] <= at) != (b[self.axis] <= at);
            let share = (at - a[self.axis]) / (b[self.axis] - a[self.axis]);
            between.then(|| a[self.across] + (b[self.across] - a[self.across]) * share)
        };
        let mut met: Vec<f64> = self.edges.iter().filter_map(crosses).collect();
        met.sort_by(f64::total_cmp);
        let within = |pair: &[f64]| [pair[0].max(self.from), pair[1].min(self.to)];
        let chords = met.chunks_exact(2).map(within);
        chords.filter(|[from, to]| to > from).collect()
    }

    /// How much wood it shares with another at one place: the lesser of what both have there, or of
    /// two in one face what their stretches share.
    fn meets(&self, other: &Self, at: f64, same: bool) -> f64 {
        let (own, others) = (self.chords(at), other.chords(at));
        let widest = |chords: &[[f64; 2]]| chords.iter().map(|[a, b]| b - a).fold(0.0, f64::max);
        if !same {
            return widest(&own).min(widest(&others));
        }
        let both =
            own.iter().flat_map(|a| others.iter().map(move |b| a[1].min(b[1]) - a[0].max(b[0])));
        both.fold(0.0, f64::max)
    }
}

fn is_wood(piece: &Piece<'_>, at: Space) -> bool {
    let (point, _): (Point, f64) = piece.place.to_piece(at);
    let bored = piece.part.drillings.iter().any(|drilling| {
        drilling.purpose == Purpose::Peg && (drilling.at - point).hypot() < drilling.diameter / 2.0
    });
    !bored && piece.part.region.contains(point)
}
