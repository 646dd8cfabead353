//! What hangs on a holder, and what in it must bear that: figures for the strength of it.

mod path;

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::joint::Joined;
use super::part::{Part, made_of};
use super::placement::Placement;
use super::screws::ScrewJoint;
use super::told::{Told, told};
use crate::formula::Value;
use crate::reading::{Kind, Problems, Spanned};
use crate::style::{
    CantileverSpec, CarrierModel, CarrierSpec, HookSpec, Runs, ScrewedSpec, SpanLoadSpec, SpanSpec,
    StyleFile, TabbedSpec, WeightSpec,
};
use crate::tolerance::COORDINATE;

/// Tools that hang on the holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Weight {
    /// In kg.
    pub mass: f64,
    /// How far out from the wall it acts, in mm.
    pub out: f64,
}

/// Something that must bear its load.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Carrier {
    pub what: String,
    pub model: Model,
}

/// How a load is borne. Parts and screws are given by their place in the holder's lists.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Model {
    /// One piece held at one end.
    Cantilever { part: usize, runs: Runs, root: f64, mass: f64, at: Option<f64> },
    /// One piece that rests on two places, from left to right.
    Span { part: usize, from: f64, to: f64, loads: Vec<SpanLoad> },
    /// A round piece that stands `depth` deep in a bore of another, its load `lever` beyond the rim.
    Socket { rod: usize, into: usize, depth: f64, lever: f64, mass: f64 },
    /// Screws that share a mass. `turn` says how far out it acts and about which line, from the
    /// low corner of the part they pass through; `None` where it only shears. `middle` is how far
    /// from the left end it acts; `None` where they share it evenly.
    Screws { joints: Vec<usize>, mass: f64, turn: Option<Turn>, middle: Option<f64> },
    /// Tabs of a joint, by its place in the holder's list, that a mass pulls out: how far out it acts, and the height
    /// (of tabs that stand up: how far out) of the line the joint would turn open about, in the holder.
    Tabs { joint: usize, mass: f64, turn: Turn, up: bool },
    /// Tabs of joints that a part lies on, by their places in the holder's list: they share a mass.
    OnTabs { joints: Vec<usize>, mass: f64 },
    /// The whole holder on the wall cleat, the wall pushing at its foot `bearing` mm up; `kept_by` are the screws of
    /// the strip that keeps it from lifting off.
    Hook { cleat: usize, screws: usize, bearing: f64, kept_by: Option<usize> },
}

/// A mass in kg on a piece between two places, and how far from the left end of the holder it acts, in mm;
/// spread from one to the other where that is not said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SpanLoad {
    pub mass: f64,
    pub at: Option<f64>,
}

/// What turns a screwed joint open, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Turn {
    pub out: f64,
    pub pivot: f64,
}

/// What hangs on a holder, and what must bear it.
#[derive(Default)]
pub(super) struct Loads {
    pub weights: Vec<Weight>,
    pub carriers: Vec<Carrier>,
    /// The part of its places that is left empty for now.
    pub spare: f64,
    /// By what the weights are multiplied; `None` where the style does not say.
    pub live_load: Option<f64>,
}

/// The loads of a holder of `parts` held by `screws`. A carrier whose part or screws the holder does
/// not have is left out.
///
/// # Errors
/// When the style is wrong.
pub(super) fn loaded(benches: &[Bench<'_>], joined: &Joined) -> Result<Told<Loads>, Problems> {
    let mut loaded = Loads { spare: spare(benches), ..Loads::default() };
    let mut findings = Vec::new();
    for bench in benches {
        for spec in &bench.layer.file.weights {
            let weight = told(weight(bench, spec))?.tell(&mut findings).flatten();
            let path: Vec<&str> = spec.path.iter().map(|part| part.get_ref().as_str()).collect();
            let along = weight.map(|weight| path::along(bench, &path, weight, joined));
            let along = told(along.transpose())?.tell(&mut findings).flatten();
            loaded.weights.extend(weight);
            loaded.carriers.extend(along.into_iter().flatten());
        }
        for spec in &bench.layer.file.carries {
            let found = told(carriers(bench, spec, joined))?.tell(&mut findings);
            loaded.carriers.extend(found.into_iter().flatten());
        }
    }
    if let Some((bench, expr)) = first(benches, |file| file.live_load.as_ref()) {
        loaded.live_load = told(bench.figure(expr, Kind::Number))?.tell(&mut findings);
    }
    Ok(Told { value: loaded, findings })
}

/// The part of a holder's places that is left empty for now: the room for more, of tools and that.
fn spare(benches: &[Bench<'_>]) -> f64 {
    let spare = first(benches, |file| file.counts.as_ref()).and_then(|(bench, counts)| {
        let figure = |name: &Option<Spanned<String>>| match name {
            Some(name) => match bench.values.known(name.get_ref())? {
                Value::Figure(quantity) => Some(quantity.value),
                _ => None,
            },
            None => Some(0.0),
        };
        let (tools, room) = (figure(&counts.tools)?, figure(&counts.room)?);
        (tools > 0.0).then(|| room / (tools + room))
    });
    spare.unwrap_or(0.0)
}

/// What the first file that says it says.
fn first<'a, T>(
    benches: &[Bench<'a>],
    of: impl Fn(&'a StyleFile) -> Option<&'a T>,
) -> Option<(Bench<'a>, &'a T)> {
    benches.iter().find_map(|bench| Some((*bench, of(&bench.layer.file)?)))
}

fn weight(bench: &Bench<'_>, spec: &WeightSpec) -> Result<Option<Weight>, Refusal> {
    if !bench.holds(spec.when.as_ref())? {
        return Ok(None);
    }
    let mass = bench.figure(&spec.mass, Kind::Mass)?;
    Ok(Some(Weight { mass, out: bench.length(&spec.out)? }))
}

fn carriers(
    bench: &Bench<'_>,
    spec: &CarrierSpec,
    joined: &Joined,
) -> Result<Vec<Carrier>, Refusal> {
    let models = bench.rounds_when(spec.repeat.as_ref(), spec.when.as_ref(), |_: [f64; 1]| {
        let models = models(bench, &spec.model, joined)?;
        let within = |model| within(bench, spec.name.get_ref(), model, &joined.parts);
        models.iter().try_for_each(within)?;
        Ok(models)
    })?;
    let named = |model| Carrier { what: spec.name.get_ref().clone(), model };
    Ok(models.into_iter().flatten().map(named).collect())
}

/// What a model comes to, for each part of its kind.
fn models(bench: &Bench<'_>, model: &CarrierModel, joined: &Joined) -> Result<Vec<Model>, Refusal> {
    let of = |kind: &str| made_of(kind, &joined.parts);
    let screws = joined.screws.as_slice();
    match model {
        CarrierModel::Cantilever(spec) => {
            of(spec.part.get_ref()).into_iter().map(|part| cantilever(bench, spec, part)).collect()
        }
        CarrierModel::Span(spec) => {
            of(spec.part.get_ref()).into_iter().map(|part| span(bench, spec, part)).collect()
        }
        CarrierModel::Screws(spec) => Ok(screwed(bench, spec, screws)?.into_iter().collect()),
        CarrierModel::Tabs(spec) => Ok(on_tabs(bench, spec, joined)?.into_iter().collect()),
        CarrierModel::Hook(spec) => {
            let cleat = of(spec.cleat.get_ref()).first().copied();
            Ok(hook(bench, spec, cleat, screws)?.into_iter().collect())
        }
    }
}

/// Whether the part reaches beyond where it is held, and has its supports within itself.
fn within(bench: &Bench<'_>, what: &str, model: &Model, parts: &[Part]) -> Result<(), Refusal> {
    let ends = |part: usize, axis: usize| {
        let bounds = parts[part].places.first().map(Placement::bounds);
        bounds.map_or([0.0; 2], |(low, high)| [low[axis], high[axis]])
    };
    let told = |code: &str, message: String| Err(Finding::stop(code, message).into());
    match *model {
        Model::Cantilever { part, runs, root, .. } => {
            let axis = if runs == Runs::Out { 2 } else { 1 };
            let [_, tip] = ends(part, axis);
            if tip - root > COORDINATE {
                return Ok(());
            }
            let (name, tip, root) = (&parts[part].name, bench.write(tip), bench.write(root));
            told(
                "no-reach",
                format!(
                    "{what}: {name} ends {tip} out and is held at {root}, so it reaches 0 beyond that and no \
                 load on it is worked out: look at root under [carries]."
                ),
            )
        }
        Model::Span { part, from, to, .. } => {
            let [low, high] = ends(part, 0);
            if low - COORDINATE <= from && from < to && to <= high + COORDINATE {
                return Ok(());
            }
            let name = &parts[part].name;
            let [low, high, from, to] = [low, high, from, to].map(|place| bench.write(place));
            told(
                "support-outside",
                format!(
                    "{what}: {name} runs from {low} to {high}, and its supports are at {from} and {to}: put both \
                 within it (from and to under [carries])."
                ),
            )
        }
        Model::Socket { .. }
        | Model::Screws { .. }
        | Model::Tabs { .. }
        | Model::OnTabs { .. }
        | Model::Hook { .. } => Ok(()),
    }
}

fn hook(
    bench: &Bench<'_>,
    spec: &HookSpec,
    cleat: Option<usize>,
    screws: &[ScrewJoint],
) -> Result<Option<Model>, Refusal> {
    let named = |name: &str| screws.iter().position(|joint| joint.about == name);
    let joint = named(spec.screws.get_ref());
    let kept_by = spec.kept_by.as_ref().and_then(|joint| named(joint.get_ref()));
    let bearing = bench.length(&spec.bearing)?;
    let hook = |(cleat, screws)| Model::Hook { cleat, screws, bearing, kept_by };
    Ok(cleat.zip(joint).map(hook))
}

fn cantilever(bench: &Bench<'_>, spec: &CantileverSpec, part: usize) -> Result<Model, Refusal> {
    Ok(Model::Cantilever {
        part,
        runs: spec.runs,
        root: bench.length(&spec.root)?,
        mass: bench.figure(&spec.mass, Kind::Mass)?,
        at: bench.optional(spec.at.as_ref())?,
    })
}

fn span(bench: &Bench<'_>, spec: &SpanSpec, part: usize) -> Result<Model, Refusal> {
    Ok(Model::Span {
        part,
        from: bench.length(&spec.from)?,
        to: bench.length(&spec.to)?,
        loads: spec.loads.iter().map(|load| span_load(bench, load)).collect::<Result<_, _>>()?,
    })
}

fn span_load(bench: &Bench<'_>, spec: &SpanLoadSpec) -> Result<SpanLoad, Refusal> {
    let mass = bench.figure(&spec.mass, Kind::Mass)?;
    Ok(SpanLoad { mass, at: bench.optional(spec.at.as_ref())? })
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
    let turn = spec.turn.as_ref().map(|turn| {
        Ok::<_, Refusal>(Turn { out: bench.length(&turn.out)?, pivot: bench.length(&turn.pivot)? })
    });
    let (turn, middle) = (turn.transpose()?, bench.optional(spec.middle.as_ref())?);
    Ok(Some(Model::Screws { joints, mass: bench.figure(&spec.mass, Kind::Mass)?, turn, middle }))
}

/// The tabs that parts of one kind have in those of another.
fn on_tabs(
    bench: &Bench<'_>,
    spec: &TabbedSpec,
    joined: &Joined,
) -> Result<Option<Model>, Refusal> {
    let named = |name: &str, kind: &str| {
        joined.parts.iter().any(|part| part.name == name && part.kind == kind)
    };
    let joints = joined.joints.iter().enumerate().filter(|(_, joint)| {
        named(&joint.tabs, spec.part.get_ref()) && named(&joint.into, spec.into.get_ref())
    });
    let joints: Vec<usize> = joints.map(|(index, _)| index).collect();
    if joints.is_empty() {
        return Ok(None);
    }
    Ok(Some(Model::OnTabs { joints, mass: bench.figure(&spec.mass, Kind::Mass)? }))
}
