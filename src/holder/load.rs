//! What hangs on a holder, and what in it must bear that: figures for the strength of it.

use super::build::Bench;
use super::finding::Refusal;
use super::part::Part;
use super::screws::ScrewJoint;
use crate::reading::Kind;
use crate::style::{BearerSpec, CantileverSpec, Runs, ScrewedSpec, SpanSpec};

/// Tools that hang on the holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// In kg.
    pub mass: f64,
    /// How far out from the wall it acts, in mm.
    pub out: f64,
}

/// Something that must bear its load.
#[derive(Debug, Clone, PartialEq)]
pub struct Bearer {
    pub what: String,
    pub model: Model,
}

/// How a load is borne. Parts and screws are given by their place in the holder's lists.
#[derive(Debug, Clone, PartialEq)]
pub enum Model {
    /// One piece held at one end.
    Cantilever { part: usize, runs: Runs, root: f64, mass: f64, at: Option<f64> },
    /// One piece that rests on two places, from left to right, its load spread between them.
    Span { part: usize, from: f64, to: f64, mass: f64 },
    /// Screws that share a mass. `turn` says how far out it acts and about which line, from the
    /// low corner of the part they pass through; `None` where it only shears. `middle` is how far
    /// from the left end it acts; `None` where they share it evenly.
    Screws { joints: Vec<usize>, mass: f64, turn: Option<Turn>, middle: Option<f64> },
    /// The whole holder on the wall's cleat, the wall pushing at its foot `bearing` mm up.
    Hook { cleat: usize, screws: usize, bearing: f64 },
}

/// What turns a screwed joint open, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    pub out: f64,
    pub pivot: f64,
}

/// The weights this layer names.
pub(super) fn weights(bench: &Bench<'_>) -> Result<Vec<Weight>, Refusal> {
    let mut weights = Vec::new();
    for spec in &bench.layer.file.weights {
        if bench.holds(spec.when.as_ref())? {
            let mass = bench.figure(&spec.mass, Kind::Mass)?;
            weights.push(Weight { mass, out: bench.length(&spec.out)? });
        }
    }
    Ok(weights)
}

/// What must bear them. A bearer whose part or screws the holder does not have is left out.
pub(super) fn bearers(
    bench: &Bench<'_>,
    parts: &[Part],
    screws: &[ScrewJoint],
) -> Result<Vec<Bearer>, Refusal> {
    let mut bearers = Vec::new();
    for spec in &bench.layer.file.bears {
        let found = bench.rounds(spec.repeat.as_ref(), |_: [f64; 1]| {
            if bench.holds(spec.when.as_ref())? {
                model(bench, spec, parts, screws)
            } else {
                Ok(None)
            }
        })?;
        let named = |model| Bearer { what: spec.what.get_ref().clone(), model };
        bearers.extend(found.into_iter().flatten().map(named));
    }
    Ok(bearers)
}

fn model(
    bench: &Bench<'_>,
    spec: &BearerSpec,
    parts: &[Part],
    screws: &[ScrewJoint],
) -> Result<Option<Model>, Refusal> {
    let part = |name: &str| parts.iter().position(|p| p.name == name && !p.places.is_empty());
    if let Some(spec) = &spec.cantilever {
        return part(spec.part.get_ref()).map(|part| cantilever(bench, spec, part)).transpose();
    }
    if let Some(spec) = &spec.span {
        return part(spec.part.get_ref()).map(|part| span(bench, spec, part)).transpose();
    }
    if let Some(spec) = &spec.screws {
        return screwed(bench, spec, screws);
    }
    let Some(spec) = &spec.hook else { return Ok(None) };
    let joint = screws.iter().position(|joint| joint.about == *spec.screws.get_ref());
    let bearing = bench.length(&spec.bearing)?;
    let hook = |(cleat, screws)| Model::Hook { cleat, screws, bearing };
    Ok(part(spec.cleat.get_ref()).zip(joint).map(hook))
}

fn cantilever(bench: &Bench<'_>, spec: &CantileverSpec, part: usize) -> Result<Model, Refusal> {
    Ok(Model::Cantilever {
        part,
        runs: spec.runs,
        root: bench.length(&spec.root)?,
        mass: bench.figure(&spec.mass, Kind::Mass)?,
        at: spec.at.as_ref().map(|at| bench.length(at)).transpose()?,
    })
}

fn span(bench: &Bench<'_>, spec: &SpanSpec, part: usize) -> Result<Model, Refusal> {
    Ok(Model::Span {
        part,
        from: bench.length(&spec.from)?,
        to: bench.length(&spec.to)?,
        mass: bench.figure(&spec.mass, Kind::Mass)?,
    })
}

fn screwed(
    bench: &Bench<'_>,
    spec: &ScrewedSpec,
    screws: &[ScrewJoint],
) -> Result<Option<Model>, Refusal> {
    let named = |joint: &ScrewJoint| spec.joints.iter().any(|name| *name.get_ref() == joint.about);
    let joints: Vec<usize> = (0..screws.len()).filter(|i| named(&screws[*i])).collect();
    if joints.is_empty() {
        return Ok(None);
    }
    let turn = match (&spec.out, &spec.pivot) {
        (Some(out), Some(pivot)) => {
            Some(Turn { out: bench.length(out)?, pivot: bench.length(pivot)? })
        }
        _ => None,
    };
    let middle = spec.middle.as_ref().map(|middle| bench.length(middle)).transpose()?;
    Ok(Some(Model::Screws { joints, mass: bench.figure(&spec.mass, Kind::Mass)?, turn, middle }))
}
