//! Parts that are bent: arms, shelves, pegs, lips and brackets, and shelves between supports.

use super::check::{Check, CheckPlace, LoadQuestion, NOTHING};
use super::grounds::Grounds;
use super::net::Net;
use super::weight::{Loading, of_piece};
use crate::holder::{Grain, Part, SpanLoad, StockKind};
use crate::shop::{Service, Wood, find_wood};
use crate::strength::{Allowable, Beam, PointLoad, Support, Wrong, across, allowable, creep};
use crate::style::{Runs, Space};

/// Part of a panel's bending strength and stiffness that is left when it is bent in its own plane,
/// where about half its layers run the wrong way. Common practice, no source.
pub(super) const PANEL_ON_EDGE: f64 = 0.5;

/// Sag that does not trouble the eye, as part of a length. Common practice, no source.
const SAG: f64 = 0.01;

/// A piece that is bent, and by what.
pub(super) struct Bent<'a> {
    pub place: CheckPlace,
    pub part: &'a Part,
    pub support: Support,
    /// The way it runs in the holder (0 right, 1 up, 2 out), from where to where, in mm.
    pub axis: usize,
    pub from: f64,
    pub to: Option<f64>,
    /// What lies on it.
    pub loads: Vec<SpanLoad>,
}

impl<'a> Bent<'a> {
    /// Held at one end: where, its mass, and where that acts.
    pub(super) fn cantilever(
        place: CheckPlace,
        part: &'a Part,
        runs: Runs,
        (root, mass, at): (f64, f64, Option<f64>),
    ) -> Self {
        let axis = match runs {
            Runs::Out => 2,
            Runs::Up => 1,
        };
        let loads = vec![SpanLoad { mass, at }];
        Self { place, part, support: Support::Cantilever, axis, from: root, to: None, loads }
    }

    /// Held at both ends, side by side on the wall.
    pub(super) fn span(
        place: CheckPlace,
        part: &'a Part,
        [from, to]: [f64; 2],
        loads: Vec<SpanLoad>,
    ) -> Self {
        Self { place, part, support: Support::Simple, axis: 0, from, to: Some(to), loads }
    }

    /// Bending, shear and sag; nothing where the part does not reach beyond its root.
    pub(super) fn checks(&self, loading: Loading, service: Service) -> Result<Vec<Check>, Wrong> {
        let Some(piece) = self.part.places.first() else { return Ok(Vec::new()) };
        let [u, v, w] = piece.faces.frame();
        let along_x = u[self.axis].abs() > v[self.axis].abs();
        // What hangs pulls down; what pushes on a part that stands up pushes outward.
        let load_axis = if self.axis == 1 { 2 } else { 1 };
        let net = Net::new(self.part, along_x, w[load_axis].abs() > 0.5);
        let (low, high) = piece.bounds();
        let tip = self.to.unwrap_or(high[self.axis]).min(high[self.axis]);
        let root = self.from.max(low[self.axis]);
        let length = tip - root;
        let on_part = |place: f64| {
            let point: Space = std::array::from_fn(|i| if i == self.axis { place } else { low[i] });
            let (at, _) = piece.to_piece(point);
            if along_x { at.x } else { at.y }
        };
        let own = if self.axis == 1 { 0.0 } else { of_piece(self.part) };
        let beam = |newtons: &dyn Fn(f64) -> f64| {
            let acting = |load: &SpanLoad| {
                load.at.map(|at| PointLoad { at: at - root, force: newtons(load.mass) })
            };
            let spread = self.loads.iter().filter(|load| load.at.is_none());
            Beam {
                support: self.support,
                length,
                stretches: net.stretches(on_part(root), on_part(root + length), length),
                loads: self.loads.iter().filter_map(acting).collect(),
                spread: own + spread.map(|load| newtons(load.mass)).sum::<f64>(),
            }
        };
        let found = find_wood(&self.part.stock.wood).wood;
        let strength = strength(self.part, (found, service), (net.along_x(), net.flat()));
        let beam_knocked = beam(&|mass| loading.knocked(mass));
        let worst = beam_knocked.worst()?;
        let place = match self.support {
            Support::Cantilever => length,
            Support::Simple => length / 2.0,
        };
        let sag: f64 =
            beam(&|mass| loading.still(mass)).sag(place, strength.stiffness)?.iter().sum();
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
