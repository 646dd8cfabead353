//! Screws that hold one part on another: how a load shares itself among them, and what each can.

use super::check::{Check, Question};
use super::weight::{Loading, of_piece};
use crate::holder::{Holder, ScrewJoint, Seated, StockKind, Turn};
use crate::length::Units;
use crate::shop::{CAREFUL_GRAVITY, NdsGravity, Screw, Shop, find_wood};
use crate::strength::{self, LoadDuration, Wrong, fastener_ratio, nds_withdrawal};

/// Withdrawal from the edge of a panel as part of that from its face, and the same across the
/// screw: the thread stands between layers. Common practice, no source.
const PANEL_EDGE: f64 = 0.5;

/// A screw that goes in less deep than this counts as much less as it lacks, in diameters: below
/// it the NDS has no value (NDS-2018 12.1.5.6); the rule of thumb is common practice, no source.
const LEAST_PENETRATION: f64 = 6.0;

/// What one screw can, with all factors but those of its neighbours.
#[derive(Debug, Clone, Copy)]
pub(super) struct Can {
    /// Pulled out, in N; `None` in end grain.
    pub pull: Option<f64>,
    /// Loaded across, in N.
    pub across: f64,
    /// Its head pulled through, in N.
    pub head: f64,
    /// How deep it goes in, in diameters.
    pub diameters: f64,
}

/// The wood a screw goes through and into.
pub(super) struct Bite {
    pub screw: Screw,
    /// Thickness and wood of what it passes.
    pub near: (f64, NdsGravity),
    /// How deep it goes in, and into what.
    pub far: (f64, NdsGravity),
    /// Of thread in the far wood, in mm.
    pub thread: f64,
    /// What lies between and holds nothing, in mm.
    pub gap: f64,
    pub grain: strength::Grain,
    /// Whether it goes into a panel's edge.
    pub panel_edge: bool,
}

impl Bite {
    /// What the screw can under a load that stays.
    pub fn can(&self) -> Result<Can, Wrong> {
        let Self { screw, near: (thickness, near), far: (deep, far), gap, grain, .. } = *self;
        let edge = if self.panel_edge { PANEL_EDGE } else { 1.0 };
        let diameters = deep.max(0.0) / screw.shank();
        let shallow = (diameters / LEAST_PENETRATION).min(1.0);
        let counted = deep.max(LEAST_PENETRATION * screw.shank());
        let duration = LoadDuration::Permanent;
        let length = thickness + gap + counted;
        let joint =
            strength::ScrewJoint { screw, length, thickness, near, gap, far, grain, duration };
        let values = joint.values()?;
        let pull = nds_withdrawal(far, grain, screw.shank(), self.thread)?;
        Ok(Can {
            pull: pull.map(|pull| pull * duration.factor() * edge),
            across: values.lateral * edge * shallow,
            head: values.pull_through,
            diameters,
        })
    }
}

/// One screw's share of a load, in N.
#[derive(Debug, Clone, Copy, Default)]
struct Share {
    pull: f64,
    across: f64,
}

/// The checks of some rows of screws that share a mass.
pub(super) fn checks(
    what: &str,
    (holder, shop): (&Holder, &Shop),
    joints: &[usize],
    (mass, turn): (f64, Option<Turn>),
    loading: Loading,
) -> Result<Vec<Check>, Wrong> {
    let joints: Vec<&ScrewJoint> = joints.iter().filter_map(|i| holder.screws.get(*i)).collect();
    let screws: Vec<(&ScrewJoint, &Seated)> =
        joints.iter().flat_map(|joint| joint.screws.iter().map(|s| (*joint, s))).collect();
    let load = loading.knocked(mass) + borne(holder, &joints);
    let mut worst: Option<(f64, Share, Can)> = None;
    for (index, (joint, seated)) in screws.iter().enumerate() {
        let share = share(holder, &screws, index, load, turn);
        let can = bite(holder, shop, joint, seated).can()?;
        let ratio = match can.pull {
            None => share.pull.hypot(share.across) / can.across,
            pull => fastener_ratio(share.pull, share.across, pull, can.across)?,
        };
        if worst.is_none_or(|(most, ..)| ratio > most) {
            worst = Some((ratio, share, can));
        }
    }
    let Some((ratio, share, can)) = worst else { return Ok(Vec::new()) };
    let first = joints.first().map(|joint| (joint.screw, joint.length));
    let with = with(holder.units, (load, screws.len()), first, share, can);
    Ok(told(what, &with, ratio, share, can))
}

/// The lines of the table for the screw that has most to bear.
fn told(what: &str, with: &str, ratio: f64, share: Share, can: Can) -> Vec<Check> {
    let check = |question, asked, can| Check {
        what: what.to_owned(),
        question,
        asked,
        can,
        with: with.to_owned(),
    };
    let asked = share.pull.hypot(share.across);
    if can.pull.is_none() && share.pull > 0.0 {
        let across = check(Question::Screws, share.across, can.across);
        return vec![check(Question::EndGrain, share.pull, 0.0), across];
    }
    let mut checks = Vec::new();
    if asked > 0.0 {
        checks.push(check(Question::Screws, asked, asked / ratio));
    }
    if share.pull > 0.0 {
        checks.push(check(Question::Heads, share.pull, can.head));
    }
    checks
}

fn with(
    units: Units,
    (load, count): (f64, usize),
    first: Option<(Screw, f64)>,
    share: Share,
    can: Can,
) -> String {
    let size = first.map_or_else(String::new, |(screw, length)| {
        format!("#{} × {}", screw.number(), units.length(length))
    });
    let force = |newtons: Option<f64>| newtons.map_or("nothing".to_owned(), |n| units.force(n));
    let shallow = if can.diameters < LEAST_PENETRATION {
        format!(
            "; {:.1} diameters deep, less than the {LEAST_PENETRATION} of the NDS, so across it counts as much less",
            can.diameters
        )
    } else {
        String::new()
    };
    format!(
        "{} on {count} screws {size}; the worst has {} along it (can {}) and {} across (can {}){shallow}",
        units.force(load),
        units.force(share.pull),
        force(can.pull),
        units.force(share.across),
        units.force(can.across)
    )
}

/// The weight of the wood the screws carry, in N: the parts they end in where they point out from
/// the wall, those they pass through where they point down.
fn borne(holder: &Holder, joints: &[&ScrewJoint]) -> f64 {
    let mut parts: Vec<usize> = joints
        .iter()
        .flat_map(|joint| joint.screws.iter().map(move |s| (joint, s)))
        .map(|(joint, s)| match s.into {
            Some(into) if s.ahead[2] > 0.5 => into.part,
            _ => joint.through,
        })
        .collect();
    parts.sort_unstable();
    parts.dedup();
    let weigh = |i: &usize| {
        let part = &holder.parts[*i];
        of_piece(part) * part.quantity() as f64
    };
    parts.iter().map(weigh).sum()
}

/// What comes on one screw. All share what shears evenly; what turns the joint open about its pivot
/// pulls each as much more as it stands further from it (elementary mechanics, rigid parts).
fn share(
    holder: &Holder,
    screws: &[(&ScrewJoint, &Seated)],
    index: usize,
    load: f64,
    turn: Option<Turn>,
) -> Share {
    let even = load / screws.len() as f64;
    let Some(turn) = turn else { return Share { pull: 0.0, across: even } };
    let (joint, seated) = screws[index];
    let down = seated.ahead[1].abs() > 0.5;
    let lever = |(joint, s): &(&ScrewJoint, &Seated)| {
        let piece = holder.parts[joint.through].places.get(s.piece);
        let low = piece.map_or([0.0; 3], |p| p.bounds().0);
        if down { low[2] + turn.pivot - s.head[2] } else { s.head[1] - low[1] - turn.pivot }
    };
    let plane = seated.head[2] + seated.ahead[2] * seated.passed;
    let arm = if down {
        let piece = holder.parts[joint.through].places.get(seated.piece);
        turn.out - piece.map_or(0.0, |p| p.bounds().0[2]) - turn.pivot
    } else {
        turn.out - plane
    };
    let squares: f64 = screws.iter().map(|s| lever(s).max(0.0).powi(2)).sum();
    let own = lever(&screws[index]).max(0.0);
    let pull = if squares > 0.0 { load * arm.max(0.0) * own / squares } else { load };
    Share { pull, across: if down { 0.0 } else { even } }
}

fn bite(holder: &Holder, shop: &Shop, joint: &ScrewJoint, seated: &Seated) -> Bite {
    let gravity = |wood: &str| find_wood(wood).wood.nds_gravity.unwrap_or(CAREFUL_GRAVITY);
    let through = &holder.parts[joint.through];
    let near = (seated.passed, gravity(&through.stock.wood));
    let thread = |deep: f64| deep.min(joint.screw.thread(joint.length));
    let Some(into) = seated.into else {
        let deep = joint.length - seated.passed - shop.wall.covering;
        return Bite {
            screw: joint.screw,
            near,
            far: (deep, gravity(&shop.wall.wood)),
            thread: thread(deep).max(0.0),
            gap: shop.wall.covering,
            grain: strength::Grain::Side,
            panel_edge: false,
        };
    };
    let part = &holder.parts[into.part];
    let deep = joint.length - seated.passed;
    let panel = find_wood(&part.stock.wood).wood.kind.is_panel();
    let along = into.edge.is_some_and(|way| {
        let fibres = match part.grain {
            crate::holder::Grain::Length => way.x.abs(),
            crate::holder::Grain::Width => way.y.abs(),
            crate::holder::Grain::Any => 1.0,
        };
        fibres > 0.5 || part.stock.kind == StockKind::Dowel
    });
    Bite {
        screw: joint.screw,
        near,
        far: (deep, gravity(&part.stock.wood)),
        thread: thread(deep),
        gap: 0.0,
        grain: if along && !panel { strength::Grain::End } else { strength::Grain::Side },
        panel_edge: panel && into.edge.is_some(),
    }
}
