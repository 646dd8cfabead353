//! Everything a holder must bear, and how much more it could.

use super::beam::Bent;
use super::check::{Check, Question};
use super::hook::{Hooked, Hung};
use super::screwed;
use super::weight::Loading;
use crate::holder::{Bearer, Holder, Model};
use crate::shop::{Shop, find_wood};
use crate::strength::Wrong;

/// Nobody hangs so many times what was planned.
const MOST_TIMES: f64 = 1000.0;

/// What a holder carries.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// In the order of the style.
    pub checks: Vec<Check>,
    /// Mass of the tools that hang on it, in kg.
    pub tools: f64,
    /// Mass of all that hangs on the wall: tools and wood, in kg.
    pub whole: f64,
    /// The factor for knocks and pulls.
    pub live: f64,
    /// The mass of tools at which the first grave check is met, in kg, and which check that is;
    /// `None` without tools, and where something can't be counted.
    pub could: Option<f64>,
    pub could_until: Option<Check>,
    /// How many studs share it, and what comes down on each, in N; 0 when it does not hang on a
    /// cleat.
    pub studs: f64,
    pub per_stud: f64,
    /// What could not be worked out, and why.
    pub failed: Vec<String>,
    /// What no figure says.
    pub remarks: Vec<String>,
}

impl Assessment {
    /// The grave check that is nearest to its limit, or furthest beyond.
    pub fn limit(&self) -> Option<&Check> {
        limit(&self.checks)
    }
}

fn limit(checks: &[Check]) -> Option<&Check> {
    let grave = checks.iter().filter(|check| check.question.is_grave());
    grave.max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
}

/// Assesses a holder that is made of sound parts.
pub fn assess(holder: &Holder, shop: &Shop) -> Assessment {
    let loading = Loading::of(holder);
    let Found { checks, hung, failed } = all(holder, shop, loading);
    // Not from -0, which an empty sum of figures is.
    let tools = holder.weights.iter().fold(0.0, |sum, weight| sum + weight.mass);
    let mut assessment = Assessment {
        checks,
        tools,
        whole: tools + holder.mass,
        live: loading.live,
        could: None,
        could_until: None,
        studs: hung.as_ref().map_or(0.0, |hung| hung.studs),
        per_stud: hung.map_or(0.0, |hung| hung.per_stud),
        failed,
        remarks: unknown_woods(holder, shop),
    };
    let sure = assessment.failed.is_empty()
        && assessment.limit().is_some()
        && !assessment.checks.iter().any(|check| check.question == Question::EndGrain);
    let times = if sure && tools > 0.0 { most(holder, shop, loading) } else { None };
    if let Some(times) = times {
        assessment.could = Some(tools * times);
        let then = all(holder, shop, Loading { times, ..loading });
        assessment.could_until = limit(&then.checks).cloned();
    }
    assessment.remarks.extend(glued(holder));
    assessment
}

/// What the models come to.
#[derive(Default)]
struct Found {
    checks: Vec<Check>,
    hung: Option<Hung>,
    failed: Vec<String>,
}

fn all(holder: &Holder, shop: &Shop, loading: Loading) -> Found {
    let mut found = Found::default();
    for bearer in &holder.bearers {
        if let Err(wrong) = one(holder, shop, loading, bearer, &mut found) {
            found.failed.push(format!("{}: {wrong}", bearer.what));
        }
    }
    found
}

fn one(
    holder: &Holder,
    shop: &Shop,
    loading: Loading,
    Bearer { what, model }: &Bearer,
    found: &mut Found,
) -> Result<(), Wrong> {
    match model {
        Model::Cantilever { part, runs, root, mass, at } => {
            let bent = Bent::cantilever(what, &holder.parts[*part], *runs, (*root, *mass, *at));
            found.checks.extend(bent.checks(loading, holder.units)?);
        }
        Model::Span { part, from, to, mass } => {
            let bent = Bent::span(what, &holder.parts[*part], [*from, *to], *mass);
            found.checks.extend(bent.checks(loading, holder.units)?);
        }
        Model::Screws { joints, mass, turn, middle } => {
            let shared = screwed::Shared { mass: *mass, turn: *turn, middle: *middle };
            found.checks.extend(screwed::checks(what, (holder, shop), joints, shared, loading)?);
        }
        Model::Hook { cleat, screws, bearing } => {
            let (cleat, screws) = (&holder.parts[*cleat], &holder.screws[*screws]);
            let hooked = Hooked { what, holder, shop, cleat, screws, bearing: *bearing, loading };
            let hung = hooked.hung();
            found.checks.extend(hung.checks.iter().cloned());
            found.failed.extend(hung.failed.iter().map(|failed| format!("{what}: {failed}")));
            found.hung = Some(hung);
        }
    }
    Ok(())
}

/// The checks alone, and whether every one could be worked out.
pub(super) fn checks(holder: &Holder, shop: &Shop) -> (Vec<Check>, bool) {
    let found = all(holder, shop, Loading::of(holder));
    (found.checks, found.failed.is_empty())
}

/// How many times its tools the holder could carry: no grave check asks less for more of them.
/// `None` where no number of them is too much for what is checked.
fn most(holder: &Holder, shop: &Shop, loading: Loading) -> Option<f64> {
    let holds = |times: f64| {
        let found = all(holder, shop, Loading { times, ..loading });
        found.checks.iter().all(|check| !check.question.is_grave() || check.ratio() <= 1.0)
    };
    let (mut low, mut high) = (0.0, 1.0);
    while holds(high) {
        (low, high) = (high, high * 2.0);
        if high > MOST_TIMES {
            return None;
        }
    }
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if holds(middle) { low = middle } else { high = middle }
    }
    Some(low)
}

/// Woods whose figures are those of the weakest of their kind.
fn unknown_woods(holder: &Holder, shop: &Shop) -> Vec<String> {
    let mut names: Vec<&str> = holder.parts.iter().map(|part| part.stock.wood.as_str()).collect();
    names.push(&shop.wall.wood);
    names.sort_unstable();
    names.dedup();
    let told = names.into_iter().filter_map(|name| {
        let found = find_wood(name);
        if !found.known {
            let taken = found.wood.name();
            return Some(format!(
                "The strength of \"{name}\" is not known here: it is taken for {taken}, on the careful side."
            ));
        }
        found.wood.nds_gravity.is_none().then(|| {
            format!(
                "No standard gives screws in {name} a value; they are counted as in a light softwood."
            )
        })
    });
    told.collect()
}

/// Glue lines of tab joints, which no figure counts.
fn glued(holder: &Holder) -> Vec<String> {
    let depth = |name: &str| {
        let part = holder.parts.iter().find(|part| part.name == name);
        part.map_or(0.0, |part| part.stock.thickness)
    };
    let told = holder.joints.iter().map(|joint| {
        let area = 2.0 * joint.width * depth(&joint.into) * joint.count as f64;
        format!(
            "{} tabs of {} in {}: {:.0} cm² of glue on their flanks holds them in; it is not counted.",
            joint.count,
            joint.tabs,
            joint.into,
            area / 100.0
        )
    });
    told.collect()
}
