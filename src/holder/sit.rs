//! Where the pieces of every part sit: by figures, and beside other parts.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::part::Part;
use super::placement::{Placement, turned_about};
use super::told::{Told, told};
use crate::reading::Problems;
use crate::style::{BesideSpec, BesideWay, Facing, PartSpec, SitsSpec, Space};
use crate::tolerance::COORDINATE;

/// A part that is shaped, with what its style says of it.
pub(super) struct Unplaced<'a> {
    pub bench: Bench<'a>,
    pub spec: &'a PartSpec,
    pub part: Part,
    /// Its number, of parts that differ by it.
    pub n: Option<usize>,
}

/// The least and the greatest corner of a level box.
type Bounds = (Space, Space);

/// Places the pieces of all parts, each after those that it sits beside. A part that can't be placed
/// is told and has no pieces.
///
/// # Errors
/// When the style is wrong.
pub(super) fn seated(parts: Vec<Unplaced<'_>>) -> Result<Told<Vec<Part>>, Problems> {
    let mut findings = Vec::new();
    let mut places: Vec<Option<Vec<Placement>>> = vec![None; parts.len()];
    let of = |name: &str| {
        let named = |at: &usize| parts[*at].part.kind == name;
        (0..parts.len()).filter(named).collect::<Vec<_>>()
    };
    while let Some(next) = next(&parts, &places, of) {
        let bounds = |name: &str| {
            let placed = of(name).into_iter().filter_map(|at| places[at].as_deref());
            Placement::around(placed.flatten())
        };
        let Unplaced { bench, n, .. } = &parts[next];
        let work = || pieces(&parts[next], &bounds);
        let seated = n.map_or_else(work, |n| bench.values.in_round(n, work));
        let seated = told(seated)?.tell(&mut findings).unwrap_or_default();
        places[next] = Some(seated);
    }
    for (unplaced, places) in parts.iter().zip(&places) {
        findings.extend(places.is_none().then(|| in_a_circle(unplaced)));
    }
    let placed = parts.into_iter().zip(places);
    let value = placed.map(|(unplaced, places)| {
        let places = places.unwrap_or_default();
        Part { places, ..unplaced.part }
    });
    Ok(Told { value: value.collect(), findings })
}

/// The first part not yet placed that waits for none.
fn next(
    parts: &[Unplaced<'_>],
    places: &[Option<Vec<Placement>>],
    of: impl Fn(&str) -> Vec<usize>,
) -> Option<usize> {
    let ready = |name: &str| of(name).iter().all(|other| places[*other].is_some());
    (0..parts.len()).find(|at| places[*at].is_none() && neighbors(parts[*at].spec).all(&ready))
}

/// The parts that a part sits beside.
fn neighbors(spec: &PartSpec) -> impl Iterator<Item = &str> {
    spec.sits.iter().flat_map(|sits| &sits.beside).flat_map(|beside| {
        let other = match &beside.side {
            BesideWay::Between(other) => Some(other.get_ref().as_str()),
            _ => None,
        };
        [Some(beside.part.get_ref().as_str()), other].into_iter().flatten()
    })
}

fn in_a_circle(unplaced: &Unplaced<'_>) -> Finding {
    let beside: Vec<&str> = neighbors(unplaced.spec).collect();
    let message = format!(
        "{} sits beside {}, which sits beside it in turn: give one of them its place by x, y and z \
         (sits in {}).",
        unplaced.part.name,
        beside.join(" and "),
        unplaced.bench.layer.source.name()
    );
    Finding::stop("sits-in-a-circle", message)
}

/// The pieces of a part, other parts' boxes given by `bounds`.
fn pieces(
    unplaced: &Unplaced<'_>,
    bounds: &dyn Fn(&str) -> Option<Bounds>,
) -> Result<Vec<Placement>, Refusal> {
    let Unplaced { bench, spec, part, .. } = unplaced;
    let around = part.region.bounds();
    let size = [around.width(), around.height(), part.stock.thickness];
    let mut places = Vec::new();
    for sits in &spec.sits {
        let (repeat, when) = (sits.repeat.as_ref(), sits.when.as_ref());
        let rounds = bench
            .rounds_when(repeat, when, |step: Space| round(bench, sits, (size, step), bounds))?;
        places.extend(rounds.into_iter().flatten());
    }
    Ok(places)
}

/// The piece of one round, or the two at both ends of another part.
fn round(
    bench: &Bench<'_>,
    sits: &SitsSpec,
    (size, step): (Space, Space),
    bounds: &dyn Fn(&str) -> Option<Bounds>,
) -> Result<Vec<Placement>, Refusal> {
    let ends = sits.beside.iter().any(|beside| matches!(beside.side, BesideWay::EndsOf));
    let ways = if ends { &[Facing::Left, Facing::Right][..] } else { &[sits.faces][..] };
    let pieces = ways.iter().map(|faces| {
        let piece =
            Piece { bench, sits, faces: *faces, extent: Placement::extent_of(*faces, size) };
        let mut at = piece.corner(bounds)?;
        at.iter_mut().zip(step).for_each(|(at, step)| *at += step);
        let tilt = bench.angle(sits.tilt.as_ref())?;
        if let Some(hinge) = &sits.hinge {
            at = turned_about(bench.length(&hinge[0])?, bench.length(&hinge[1])?, tilt, at);
        }
        // Of two at both ends the right one is turned, so that the same edge looks to the wall.
        let half_turn = sits.half_turn && !(ends && *faces == Facing::Left);
        Ok(Placement { at, faces: *faces, half_turn, size, tilt })
    });
    pieces.collect()
}

/// A piece that is being placed.
struct Piece<'a> {
    bench: &'a Bench<'a>,
    sits: &'a SitsSpec,
    faces: Facing,
    /// The level box that it fills.
    extent: Space,
}

impl Piece<'_> {
    /// Its least corner: where a figure says, else beside another part, else flush with that, else 0.
    fn corner(&self, bounds: &dyn Fn(&str) -> Option<Bounds>) -> Result<Space, Refusal> {
        let mut corner = [0.0; 3];
        for (i, beside) in self.sits.beside.iter().enumerate() {
            let by = |name: &str| bounds(name).ok_or_else(|| self.nothing(name));
            let box_ = by(beside.part.get_ref())?;
            if i == 0 {
                corner = box_.0;
            }
            let (axis, place) = match &beside.side {
                BesideWay::Between(other) => self.between(beside, box_, by(other.get_ref())?)?,
                side => self.against(side, box_),
            };
            corner[axis] = place;
        }
        for (place, expr) in corner.iter_mut().zip(&self.sits.at) {
            if let Some(expr) = expr {
                *place = self.bench.length(expr)?;
            }
        }
        Ok(corner)
    }

    /// Along which axis it is against a side of a box, and where its least corner then is.
    fn against(&self, side: &BesideWay, (low, high): Bounds) -> (usize, f64) {
        match side {
            BesideWay::On => (1, high[1]),
            BesideWay::Under => (1, low[1] - self.extent[1]),
            BesideWay::Before => (2, high[2]),
            BesideWay::Behind => (2, low[2] - self.extent[2]),
            BesideWay::RightOf => (0, high[0]),
            BesideWay::LeftOf => (0, low[0] - self.extent[0]),
            BesideWay::EndsOf if self.faces == Facing::Right => (0, high[0] - self.extent[0]),
            BesideWay::EndsOf | BesideWay::Between(_) => (0, low[0]),
        }
    }

    /// The middle of the gap between two boxes.
    fn between(
        &self,
        beside: &BesideSpec,
        (low, high): Bounds,
        (near, far): Bounds,
    ) -> Result<(usize, f64), Refusal> {
        let gap = |axis: usize| {
            let (from, to) = (high[axis].min(far[axis]), low[axis].max(near[axis]));
            (axis, from, to)
        };
        let widest = (0..3).map(gap).max_by(|a, b| (a.2 - a.1).total_cmp(&(b.2 - b.1)));
        match widest {
            Some((axis, from, to)) if to - from > COORDINATE => {
                Ok((axis, f64::midpoint(from, to) - self.extent[axis] / 2.0))
            }
            _ => {
                let message = format!(
                    "{} sits between {} and another part with no gap between them, 0 wide: give it its \
                     place by x, y and z.",
                    self.bench.name,
                    beside.part.get_ref()
                );
                Err(Finding::stop("sits-beside-nothing", message).into())
            }
        }
    }

    fn nothing(&self, beside: &str) -> Refusal {
        let message = format!(
            "{} sits beside {beside}, and 0 of it are made: give it its place by x, y and z (sits in {}).",
            self.bench.name,
            self.bench.layer.source.name()
        );
        Finding::stop("sits-beside-nothing", message).into()
    }
}
