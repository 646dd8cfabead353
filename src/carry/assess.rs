//! Everything a holder must bear, and how much more it could.

use super::beam::Bent;
use super::check::{Check, CheckPlace, LoadQuestion};
use super::hook::{Hooked, Unloaded, pulled_off};
use super::hung::Hung;
use super::on_tabs;
use super::remark::{LoadRemark, NotWorkedOut, remarks};
use super::screwed;
use super::socket::Socketed;
use super::tabs;
use super::weight::{Loading, wood};
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
    /// In the order of the style; of the wall cleat's bending the one for the way it has to hang.
    pub checks: Vec<Check>,
    /// Mass of the tools that it has places for, in kg.
    pub tools: f64,
    /// Mass of those that hang there now, spare places left empty.
    pub now: f64,
    /// Mass of all that hangs on the wall: tools and wood, in kg.
    pub whole: f64,
    /// The factor for knocks and pulls.
    pub live: f64,
    /// The mass of tools at which the first check is met, in kg, hung anywhere on a wall cleat; `None` without tools,
    /// and where something can't be counted.
    pub could: Option<f64>,
    /// The same with the middle of its holder cleat over a stud; `None` where that makes no difference.
    pub could_over_stud: Option<f64>,
    /// Pull toward the room that slides it up and off a smooth cleat, in N; `None` where a keeper strip holds
    /// it, or where it does not hang on one.
    pub pulled_off: Option<f64>,
    /// How many studs share it for sure, and what comes down on the most loaded, in N; 0 when it does not hang on a
    /// cleat.
    pub studs: usize,
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
    /// The check that is nearest to its limit, or farthest beyond.
    pub(crate) fn highest(&self) -> Option<&Check> {
        worst(self.checks.iter())
    }
}

fn worst<'c>(checks: impl Iterator<Item = &'c Check>) -> Option<&'c Check> {
    checks.max_by(|a, b| a.ratio().total_cmp(&b.ratio()))
}

/// Assesses a holder that is made of sound parts.
pub(crate) fn assess(holder: &Holder, shop: &Shop) -> Assessment {
    let loading = Loading::of(holder);
    let bearers = bearers(holder, shop);
    let Checked { checks, failed } = checked(&bearers, loading);
    // Not from -0, which an empty sum of figures is.
    let tools = holder.weights.iter().fold(0.0, |sum, weight| sum + weight.mass);
    let sure = failed.is_empty() && !checks.is_empty() && tools > 0.0;
    let could = |at| most(&bearers, loading, at).map(|times| tools * times);
    let could = |at| if sure { could(at) } else { None };
    let over_stud = matters(&bearers, loading);
    let hung = hung(holder, shop, loading);
    Assessment {
        tools,
        now: tools * (1.0 - holder.spare),
        whole: tools + holder.mass,
        live: loading.live,
        could: could(HungAt::Anywhere),
        could_over_stud: over_stud.then(|| could(HungAt::OverStud)).flatten(),
        pulled_off: pulled_off(holder, shop),
        studs: hung.map_or(0, |hung| hung.studs),
        per_stud: hung.map_or(0.0, |hung| hung.per_stud),
        in_masonry: shop.wall.masonry.is_some(),
        service: shop.service,
        remarks: remarks(holder, shop),
        checks,
        failed,
    }
}

/// Where on a wall cleat a holder hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum HungAt {
    Anywhere,
    OverStud,
}

impl HungAt {
    /// Whether a check is of a holder that hangs so.
    fn asks(self, check: &Check) -> bool {
        match check.id.question {
            LoadQuestion::Strip => self == Self::Anywhere,
            LoadQuestion::OverStud => self == Self::OverStud,
            _ => true,
        }
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

/// The checks of a holder that is made of sound parts, and nothing beside them: knocks counted, with the share that
/// what hangs still asks beside it. A holder that the wall cleat does not bear between two studs is taken to hang
/// over one.
pub(crate) fn check(holder: &Holder, shop: &Shop) -> Checked {
    checked(&bearers(holder, shop), Loading::of(holder))
}

fn checked(bearers: &[Bearer<'_>], loading: Loading) -> Checked {
    let mut found = Checked::default();
    for Bearer { place, checks } in bearers {
        let (still, knocked) = (checks(loading.at_rest()), checks(loading));
        // What is knocked off its cleat has no forces to tell; at rest it may have.
        let of_both = |check: &&Check| knocked.iter().flatten().any(|known| known.id == check.id);
        let alone = still.iter().flatten().filter(|check| !of_both(check));
        found.checks.extend(alone.cloned());
        for check in knocked {
            match check {
                Ok(check) => found.checks.push(beside(check, &still)),
                Err(why) => found.failed.push(NotWorkedOut { place: place.clone(), why }),
            }
        }
    }
    let strip = |check: &Check| check.id.question == LoadQuestion::Strip;
    let midway = found.checks.iter().filter(|check| strip(check)).map(Check::ratio).next();
    let at = match midway {
        Some(share) if share > 1.0 => HungAt::OverStud,
        _ => HungAt::Anywhere,
    };
    found.checks.retain(|check| at.asks(check));
    found
}

/// A check with the share of the one of the same name among those of what hangs still.
fn beside(check: Check, still: &[Result<Check, Unrest>]) -> Check {
    let same = still.iter().flatten().find(|still| still.id == check.id);
    match same {
        Some(still) => check.with_still(still),
        None => check,
    }
}

/// All checks, wherever the holder hangs, under loads that are all knocked or all still.
pub(super) fn lines(bearers: &[Bearer<'_>], loading: Loading) -> Vec<Check> {
    bearers.iter().flat_map(|bearer| (bearer.checks)(loading)).flatten().collect()
}

/// All checks, knocked and still.
fn all(bearers: &[Bearer<'_>], loading: Loading) -> Vec<Check> {
    let mut all = lines(bearers, loading);
    all.extend(lines(bearers, loading.at_rest()));
    all
}

/// Whether it matters to the wall cleat where a holder hangs.
fn matters(bearers: &[Bearer<'_>], loading: Loading) -> bool {
    lines(bearers, loading).iter().any(|check| !HungAt::Anywhere.asks(check))
}

fn place(carrier: &Carrier) -> CheckPlace {
    CheckPlace::Named(carrier.what.clone())
}

/// What must bear, with its checks under loads of any size or why there are none. For the whole on its cleat some may
/// fail and others not. What is the same under all loads is worked out once.
pub(super) struct Bearer<'a> {
    place: CheckPlace,
    checks: Box<dyn Fn(Loading) -> Vec<Result<Check, Unrest>> + 'a>,
}

/// All that must bear in a holder that is made of sound parts.
pub(super) fn bearers<'a>(holder: &'a Holder, shop: &'a Shop) -> Vec<Bearer<'a>> {
    let of = |carrier: &'a Carrier| Bearer {
        place: place(carrier),
        checks: checks(holder, shop, carrier),
    };
    holder.carriers.iter().map(of).collect()
}

fn checks<'a>(
    holder: &'a Holder,
    shop: &'a Shop,
    carrier: &'a Carrier,
) -> Box<dyn Fn(Loading) -> Vec<Result<Check, Unrest>> + 'a> {
    let (place, service) = (place(carrier), shop.service);
    match &carrier.model {
        Model::Cantilever { part, runs, root, mass, at } => {
            let part = (&holder.parts[*part], service);
            bent(Bent::cantilever(place, part, *runs, (*root, *mass, *at)))
        }
        Model::Span { part, from, to, loads } => {
            let part = (&holder.parts[*part], service);
            bent(Bent::span(place, part, [*from, *to], loads.clone()))
        }
        Model::Socket { rod, into, depth, lever, mass } => {
            let (rod, into) = (&holder.parts[*rod], &holder.parts[*into]);
            let (depth, lever, mass) = (*depth, *lever, *mass);
            let socketed = Socketed { place, rod, into, depth, lever, mass };
            Box::new(move |loading| apart(socketed.check(loading, service)))
        }
        Model::Screws { joints, mass, turn, middle } => {
            let shared = screwed::Shared { mass: *mass, turn: *turn, middle: *middle };
            Box::new(move |loading| {
                apart(screwed::checks(&place, (holder, shop), joints, shared, loading))
            })
        }
        Model::Tabs { joint, mass, turn, up } => {
            let (joint, pulled) = (&holder.joints[*joint], (*mass, *turn, *up));
            Box::new(move |loading| {
                let check = tabs::pulled(&place, holder, joint, pulled, (loading, service));
                check.map(Ok).into_iter().collect()
            })
        }
        Model::OnTabs { joints, mass } => {
            let joints: Vec<_> = joints.iter().map(|joint| &holder.joints[*joint]).collect();
            Box::new(move |loading| {
                let checks = on_tabs::checks(&place, holder, &joints, *mass, (loading, service));
                checks.into_iter().map(Ok).collect()
            })
        }
        Model::Hook { cleat, screws, bearing, kept_by } => {
            let (cleat, screws) = (&holder.parts[*cleat], &holder.screws[*screws]);
            let (bearing, kept_by) = (*bearing, kept_by.map(|joint| &holder.screws[joint]));
            let unloaded = Unloaded::of(holder, shop, screws);
            Box::new(move |loading| {
                let (place, unloaded) = (place.clone(), &unloaded);
                Hooked { place, holder, shop, cleat, screws, bearing, kept_by, loading, unloaded }
                    .checks()
            })
        }
    }
}

/// The checks of a part that is bent, if it has a piece.
fn bent(bent: Option<Bent<'_>>) -> Box<dyn Fn(Loading) -> Vec<Result<Check, Unrest>> + '_> {
    Box::new(move |loading| bent.as_ref().map_or_else(Vec::new, |bent| apart(bent.checks(loading))))
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
    let cleat = holder.hook_cleat()?;
    Some(Hung::of((holder, &wood(holder)), shop, cleat, loading))
}

/// How many times its tools the holder could carry: no check asks less for more of them. `None` where no number of
/// them is too much for what is checked.
///
/// Found between two numbers of which one is too few and one too many, by the straight line through what
/// both ask, halved where that stays on one side (the Illinois way of false position; textbooks).
fn most(bearers: &[Bearer<'_>], loading: Loading, at: HungAt) -> Option<f64> {
    let over = |times: f64| {
        let checks = all(bearers, Loading { times, ..loading });
        let asked = worst(checks.iter().filter(|check| at.asks(check)));
        asked.map_or(-1.0, |check| (check.ratio() - 1.0).min(MOST_TIMES))
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
