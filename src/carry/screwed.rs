//! Screws that hold one part on another: how a load shares itself among them, and what each can.

use super::check::{Check, CheckPlace, LoadQuestion};
use super::grounds::{Grounds, ScrewCan, ScrewShare};
use super::weight::{Loading, of_piece};
use crate::holder::{Holder, Placement, ScrewJoint, Seated, StockKind, Turn};
use crate::length::STANDARD_GRAVITY;
use crate::shop::{NdsGravity, Screw, Service, Shop, SizedScrew, find_wood};
use crate::strength::{
    LASTING, LEAST_PENETRATION, LateralJoint, ScrewGrain, Wrong, fastener_ratio,
    head_of_metric_screw, kept_by_screws, nds_withdrawal, pull_through,
};
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// Withdrawal from the edge of a panel as part of that from its face, and the same across the
/// screw: the thread stands between layers. Common practice, no source.
const PANEL_EDGE: f64 = 0.5;

/// The wood a screw goes through and into.
#[derive(Debug, Clone, Copy)]
pub(super) struct ScrewedWood {
    pub screw: Screw,
    /// Thickness and wood of what it passes.
    pub near: (f64, NdsGravity),
    /// How deep it goes in, and into what.
    pub far: (f64, NdsGravity),
    /// Of thread in the far wood, its point with it, in mm.
    pub thread: f64,
    /// What lies between and holds nothing, in mm.
    pub gap: f64,
    pub grain: ScrewGrain,
    /// Whether it goes into a panel's edge.
    pub panel_edge: bool,
    /// Wood of the piece under its head, in mm.
    pub under_head: f64,
    pub service: Service,
}

impl ScrewedWood {
    /// What the screw can under a load that stays. Below 6 diameters, where the NDS has no value
    /// across the screw (NDS-2018 12.1.5.6), it counts as much less as it lacks: common practice, no
    /// source. One that does not reach the far wood can nothing.
    pub(super) fn can(&self) -> Result<ScrewCan, Wrong> {
        let Self { screw, near, far: (deep, far), gap, grain, .. } = *self;
        let kept = kept_by_screws(self.service);
        let edge = kept * if self.panel_edge { PANEL_EDGE } else { 1.0 };
        let diameters = deep.max(0.0) / screw.shank();
        let shallow = (diameters / LEAST_PENETRATION).min(1.0);
        let counted = deep.max(LEAST_PENETRATION * screw.shank());
        let joint = LateralJoint::of_screw(screw, near, (counted, far), gap)?;
        let pull = nds_withdrawal(far, grain, screw.shank(), self.thread.max(0.0))?;
        let head = pull_through(near.1, screw.head(), self.under_head - screw.head_depth())?;
        let head = match screw.by_number() {
            true => head * LASTING,
            false => (head * LASTING).min(head_of_metric_screw(near.1, screw.head())?),
        };
        Ok(ScrewCan {
            pull: pull.map(|pull| pull * LASTING * edge),
            across: joint.yields()?.value * LASTING * grain.lateral() * edge * shallow,
            head: head * kept,
            diameters,
        })
    }
}

impl ScrewCan {
    /// What part of its strength a pull and a load across take, 1 being all; infinite where a load
    /// meets nothing that may be counted on. In end grain the pull is told apart.
    pub(crate) fn ratio(&self, pull: f64, across: f64) -> Result<f64, Wrong> {
        if self.across <= 0.0 {
            return Ok(if pull.hypot(across) > 0.0 { f64::INFINITY } else { 0.0 });
        }
        match self.pull {
            None => Ok(across / self.across),
            // No thread is in the wood.
            Some(can) if can <= 0.0 && pull > 0.0 => Ok(f64::INFINITY),
            pulled => fastener_ratio(pull, across, pulled, self.across),
        }
    }

    /// The same, its head counted too.
    pub(super) fn taken(&self, pull: f64, across: f64) -> Result<f64, Wrong> {
        Ok(self.ratio(pull, across)?.max(pull / self.head))
    }
}

/// What some screws share: see [`crate::holder::Model::Screws`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Shared {
    pub mass: f64,
    pub turn: Option<Turn>,
    pub middle: Option<f64>,
}

/// What comes on one screw, what it can, and what part of that is taken.
#[derive(Debug, Clone, Copy)]
struct Loaded {
    share: ScrewShare,
    can: ScrewCan,
    ratio: f64,
}

/// The checks of some rows of screws that share a mass.
pub(super) fn checks(
    place: &CheckPlace,
    (holder, shop): (&Holder, &Shop),
    joints: &[usize],
    shared: Shared,
    loading: Loading,
) -> Result<Vec<Check>, Wrong> {
    let joints: Vec<&ScrewJoint> = joints.iter().filter_map(|i| holder.screws.get(*i)).collect();
    let screws: Vec<(&ScrewJoint, &Seated)> =
        joints.iter().flat_map(|joint| joint.screws.iter().map(|s| (*joint, s))).collect();
    let load = loading.knocked(shared.mass) + borne(holder, &joints);
    if let Some(turning) = turning(place, &screws, load, shared) {
        return Ok(vec![turning]);
    }
    let mut each = Vec::new();
    for (index, (joint, seated)) in screws.iter().enumerate() {
        let share = share(holder, &screws, index, load, shared)?;
        let can = screwed_wood(holder, shop, joint, seated).can()?;
        each.push(Loaded { share, can, ratio: can.ratio(share.pull, share.across)? });
    }
    let most = |of: fn(&Loaded) -> f64| each.iter().max_by(|a, b| of(a).total_cmp(&of(b)));
    let worst = most(|screw| screw.ratio).zip(most(|screw| screw.share.pull / screw.can.head));
    let Some((most, on_head)) = worst else { return Ok(Vec::new()) };
    let grounds = Grounds::SharedByScrews {
        load,
        count: screws.len(),
        screw: joints.first().map(|joint| SizedScrew { screw: joint.screw, length: joint.length }),
        most: most.share,
        can: most.can,
    };
    let in_wall = screws.iter().all(|(_, seated)| seated.into.is_none());
    if let (true, Some(_), Some(joint)) = (in_wall, &shop.wall.masonry, joints.first()) {
        return Ok(in_plugs(place, joint.screw, &each, on_head));
    }
    let end_grain = each.iter().filter(|screw| screw.can.pull.is_none());
    let pulled = end_grain.map(|screw| screw.share.pull).fold(0.0, f64::max);
    Ok(lines(place, &grounds, (most, on_head), pulled))
}

/// The check of a part that all its screws hold at one place along it: a load off that place turns it there, and so
/// does one on one side alone.
fn turning(
    place: &CheckPlace,
    screws: &[(&ScrewJoint, &Seated)],
    load: f64,
    shared: Shared,
) -> Option<Check> {
    shared.middle?;
    let (joint, first) = screws.first()?;
    let apart = screws.iter().any(|(_, s)| (s.head[0] - first.head[0]).abs() > COORDINATE);
    let screw = SizedScrew { screw: joint.screw, length: joint.length };
    let grounds = Grounds::OnePlace { screw, count: screws.len(), load };
    let turns = || Check::new(place.clone(), LoadQuestion::Turning, [load, 0.0], grounds);
    (!apart).then(turns)
}

/// What is asked of the plug that is asked most, and the wood under the heads.
fn in_plugs(place: &CheckPlace, screw: Screw, each: &[Loaded], on_head: &Loaded) -> Vec<Check> {
    let asked = |loaded: &Loaded| loaded.share.pull.hypot(loaded.share.across);
    let Some(most) = each.iter().max_by(|a, b| asked(a).total_cmp(&asked(b))) else {
        return Vec::new();
    };
    let grounds = |of: &Loaded| Grounds::InPlugs { screw, each: of.share };
    let heads = [on_head.share.pull, on_head.can.head];
    vec![
        Check::new(place.clone(), LoadQuestion::Heads, heads, grounds(on_head)),
        Check::unrated(place.clone(), LoadQuestion::Plugs, asked(most), grounds(most)),
    ]
}

/// The lines of the table: for the screw that has most to bear, and the one whose head has.
fn lines(
    place: &CheckPlace,
    grounds: &Grounds,
    (most, on_head): (&Loaded, &Loaded),
    pulled_in_end_grain: f64,
) -> Vec<Check> {
    let check =
        |question, asked, can| Check::new(place.clone(), question, [asked, can], grounds.clone());
    let Loaded { share, can, ratio } = most;
    let mut checks = Vec::new();
    if pulled_in_end_grain > 0.0 {
        checks.push(check(LoadQuestion::EndGrain, pulled_in_end_grain, 0.0));
    }
    if can.pull.is_none() {
        checks.push(check(LoadQuestion::Screws, share.across, can.across));
    } else if *ratio > 0.0 {
        let asked = share.pull.hypot(share.across);
        checks.push(check(LoadQuestion::Screws, asked, asked / ratio));
    }
    if on_head.share.pull > 0.0 {
        checks.push(check(LoadQuestion::Heads, on_head.share.pull, on_head.can.head));
    }
    checks
}

/// The weight of the wood the screws carry, in N: all of it where they end in the wall, the parts they end in where
/// they point out from it, those they pass through where they point down.
fn borne(holder: &Holder, joints: &[&ScrewJoint]) -> f64 {
    if joints.iter().all(|joint| joint.screws.iter().all(|screw| screw.into.is_none())) {
        return holder.mass * STANDARD_GRAVITY;
    }
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

/// The foot of the piece that a screw ends in, in mm above the holder's.
fn foot(holder: &Holder, screw: &Seated) -> Option<f64> {
    let pieces = holder.parts[screw.into?.part].places.iter().map(Placement::bounds);
    let holds = |low: &Space, high: &Space| {
        (0..2).all(|i| (low[i] - COORDINATE..=high[i] + COORDINATE).contains(&screw.head[i]))
    };
    pieces.into_iter().find(|(low, high)| holds(low, high)).map(|(low, _)| low[1])
}

/// What comes on one screw. What shears is shared evenly, or as a stiff beam leans on its supports
/// where it acts off their middle; what turns the joint open about its pivot
/// pulls each as much more as it stands further from it (elementary mechanics, rigid parts).
fn share(
    holder: &Holder,
    screws: &[(&ScrewJoint, &Seated)],
    index: usize,
    load: f64,
    Shared { turn, middle, .. }: Shared,
) -> Result<ScrewShare, Wrong> {
    let part = leaning(screws, index, middle, holder.size[0]);
    let across = load * part;
    let Some(turn) = turn else { return Ok(ScrewShare { pull: 0.0, across }) };
    let (joint, seated) = screws[index];
    let down = seated.ahead[1].abs() > 0.5;
    let lever = |(joint, s): &(&ScrewJoint, &Seated)| {
        let piece = holder.parts[joint.through].places.get(s.piece);
        let low = piece.map_or([0.0; 3], |p| p.bounds().0);
        let pivot = low[1] + turn.pivot;
        // Of pieces one above the other each turns about its own foot.
        let foot = foot(holder, s).map_or(pivot, |foot| foot.max(pivot));
        if down { low[2] + turn.pivot - s.head[2] } else { s.head[1] - foot }
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
    // A load behind the pivot presses the joint together.
    let moment = load * arm.max(0.0);
    if moment > 0.0 && squares <= 0.0 {
        return Err(Wrong::NotPositive {
            what: "the distance of the screws from the pivot",
            value: 0.0,
        });
    }
    let pull = if moment > 0.0 { moment * own / squares * part * screws.len() as f64 } else { 0.0 };
    Ok(ScrewShare { pull, across: if down { 0.0 } else { across } })
}

/// What part of a load at `middle` one of some supports in a row gets, the beam on them being stiff:
/// 1/n + e (x - m) / sum of (x - m)², m their middle and e how far off it the load acts; for two
/// this is statics. A part below 0 would lift: it counts as none. The most with half of the load on one half of
/// a beam of this width counts too.
fn leaning(
    screws: &[(&ScrewJoint, &Seated)],
    index: usize,
    middle: Option<f64>,
    width: f64,
) -> f64 {
    let count = screws.len() as f64;
    let Some(middle) = middle else { return 1.0 / count };
    let mean = screws.iter().map(|(_, s)| s.head[0]).sum::<f64>() / count;
    let spread: f64 = screws.iter().map(|(_, s)| (s.head[0] - mean).powi(2)).sum();
    let off = middle - mean;
    let by = |off: f64| (1.0 / count + off * (screws[index].1.head[0] - mean) / spread).max(0.0);
    // All of it where it acts, or half of it on either side alone.
    let quarter = width / 4.0;
    [by(off), by(off - quarter) / 2.0, by(off + quarter) / 2.0].into_iter().fold(0.0, f64::max)
}

/// The gravity a wood's screws are counted with.
pub(super) fn gravity(wood: &str) -> NdsGravity {
    find_wood(wood).wood.screw_gravity()
}

/// The wood one screw of a holder goes through and into.
pub(super) fn screwed_wood(
    holder: &Holder,
    shop: &Shop,
    joint: &ScrewJoint,
    seated: &Seated,
) -> ScrewedWood {
    let through = &holder.parts[joint.through];
    let near = (seated.passed, gravity(&through.stock.wood));
    let thread = |within: [f64; 2]| joint.screw.thread_within(joint.length, within);
    let Some(into) = seated.into else {
        let begins = seated.passed + shop.wall.covering;
        let deep = joint.length - begins;
        return ScrewedWood {
            screw: joint.screw,
            near,
            far: (deep, gravity(&shop.wall.wood)),
            thread: thread([begins, f64::INFINITY]),
            gap: shop.wall.covering,
            grain: ScrewGrain::Side,
            panel_edge: false,
            under_head: through.stock.thickness,
            service: shop.service,
        };
    };
    let part = &holder.parts[into.part];
    let deep = (joint.length - seated.passed).min(into.room);
    let panel = find_wood(&part.stock.wood).wood.kind.is_panel();
    let along = into.edge.is_some_and(|way| {
        let fibers = match part.grain {
            crate::holder::Grain::Length => way.x.abs(),
            crate::holder::Grain::Width => way.y.abs(),
            crate::holder::Grain::Any => 1.0,
        };
        fibers > 0.5 || part.stock.kind == StockKind::Dowel
    });
    ScrewedWood {
        screw: joint.screw,
        near,
        far: (deep, gravity(&part.stock.wood)),
        thread: thread([seated.passed, seated.passed + into.room]),
        gap: 0.0,
        grain: if along && !panel { ScrewGrain::End } else { ScrewGrain::Side },
        panel_edge: panel && into.edge.is_some(),
        under_head: through.stock.thickness,
        service: shop.service,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::length::{MM_PER_INCH as INCH, NEWTONS_PER_POUND as POUND};

    /// A number 10 of 3 in through 3/4 in of G 0.50 into the same.
    fn ten() -> ScrewedWood {
        let screw = Screw::numbered(10.0).unwrap();
        ScrewedWood {
            screw,
            near: (0.75 * INCH, NdsGravity(0.50)),
            far: (2.25 * INCH, NdsGravity(0.50)),
            thread: screw.thread_within(3.0 * INCH, [0.75 * INCH, f64::INFINITY]),
            gap: 0.0,
            grain: ScrewGrain::Side,
            panel_edge: false,
            under_head: 0.75 * INCH,
            service: Service::Dry,
        }
    }

    fn near(found: f64, expected: f64, within: f64) {
        assert!((found - expected).abs() <= within, "{found} is not {expected}");
    }

    /// NDS eq. 12.2-2 and 12.3.1 as worked out elsewhere: 135.375 lb for each inch of thread, here
    /// 2 in less half of a point of 0.38 in; 106.55 lb across; load duration 0.9 (table 2.3.2); end grain 0.67 (12.5.2.2). Eq.
    /// 12.2-6a by hand: 690 π D_H G² t with a head of 0.38 in and, under its cone of
    /// 0.19 / 2 / tan 41°, 0.6407 in of wood: 131.9 lb.
    #[test]
    fn what_one_screw_can() {
        let found = ten().can().unwrap();
        near(found.pull.unwrap() / POUND, 0.9 * 1.81 * 135.375, 1e-6);
        near(found.across / POUND, 0.9 * 106.55, 0.006);
        let head = 690.0 * std::f64::consts::PI * 0.38 * 0.25 * 0.640_715;
        near(found.head / POUND, 0.9 * head, 0.001);
        let end = ScrewedWood { grain: ScrewGrain::End, ..ten() }.can().unwrap();
        near(end.across / POUND, 0.9 * 0.67 * 106.55, 0.006);
        assert_eq!(end.pull, None);
        let edge = ScrewedWood { panel_edge: true, ..ten() }.can().unwrap();
        near(edge.across / found.across, 0.5, 1e-9);
    }

    #[test]
    fn a_screw_that_does_not_reach_can_nothing() {
        let short = ScrewedWood { far: (-3.0, NdsGravity(0.50)), thread: -3.0, ..ten() };
        let found = short.can().unwrap();
        assert_eq!((found.pull, found.across), (Some(0.0), 0.0));
        assert_eq!(found.ratio(1.0, 1.0), Ok(f64::INFINITY));
        let thin = ScrewedWood { under_head: 2.0, ..ten() };
        assert!(matches!(thin.can(), Err(Wrong::NotPositive { .. })));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(256))]

        /// Shorter screws, thinner near pieces, lighter woods, end grain, edges and drywall never
        /// raise what a screw can.
        #[test]
        fn less_never_can_more(
            number in prop::sample::select(vec![6.0, 8.0, 10.0, 12.0]),
            deep in 5.0..70.0, thickness in 12.0..30.0, (near, far) in (0.36..0.7, 0.36..0.7),
            less in 0.8..1.0
        ) {
            let screw = Screw::numbered(number).unwrap();
            let all = ScrewedWood {
                screw,
                near: (thickness, NdsGravity(near)),
                far: (deep, NdsGravity(far)),
                thread: screw.thread_within(thickness + deep, [thickness, f64::INFINITY]),
                under_head: thickness,
                ..ten()
            };
            let takes = |wood: &ScrewedWood| wood.can().unwrap().ratio(60.0, 80.0).unwrap();
            let weaker = [
                ScrewedWood { far: (deep * less, NdsGravity(far)), thread: all.thread * less, ..all },
                ScrewedWood { near: (thickness * less, NdsGravity(near)), ..all },
                ScrewedWood { near: (thickness, NdsGravity(near * less)), ..all },
                ScrewedWood { far: (deep, NdsGravity(far * less)), ..all },
                ScrewedWood { gap: 5.0, ..all },
                ScrewedWood { panel_edge: true, ..all },
            ];
            for weaker in weaker {
                prop_assert!(takes(&weaker) >= takes(&all) * (1.0 - 1e-9));
            }
            let end = ScrewedWood { grain: ScrewGrain::End, ..all }.can().unwrap();
            prop_assert!(end.across <= all.can().unwrap().across);
        }
    }
}
