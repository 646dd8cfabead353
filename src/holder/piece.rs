//! One part of a style's file: shaped, bored, milled, marked and put in its places.

use kurbo::Vec2;

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::outline::{Outlined, shape};
use super::part::{Bevel, Drilling, EdgeName, Mark, MarkKind, Part};
use super::placement::{Placement, turned_about};
use super::{pocket, stock};
use crate::kernel::{Contour, Region};
use crate::reading::Kind;
use crate::style::{BevelSpec, DrillingSpec, Face, MarkSpec, MarkWord, PartSpec, SitsSpec, Space};
use crate::tolerance::COORDINATE;

/// A part and the outline it had before anything was cut away.
pub(super) struct NewPart {
    pub part: Part,
    pub blank: Contour,
}

/// The part that `spec` says.
///
/// # Errors
/// When a formula fails or the part can't be made.
pub(super) fn piece(bench: &Bench<'_>, spec: &PartSpec) -> Result<NewPart, Refusal> {
    let stock = stock::stock(bench, spec)?;
    let Outlined { blank, region, mut drillings, mut marks, mut rows } = shape(bench, spec)?;
    let (pockets, more) = pocket::pockets(bench, spec, &region, stock.thickness)?;
    rows.extend(more);
    let size = [region.bounds().width(), region.bounds().height(), stock.thickness];
    at_origin(bench, &region)?;
    drillings.extend(each(&spec.drillings, |spec| drilled(bench, spec))?);
    marks.extend(each(&spec.marks, |spec| scribed(bench, spec))?);
    let name = |(edge, label): (&_, &String)| EdgeName { edge: *edge, label: label.clone() };
    let part = Part {
        name: bench.name.to_owned(),
        about: spec.about.clone(),
        stock,
        region,
        grain: spec.grain,
        drillings,
        pockets,
        marks,
        rows,
        edges: spec.edges.iter().map(name).collect(),
        bevel: spec.bevel.as_ref().map(|spec| bevel(bench, spec)).transpose()?,
        places: each(&spec.sits, |sits| placements(bench, sits, size))?,
        made_by: bench.made_by,
    };
    Ok(NewPart { part, blank })
}

/// What all of `specs` come to, in order.
fn each<S, T>(
    specs: &[S],
    work: impl Fn(&S) -> Result<Vec<T>, Refusal>,
) -> Result<Vec<T>, Refusal> {
    let mut all = Vec::new();
    for spec in specs {
        all.extend(work(spec)?);
    }
    Ok(all)
}

/// A part's lower left corner is its origin: a cut that takes it away moves all that is measured.
fn at_origin(bench: &Bench<'_>, region: &Region) -> Result<(), Refusal> {
    let corner = region.bounds().origin();
    if corner.to_vec2().hypot() <= COORDINATE {
        return Ok(());
    }
    let message = format!(
        "{}: its lower left corner comes to {}, {} instead of 0, 0: its cuts take the left or \
         lower edge away. Widen its margins.",
        bench.name,
        bench.write(corner.x),
        bench.write(corner.y)
    );
    Err(Finding::stop("shape", message).into())
}

fn bevel(bench: &Bench<'_>, spec: &BevelSpec) -> Result<Bevel, Refusal> {
    let angle = bench.figure(&spec.angle, Kind::Angle)?;
    Ok(Bevel { edge: spec.edge, angle, full_face: spec.full_face })
}

fn scribed(bench: &Bench<'_>, spec: &MarkSpec) -> Result<Vec<Mark>, Refusal> {
    bench.rounds_when(spec.repeat.as_ref(), spec.when.as_ref(), |step: [f64; 2]| {
        let step = Vec2::from((step[0], step[1]));
        let (from, to) = (bench.pair(&spec.from)? + step, bench.pair(&spec.to)? + step);
        let kind = match spec.kind {
            MarkWord::Center => MarkKind::Center { from, to },
            MarkWord::Scribe => MarkKind::Scribe { from, to },
        };
        Ok(Mark { kind, label: spec.say.clone() })
    })
}

fn drilled(bench: &Bench<'_>, spec: &DrillingSpec) -> Result<Vec<Drilling>, Refusal> {
    bench.rounds_when(spec.repeat.as_ref(), spec.when.as_ref(), |step: [f64; 2]| {
        let diameter = bench.size(&spec.diameter)?;
        let lean = bench.angle(spec.lean.as_ref())?;
        Ok(Drilling {
            at: bench.pair(&spec.at)? + Vec2::from((step[0], step[1])),
            diameter,
            depth: spec.depth.as_ref().map(|depth| bench.size(depth)).transpose()?,
            purpose: spec.purpose,
            bit: bench.bit_of(diameter),
            face: Face::Show,
            lean,
        })
    })
}

/// Where the pieces of one `sits` entry are.
fn placements(bench: &Bench<'_>, sits: &SitsSpec, size: Space) -> Result<Vec<Placement>, Refusal> {
    bench.rounds_when(sits.repeat.as_ref(), sits.when.as_ref(), |step: Space| {
        let mut at = step;
        for (place, expr) in at.iter_mut().zip(&sits.at) {
            *place += bench.length(expr)?;
        }
        let tilt = bench.angle(sits.tilt.as_ref())?;
        if let Some(hinge) = &sits.hinge {
            at = turned_about(bench.length(&hinge[0])?, bench.length(&hinge[1])?, tilt, at);
        }
        let (faces, half_turn) = (sits.faces, sits.half_turn);
        Ok(Placement { at, faces, half_turn, size, tilt })
    })
}
