//! One part of a style's file: shaped, bored, milled and marked.

use indexmap::IndexMap;
use kurbo::Vec2;

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::outline::{Outlined, shape};
use super::part::{Bevel, Drilling, EdgeName, Mark, MarkKind, Part};
use super::{pocket, stock};
use crate::kernel::{Contour, Region};
use crate::limits;
use crate::reading::Kind;
use crate::style::{BevelSpec, DrillingSpec, Edge, Face, MarkSpec, MarkWord, PartSpec, Say};
use crate::tolerance::COORDINATE;

/// A part and the outline it had before anything was cut away.
pub(super) struct NewPart {
    pub part: Part,
    pub blank: Contour,
    /// What is to be said of how it came out.
    pub findings: Vec<Finding>,
}

/// What the files of a style say of one part.
pub(super) struct WholePart<'a> {
    pub bench: Bench<'a>,
    pub spec: &'a PartSpec,
    /// What other files add, each with its own bench.
    pub added: Vec<(Bench<'a>, &'a PartSpec)>,
}

impl<'a> WholePart<'a> {
    /// All that is said, the part itself first.
    pub(super) fn all(&self) -> impl Iterator<Item = (&Bench<'a>, &'a PartSpec)> {
        let added = self.added.iter().map(|(bench, spec)| (bench, *spec));
        std::iter::once((&self.bench, self.spec)).chain(added)
    }

    /// The last that says something.
    fn last<T>(&self, of: impl Fn(&'a PartSpec) -> Option<T>) -> Option<T> {
        self.all().filter_map(|(_, spec)| of(spec)).last()
    }
}

/// The part that is said.
///
/// # Errors
/// When a formula fails or the part can't be made.
pub(super) fn piece(said: &WholePart<'_>) -> Result<NewPart, Refusal> {
    let WholePart { bench, spec, .. } = said;
    let stock = stock::stock(bench, spec)?;
    let Outlined { blank, region, mut drillings, mut marks, mut rows, findings } = shape(said)?;
    let mut pockets = Vec::new();
    for (bench, spec) in said.all() {
        let (more, of_pockets) = pocket::pockets(bench, spec, &region, stock.thickness)?;
        pockets.extend(more);
        rows.extend(of_pockets);
        drillings.extend(each(&spec.drillings, |spec| drilled(bench, spec))?);
        marks.extend(each(&spec.marks, |spec| scribed(bench, spec))?);
    }
    at_origin(bench, &region)?;
    let part = Part {
        name: bench.name.to_owned(),
        kind: bench.name.to_owned(),
        about: said
            .last(|spec| (!spec.about.is_empty()).then(|| spec.about.clone()))
            .unwrap_or_default(),
        stock,
        region,
        grain: said.last(|spec| spec.grain).unwrap_or_default(),
        drillings,
        pockets,
        marks,
        rows,
        edges: edges(said),
        bevel: spec.bevel.as_ref().map(|spec| bevel(bench, spec)).transpose()?,
        // Found once all parts are shaped: they sit beside one another.
        places: Vec::new(),
        made_by: bench.made_by,
    };
    Ok(NewPart { part, blank, findings })
}

/// The names of a part's edges; of two for one edge the last.
fn edges(said: &WholePart<'_>) -> Vec<EdgeName> {
    let mut named: IndexMap<Edge, &String> = IndexMap::new();
    named.extend(
        said.all().flat_map(|(_, spec)| spec.edges.iter().map(|(edge, name)| (*edge, name))),
    );
    named.into_iter().map(|(edge, label)| EdgeName { edge, label: label.clone() }).collect()
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
        let label = spec.say.as_ref().map(|say| label(bench, say)).transpose()?;
        Ok(Mark { kind, label: label.unwrap_or_default() })
    })
}

/// What a mark says, short enough for a drawing.
fn label(bench: &Bench<'_>, say: &Say) -> Result<String, Refusal> {
    let text = bench.say(say)?;
    if text.chars().count() <= limits::LABEL {
        return Ok(text);
    }
    let has = text.chars().count();
    let message = format!("this mark says {has} characters; at most {}", limits::LABEL);
    Err(bench.layer.source.problem(say.span.clone(), message).into())
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
