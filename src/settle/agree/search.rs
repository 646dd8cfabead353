//! Which sizes are given up: one after the other, for as long as that leaves fewer.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::meet::meeting;
use super::member::{Look, Marks, Member};
use super::plan::{Bend, Known, Plan, bend, giving_up};
use super::sizes::{Cut, Sizes};
use super::tally::Tally;
use crate::settle::change::Change;
use crate::settle::moved::Agreed;

/// Gives up one cut after the other, those first that take the least wood for each setting saved.
pub(super) fn draw_together(members: &mut [Member<'_>]) {
    let mut bends: Vec<Bend> = members.par_iter_mut().map(bend).collect();
    let mut barred = BTreeSet::new();
    loop {
        let tally = Tally::of(bends.iter().map(|bend| &bend.look.sizes));
        let known = Known { members, bends: &bends, tally: &tally, barred: &barred };
        let cuts = tally.cuts();
        let plan = cheapest(cuts.filter_map(|cut| giving_up(cut, known)), &tally)
            .or_else(|| cheapest(meeting(known), &tally));
        let Some(plan) = plan else { break };
        if !done(&plan, members, &tally) {
            barred.extend(plan.steps);
            continue;
        }
        for step in plan.steps {
            bends[step.member] = bend(&mut members[step.member]);
        }
    }
    put_back(members);
}

/// The plan that takes the least wood for each setting that it saves.
fn cheapest(plans: impl Iterator<Item = Plan>, tally: &Tally) -> Option<Plan> {
    let each = |plan: &Plan| {
        let saved = tally.different() - plan.different;
        plan.wood as f64 / saved as f64
    };
    plans.min_by(|a, b| each(a).total_cmp(&each(b)))
}

/// Carries a plan out if every member holds and there are fewer different cuts than in `tally`.
fn done(plan: &Plan, members: &mut [Member<'_>], tally: &Tally) -> bool {
    let mut after = tally.clone();
    let mut moved: Vec<(usize, Marks)> = Vec::new();
    for step in &plan.steps {
        let member = &mut members[step.member];
        let marks = member.moved(step.give, step.marks);
        let Some(look) = member.look(&marks) else { return false };
        after.remove(&member.now().sizes);
        after.add(&look.sizes);
        moved.push((step.member, marks));
    }
    let fewer = after.different() < tally.different();
    if fewer {
        moved.into_iter().for_each(|(member, marks)| members[member].marks = marks);
    }
    fewer
}

/// Puts back what need not be moved after all.
fn put_back(members: &mut [Member<'_>]) {
    let looks: Vec<Look> = members.iter_mut().map(Member::now).collect();
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
    let looks: Vec<Look> = members.iter_mut().map(Member::now).collect();
    let tally = Tally::of(looks.iter().map(|look| &look.sizes));
    let each = members.iter_mut().zip(&looks);
    each.map(|(member, look)| agreed(member, look, &tally)).collect()
}

fn agreed(member: &mut Member<'_>, look: &Look, tally: &Tally) -> Vec<Agreed> {
    let moved: Vec<usize> =
        (0..member.gives.len()).filter(|give| member.marks[*give] != 0).collect();
    let changes: Vec<Change> = member.changes(&member.marks.clone());
    let part = |give: usize, member: &mut Member<'_>| {
        let without = member.moved(give, 0);
        let without = member.any_look(&without)?;
        let changed = |(now, then): &(Cut, Cut)| now != then;
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
