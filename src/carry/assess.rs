//! Everything a holder must bear, and how much more it could.

use super::beam::Bent;
use super::check::{Check, CheckPlace, LoadQuestion};
use super::hook::{Hooked, Hung};
use super::remark::{LoadRemark, NotWorkedOut, remarks};
use super::screwed;
use super::socket::Socketed;
use super::weight::Loading;
use crate::holder::{Carrier, Holder, Model};
use crate::shop::{Service, Shop};
use crate::strength::{Unrest, Wrong};

/// Nobody hangs so many times what was planned.
const MOST_TIMES: f64 = 1000.0;

/// Tries after which the most that a holder could carry is as near as it will be.
const MOST_TRIES: usize = 40;

/// What a holder carries.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Assessment {
    /// In the order of the style.
    pub checks: Vec<Check>,
    /// Mass of the tools that hang on it, in kg.
    pub tools: f64,
    /// Mass of all that hangs on the wall: tools and wood, in kg.
    pub whole: f64,
    /// The factor for knocks and pulls.
    pub live: f64,
    /// The mass of tools at which the first grave check is met, in kg; `None` without tools, and
    /// where something can't be counted.
    pub could: Option<f64>,
    /// How many studs share it, and what comes down on each, in N; 0 when it does not hang on a
    /// cleat.
    pub studs: f64,
    pub per_stud: f64,
    /// Whether it hangs in masonry, which has no studs.
    pub in_masonry: bool,
    /// How its wood is kept.
    pub service: Service,
    /// What could not be worked out, and why.
    pub failed: Vec<NotWorkedOut>,
    /// What no figure says.
    pub remarks: Vec<LoadRemark>,
}

impl Assessment {
    /// The check that is nearest to its limit, or farthest beyond, grave or not.
    pub(crate) fn highest(&self) -> Option<&Check> {
        worst(self.checks.iter())
    }

    /// The grave check that is nearest to its limit, or furthest beyond.
    pub(crate) fn limit(&self) -> Option<&Check> {
        limit(&self.checks)
    }
}

fn limit(checks: &[Check]) -> Option<&Check> {
    worst(checks.iter().filter(|check| check.id.question.is_grave()))
}

fn worst<'c>(checks: impl Iterator<Item = &'c Check>) -> Option<&'c Check> {
    checks.max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
}

/// Assesses a holder that is made of sound parts.
pub(crate) fn assess(holder: &Holder, shop: &Shop) -> Assessment {
    let loading = Loading::of(holder);
    let Checked { checks, failed } = all(holder, shop, loading);
    // Not from -0, which an empty sum of figures is.
    let tools = holder.weights.iter().fold(0.0, |sum, weight| sum + weight.mass);
    let sure = failed.is_empty()
        && limit(&checks).is_some()
        && !checks.iter().any(|check| check.id.question == LoadQuestion::EndGrain);
    let times = if sure && tools > 0.0 { most(holder, shop, loading) } else { None };
    let hung = hung(holder, shop, loading);
    Assessment {
        tools,
        whole: tools + holder.mass,
        live: loading.live,
        could: times.map(|times| tools * times),
        studs: hung.map_or(0.0, |hung| hung.studs),
        per_stud: hung.map_or(0.0, |hung| hung.per_stud),
        in_masonry: shop.wall.masonry.is_some(),
        service: shop.service,
        remarks: remarks(holder, shop),
        checks,
        failed,
    }
}

/// What the models come to.
#[derive(Debug, Clone, Default)]
pub(crate) struct Checked {
    /// In the order of the style.
    pub checks: Vec<Check>,
    /// What could not be worked out, and why.
    pub failed: Vec<NotWorkedOut>,
}

/// The checks of a holder that is made of sound parts, and nothing beside them.
pub(crate) fn check(holder: &Holder, shop: &Shop) -> Checked {
    all(holder, shop, Loading::of(holder))
}

fn all(holder: &Holder, shop: &Shop, loading: Loading) -> Checked {
    let mut found = Checked::default();
    for carrier in &holder.carriers {
        for check in one(holder, shop, loading, carrier) {
            match check {
                Ok(check) => found.checks.push(check),
                Err(why) => found.failed.push(NotWorkedOut { place: place(carrier), why }),
            }
        }
    }
    found
}

fn place(carrier: &Carrier) -> CheckPlace {
    CheckPlace::Named(carrier.what.clone())
}

/// The checks of one carrier, or why there are none. For the whole on its cleat some may fail and
/// others not.
fn one(
    holder: &Holder,
    shop: &Shop,
    loading: Loading,
    carrier: &Carrier,
) -> Vec<Result<Check, Unrest>> {
    let place = place(carrier);
    match &carrier.model {
        Model::Cantilever { part, runs, root, mass, at } => {
            let part = &holder.parts[*part];
            apart(
                Bent::cantilever(place, part, *runs, (*root, *mass, *at))
                    .checks(loading, shop.service),
            )
        }
        Model::Span { part, from, to, loads } => {
            let part = &holder.parts[*part];
            apart(
                Bent::span(place, part, [*from, *to], loads.clone()).checks(loading, shop.service),
            )
        }
        Model::Socket { rod, into, depth, lever, mass } => {
            let (rod, into) = (&holder.parts[*rod], &holder.parts[*into]);
            let (depth, lever, mass) = (*depth, *lever, *mass);
            let socketed = Socketed { place, rod, into, depth, lever, mass };
            apart(socketed.check(loading, shop.service))
        }
        Model::Screws { joints, mass, turn, middle } => {
            let shared = screwed::Shared { mass: *mass, turn: *turn, middle: *middle };
            apart(screwed::checks(&place, (holder, shop), joints, shared, loading))
        }
        Model::Hook { cleat, screws, bearing, kept_by } => {
            let (cleat, screws) = (&holder.parts[*cleat], &holder.screws[*screws]);
            let (bearing, kept_by) = (*bearing, kept_by.map(|joint| &holder.screws[joint]));
            Hooked { place, holder, shop, cleat, screws, bearing, kept_by, loading }.checks()
        }
    }
}

/// Checks that are worked out together, one by one.
fn apart(checks: Result<Vec<Check>, Wrong>) -> Vec<Result<Check, Unrest>> {
    match checks {
        Ok(checks) => checks.into_iter().map(Ok).collect(),
        Err(wrong) => vec![Err(wrong.into())],
    }
}

/// What comes down on the studs, where a holder hangs on its cleat.
fn hung(holder: &Holder, shop: &Shop, loading: Loading) -> Option<Hung> {
    let cleat = holder.carriers.iter().find_map(|carrier| match carrier.model {
        Model::Hook { cleat, .. } => Some(&holder.parts[cleat]),
        _ => None,
    })?;
    Some(Hung::of(holder, shop, cleat, loading))
}

/// How many times its tools the holder could carry: no grave check asks less for more of them.
/// `None` where no number of them is too much for what is checked.
///
/// Found between two numbers of which one is too few and one too many, by the straight line through what
/// both ask, halved where that stays on one side (the Illinois way of false position; textbooks).
fn most(holder: &Holder, shop: &Shop, loading: Loading) -> Option<f64> {
    let over = |times: f64| {
        let found = all(holder, shop, Loading { times, ..loading });
        limit(&found.checks).map_or(-1.0, |check| (check.ratio() - 1.0).min(MOST_TIMES))
    };
    let (mut low, mut high) = ((0.0, over(0.0)), (1.0, over(1.0)));
    if low.1 > 0.0 {
        return Some(0.0);
    }
    while high.1 <= 0.0 {
        (low, high) = (high, (high.0 * 2.0, over(high.0 * 2.0)));
        if high.0 > MOST_TIMES {
            return None;
        }
    }
    for _ in 0..MOST_TRIES {
        let line = high.0 - high.1 * (high.0 - low.0) / (high.1 - low.1);
        let at = (line, over(line));
        if at.1.abs() < 1e-9 || high.0 - low.0 < 1e-9 * high.0 {
            return Some(line);
        }
        if at.1 > 0.0 {
            (low.1, high) = (low.1 / 2.0, at);
        } else {
            (low, high.1) = (at, high.1 / 2.0);
        }
    }
    Some(low.0)
}
