//! Parts that are bent: arms, shelves, pegs, lips and brackets, and shelves between supports.

use super::check::{Check, CheckPlace, LoadQuestion, NOTHING};
use super::grounds::Grounds;
use super::net::Net;
use super::weight::{Loading, of_piece};
use crate::holder::{Grain, Part, SpanLoad, StockKind};
use crate::shop::{Service, Wood, find_wood};
use crate::strength::{
    Allowable, Beam, BeamPiece, PointLoad, Support, Wrong, across, allowable, creep,
};
use crate::style::{Runs, Space};

/// Part of a panel's bending strength and stiffness that is left when it is bent in its own plane,
/// where about half its layers run the wrong way. Common practice, no source.
pub(super) const PANEL_ON_EDGE: f64 = 0.5;

/// Sag that does not trouble the eye, as part of a length. Common practice, no source.
const SAG: f64 = 0.01;

/// A piece that is bent, and by what: ready for loads of any size.
pub(super) struct Bent<'a> {
    place: CheckPlace,
    part: &'a Part,
    /// With its own weight alone.
    bare: Beam,
    /// Where it begins in the holder, in mm.
    root: f64,
    /// The same cut at its loads.
    pieces: Result<Vec<BeamPiece>, Wrong>,
    /// What lies on it.
    loads: Vec<SpanLoad>,
    /// What its wood may bear.
    strength: Allowable,
    service: Service,
}

/// How a piece is held: the way it runs in the holder (0 right, 1 up, 2 out), from where to where, in mm.
struct BentRun {
    support: Support,
    axis: usize,
    from: f64,
    to: Option<f64>,
}

impl<'a> Bent<'a> {
    /// Held at one end: where, its mass, and where that acts; `None` where it has no piece.
    pub(super) fn cantilever(
        place: CheckPlace,
        (part, service): (&'a Part, Service),
        runs: Runs,
        (root, mass, at): (f64, f64, Option<f64>),
    ) -> Option<Self> {
        let axis = match runs {
            Runs::Out => 2,
            Runs::Up => 1,
        };
        let run = BentRun { support: Support::Cantilever, axis, from: root, to: None };
        Self::ready(place, (part, service), &run, vec![SpanLoad { mass, at }])
    }

    /// Held at both ends, side by side on the wall; `None` where it has no piece.
    pub(super) fn span(
        place: CheckPlace,
        (part, service): (&'a Part, Service),
        [from, to]: [f64; 2],
        loads: Vec<SpanLoad>,
    ) -> Option<Self> {
        let run = BentRun { support: Support::Simple, axis: 0, from, to: Some(to) };
        Self::ready(place, (part, service), &run, loads)
    }

    fn ready(
        place: CheckPlace,
        (part, service): (&'a Part, Service),
        &BentRun { support, axis, from, to }: &BentRun,
        loads: Vec<SpanLoad>,
    ) -> Option<Self> {
        let piece = part.places.first()?;
        let [u, v, w] = piece.faces.frame();
        let along_x = u[axis].abs() > v[axis].abs();
        // What hangs pulls down; what pushes on a part that stands up pushes outward.
        let load_axis = if axis == 1 { 2 } else { 1 };
        let net = Net::new(part, along_x, w[load_axis].abs() > 0.5);
        let (low, high) = piece.bounds();
        let root = from.max(low[axis]);
        let length = to.unwrap_or(high[axis]).min(high[axis]) - root;
        let on_part = |place: f64| {
            let point: Space = std::array::from_fn(|i| if i == axis { place } else { low[i] });
            let (at, _) = piece.to_piece(point);
            if along_x { at.x } else { at.y }
        };
        let bare = Beam {
            support,
            length,
            stretches: net.stretches(on_part(root), on_part(root + length), length),
            loads: Vec::new(),
            spread: if axis == 1 { 0.0 } else { of_piece(part) },
        };
        let wood = find_wood(&part.stock.wood).wood;
        let strength = strength(part, (wood, service), (net.along_x(), net.flat()));
        let mut bent =
            Self { place, part, bare, pieces: Ok(Vec::new()), root, loads, strength, service };
        bent.pieces = bent.loaded(|mass| mass).pieces(&[bent.sags_at()]);
        Some(bent)
    }

    /// Where its sag is looked at, in mm from its root.
    fn sags_at(&self) -> f64 {
        match self.bare.support {
            Support::Cantilever => self.bare.length,
            Support::Simple => self.bare.length / 2.0,
        }
    }

    /// The beam with its loads, so many N for each mass.
    fn loaded(&self, newtons: impl Fn(f64) -> f64) -> Beam {
        let acting = |load: &SpanLoad| {
            load.at.map(|at| PointLoad { at: at - self.root, force: newtons(load.mass) })
        };
        let spread = self.loads.iter().filter(|load| load.at.is_none());
        let spread: f64 = spread.map(|load| newtons(load.mass)).sum();
        Beam {
            loads: self.loads.iter().filter_map(acting).collect(),
            spread: self.bare.spread + spread,
            ..self.bare.clone()
        }
    }

    /// Bending, shear and sag.
    pub(super) fn checks(&self, loading: Loading) -> Result<Vec<Check>, Wrong> {
        let Self { strength, service, .. } = *self;
        let length = self.bare.length;
        let beam_knocked = self.loaded(|mass| loading.knocked(mass));
        beam_knocked.check()?;
        let pieces = self.pieces.as_ref().map_err(|wrong| *wrong)?;
        let worst = beam_knocked.worst_in(pieces);
        let beam_still = self.loaded(|mass| loading.still(mass));
        let sag = beam_still.sag_in(pieces, self.sags_at(), strength.stiffness)?;
        let sag: f64 = sag.iter().sum();
        let found = find_wood(&self.part.stock.wood).wood;
        let grounds = grounds(&beam_knocked, found, worst.bending_at);
        let check = |question, asked, can| {
            Check::new(self.place.clone(), question, [asked, can], grounds.clone())
        };
        Ok(vec![
            check(LoadQuestion::Bending, worst.bending, strength.bending),
            check(LoadQuestion::Shear, worst.shear, strength.shear),
            check(LoadQuestion::Sag, sag * creep(found.kind, service), (length * SAG).max(NOTHING)),
        ])
    }
}

/// What a beam's checks came from; it is bent most at `worst_at`.
fn grounds(beam: &Beam, wood: &'static Wood, worst_at: f64) -> Grounds {
    // Where two stretches meet it is the weaker that breaks.
    let there = beam.stretches.iter().filter(|s| (s.from..=s.to).contains(&worst_at));
    let section = there.min_by(|a, b| a.section.modulus().total_cmp(&b.section.modulus()));
    Grounds::Bent {
        force: beam.spread + beam.loads.iter().map(|l| l.force).sum::<f64>(),
        length: beam.length,
        wood: wood.name(),
        support: beam.support,
        worst_at,
        section: section.map(|s| s.section),
    }
}

/// The bending that a part's wood may bear the way it is bent, in N/mm², and whether that is across its grain.
pub(super) fn across_or_along(
    part: &Part,
    (wood, service): (&Wood, Service),
    net: &Net<'_>,
) -> (f64, bool) {
    let can = strength(part, (wood, service), (net.along_x(), net.flat())).bending;
    (can, can < allowable(wood, service).bending)
}

/// What a part's wood may bear, bent along its x or not, and square to its face or not.
pub(super) fn strength(
    part: &Part,
    (wood, service): (&Wood, Service),
    (along_x, flat): (bool, bool),
) -> Allowable {
    let straight = allowable(wood, service);
    let with_grain = part.stock.kind == StockKind::Dowel
        || matches!((part.grain, along_x), (Grain::Length, true) | (Grain::Width, false));
    let kept = match (wood.kind.is_panel(), flat, with_grain) {
        (true, false, _) => [PANEL_ON_EDGE; 2],
        (_, _, true) => [1.0; 2],
        (_, _, false) => {
            let across = across(wood.kind, part.stock.plies);
            [across.bending, across.stiffness]
        }
    };
    Allowable {
        bending: straight.bending * kept[0],
        stiffness: straight.stiffness * kept[1],
        ..straight
    }
}
