//! Everything a holder must bear, and how much more it could.

use super::beam::Bent;
use super::check::Check;
use super::hook::{Hooked, Hung};
use super::screwed;
use super::weight::Loading;
use crate::holder::{Bearer, Holder, Model};
use crate::shop::{Shop, find_wood};
use crate::strength::{Support, Wrong};

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
    /// The mass of tools at which the first grave check is met, in kg; `None` without tools.
    pub could: Option<f64>,
    /// How many studs share it, and what comes down on each, in N; 0 when it does not hang on a
    /// cleat.
    pub studs: f64,
    pub per_stud: f64,
    /// What no figure says.
    pub remarks: Vec<String>,
}

impl Assessment {
    /// The grave check that is nearest to its limit, or furthest beyond.
    pub fn limit(&self) -> Option<&Check> {
        let grave = self.checks.iter().filter(|check| check.question.is_grave());
        grave.max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
    }
}

/// Assesses a holder that is made of sound parts.
pub fn assess(holder: &Holder, shop: &Shop) -> Assessment {
    let loading = Loading::of(holder);
    let mut remarks = Vec::new();
    let (checks, hung) = all(holder, shop, loading).unwrap_or_else(|wrong| {
        remarks.push(format!("A figure could not be worked out: {wrong}."));
        (Vec::new(), None)
    });
    let tools: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
    let mut assessment = Assessment {
        checks,
        tools,
        whole: tools + holder.mass,
        live: loading.live,
        could: None,
        studs: hung.as_ref().map_or(0.0, |hung| hung.studs),
        per_stud: hung.map_or(0.0, |hung| hung.per_stud),
        remarks,
    };
    if assessment.checks.iter().any(|check| check.question.is_grave()) && tools > 0.0 {
        assessment.could = Some(tools * most(holder, shop, loading));
    }
    assessment.remarks.extend(unknown_woods(holder, shop));
    assessment.remarks.extend(glued(holder));
    assessment
}

fn all(
    holder: &Holder,
    shop: &Shop,
    loading: Loading,
) -> Result<(Vec<Check>, Option<Hung>), Wrong> {
    let (mut checks, mut whole) = (Vec::new(), None);
    for Bearer { what, model } in &holder.bearers {
        match model {
            Model::Cantilever { part, runs, root, mass, at } => {
                let bent = Bent::cantilever(what, &holder.parts[*part], *runs, (*root, *mass, *at));
                checks.extend(bent.checks(loading, holder.units)?);
            }
            Model::Span { part, from, to, mass } => {
                let bent = Bent {
                    what,
                    part: &holder.parts[*part],
                    support: Support::Simple,
                    axis: 0,
                    from: *from,
                    to: Some(*to),
                    mass: *mass,
                    at: None,
                };
                checks.extend(bent.checks(loading, holder.units)?);
            }
            Model::Screws { joints, mass, turn } => {
                checks.extend(screwed::checks(
                    what,
                    (holder, shop),
                    joints,
                    (*mass, *turn),
                    loading,
                )?);
            }
            Model::Hook { cleat, screws, bearing } => {
                let hooked = Hooked {
                    what,
                    holder,
                    shop,
                    cleat: &holder.parts[*cleat],
                    screws: &holder.screws[*screws],
                    bearing: *bearing,
                    loading,
                };
                let hung = hooked.hung()?;
                checks.extend(hung.checks.iter().cloned());
                whole = Some(hung);
            }
        }
    }
    Ok((checks, whole))
}

/// How many times its tools the holder could carry: every grave check grows with them.
fn most(holder: &Holder, shop: &Shop, loading: Loading) -> f64 {
    let holds = |times: f64| {
        let found = all(holder, shop, Loading { times, ..loading });
        found.is_ok_and(|(checks, _)| {
            checks.iter().all(|check| !check.question.is_grave() || check.ratio() <= 1.0)
        })
    };
    let (mut low, mut high) = (0.0, 1.0);
    while holds(high) && high < 1000.0 {
        (low, high) = (high, high * 2.0);
    }
    for _ in 0..30 {
        let middle = f64::midpoint(low, high);
        if holds(middle) { low = middle } else { high = middle }
    }
    low
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
                "No standard gives screws in {name} a value; they are counted as in the lightest softwood."
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
