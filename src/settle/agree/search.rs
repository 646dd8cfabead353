//! Which sizes are given up: one after the other, for as long as that leaves fewer.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::meet::meeting;
use super::member::{Marks, Member, MemberLook};
use super::plan::{Bend, Footing, GiveMove, GivingUp, bend, giving_up};
use super::sizes::{CutSize, Sizes};
use super::tally::Tally;
use crate::settle::change::Change;
use crate::settle::moved::Agreed;

/// So many holders at once: of more, these first, then the next ones, all held against the sizes of all.
const AT_ONCE: usize = 60;

/// Which cut is given up first.
#[derive(Debug, Clone, Copy)]
enum First {
    /// Where a setting saved takes the least wood.
    LeastWood,
    /// Where most settings are saved.
    MostSaved,
}

/// Gives up one cut after the other, in the order that leaves the fewest, or of two alike the less wood.
pub(super) fn draw_together(members: &mut [Member<'_>]) {
    members.iter_mut().for_each(|member| member.marks.fill(0));
    let mut others = members.to_vec();
    let (one, other) = rayon::join(
        || come_to(members, First::LeastWood),
        || come_to(&mut others, First::MostSaved),
    );
    if other < one {
        members.clone_from_slice(&others);
    }
}

/// How many different cuts are left in an order, how much wood that takes, and what is moved.
fn come_to(members: &mut [Member<'_>], first: First) -> (usize, i64, Vec<Marks>) {
    one_by_one(members, first);
    put_back(members);
    let looks: Vec<MemberLook> = members.iter().map(Member::now).collect();
    let different = Tally::of(looks.iter().map(|look| &look.sizes)).different();
    let wood = looks.iter().map(|look| look.wood).sum();
    (different, wood, members.iter().map(|member| member.marks.clone()).collect())
}

fn one_by_one(members: &mut [Member<'_>], first: First) {
    let mut bends: Vec<Bend> = members.par_iter().map(bend).collect();
    for from in (0..members.len()).step_by(AT_ONCE) {
        give(members, &mut bends, (from, from + AT_ONCE), first);
    }
}

/// Gives up what `some` of the members may, one cut after the other.
fn give(members: &mut [Member<'_>], bends: &mut [Bend], some: (usize, usize), first: First) {
    let mut tally = Tally::of(bends.iter().map(|bend| &bend.look.sizes));
    let mut barred = BTreeSet::new();
    loop {
        let mut after = tally.clone();
        let footing = Footing { members, bends, some, tally: &tally, barred: &barred };
        let cuts = footing.cuts();
        let plans = cuts.iter().filter_map(|cut| giving_up(*cut, footing, &mut after));
        let plan = best(plans, &tally, first).or_else(|| best(meeting(footing), &tally, first));
        let Some(plan) = plan else { break };
        match done(&plan, members, &tally) {
            Ok(()) => plan.steps.iter().for_each(|step| {
                let moved = bend(&members[step.member]);
                tally.remove(&bends[step.member].look.sizes);
                tally.add(&moved.look.sizes);
                bends[step.member] = moved;
            }),
            Err(step) => drop(barred.insert(step)),
        }
    }
}

fn best(plans: impl Iterator<Item = GivingUp>, tally: &Tally, first: First) -> Option<GivingUp> {
    let order = |plan: &GivingUp| {
        let saved = (tally.different() - plan.different) as f64;
        let each = plan.wood.max(0) as f64 / saved;
        match first {
            First::LeastWood => [each, -saved],
            First::MostSaved => [-saved, each],
        }
    };
    plans.min_by(|a, b| {
        let ([a, then_a], [b, then_b]) = (order(a), order(b));
        a.total_cmp(&b).then(then_a.total_cmp(&then_b))
    })
}

/// Carries a plan out if every member holds and there are fewer different cuts than in `tally`.
///
/// # Errors
/// The step that does not do.
fn done(plan: &GivingUp, members: &mut [Member<'_>], tally: &Tally) -> Result<(), GiveMove> {
    let mut after = tally.clone();
    let mut moved: Vec<(usize, Marks)> = Vec::new();
    for step in &plan.steps {
        let member = &members[step.member];
        let marks = member.moved(step.give, step.marks);
        let look = member.look(&marks).ok_or(*step)?;
        after.remove(&member.now().sizes);
        after.add(&look.sizes);
        moved.push((step.member, marks));
    }
    match plan.steps.first() {
        // Not what was foretold.
        Some(step) if after.different() >= tally.different() => Err(*step),
        _ => {
            moved.into_iter().for_each(|(member, marks)| members[member].marks = marks);
            Ok(())
        }
    }
}

/// Puts back what need not be moved after all.
fn put_back(members: &mut [Member<'_>]) {
    let looks: Vec<MemberLook> = members.iter().map(Member::now).collect();
    let mut tally = Tally::of(looks.iter().map(|look| &look.sizes));
    for member in members {
        for give in 0..member.gives.len() {
            let (now, marks) = (member.now(), member.moved(give, 0));
            let Some(look) = member.look(&marks).filter(|_| member.marks != marks) else {
                continue;
            };
            let before = tally.different();
            tally.remove(&now.sizes);
            tally.add(&look.sizes);
            if tally.different() <= before {
                member.marks = marks;
            } else {
                tally.remove(&look.sizes);
                tally.add(&now.sizes);
            }
        }
    }
}

/// What was moved of each member, with the part for which the saw would be set once more.
pub(super) fn told(members: &mut [Member<'_>]) -> Vec<Vec<Agreed>> {
    let looks: Vec<MemberLook> = members.iter().map(Member::now).collect();
    let tally = Tally::of(looks.iter().map(|look| &look.sizes));
    let each = members.iter_mut().zip(&looks);
    each.map(|(member, look)| agreed(member, look, &tally)).collect()
}

fn agreed(member: &mut Member<'_>, look: &MemberLook, tally: &Tally) -> Vec<Agreed> {
    let moved: Vec<usize> =
        (0..member.gives.len()).filter(|give| member.marks[*give] != 0).collect();
    let changes: Vec<Change> = member.changes(&member.marks.clone());
    let part = |give: usize, member: &mut Member<'_>| {
        let without = member.moved(give, 0);
        let without = member.any_look(&without)?;
        let changed = |(now, then): &(CutSize, CutSize)| now != then;
        let pairs = look.sizes.cuts().zip(without.sizes.cuts()).enumerate();
        let changed: Vec<_> = pairs.filter(|(_, pair)| changed(pair)).collect();
        let alone =
            changed.iter().find(|(_, (_, then))| tally.count(*then) == 0).or(changed.first());
        alone.and_then(|(place, _)| without.parts.get(Sizes::part(*place)).cloned())
    };
    let told = moved.into_iter().zip(changes);
    told.map(|(give, change)| Agreed { change, part: part(give, member).unwrap_or_default() })
        .collect()
}
