//! Two sizes that meet between: each of one member alone, and neither as it is now.

use std::collections::BTreeMap;

use super::plan::{Footing, GiveMove, GivingUp};
use super::sizes::{CutSize, Size};
use super::tally::Tally;

/// A cut that one member alone has and a give of it moves.
#[derive(Clone, Copy)]
struct Alone {
    member: usize,
    give: usize,
    size: Size,
    /// By how much a mark of the give changes it.
    step: Size,
}

/// Every two cuts of different members that can meet, at the nearest and at the farthest place.
pub(super) fn meeting(footing: Footing<'_>) -> impl Iterator<Item = GivingUp> + '_ {
    let all: Vec<Vec<Alone>> = footing.some().map(|(member, _)| alone(member, footing)).collect();
    let count = all.len();
    let pairs = (0..count).flat_map(move |one| (one + 1..count).map(move |other| [one, other]));
    pairs.flat_map(move |[one, other]| of_two(&all[one], &all[other], footing))
}

/// The same of two members.
fn of_two(ones: &[Alone], others: &[Alone], footing: Footing<'_>) -> Vec<GivingUp> {
    let (Some(one), Some(other)) = (ones.first(), others.first()) else { return Vec::new() };
    let mut rest = footing.tally.clone();
    [one, other].iter().for_each(|alone| rest.remove(&footing.bends[alone.member].look.sizes));
    let pairs = ones.iter().flat_map(|one| others.iter().map(move |other| [*one, *other]));
    let plans = pairs.flat_map(|pair| {
        let mut ways = meets(pair, footing);
        [ways.next(), ways.last()].into_iter().flatten().collect::<Vec<_>>()
    });
    plans.filter_map(|steps| plan(steps, &rest, footing)).collect()
}

/// The cuts that `member` alone has and its gives move.
fn alone(member: usize, footing: Footing<'_>) -> Vec<Alone> {
    let bend = &footing.bends[member];
    let own: Vec<CutSize> = bend.look.sizes.cuts().collect();
    let only_here =
        |cut: CutSize| footing.tally.count(cut) == own.iter().filter(|own| **own == cut).count();
    let gives =
        bend.steps.iter().enumerate().filter_map(|(give, step)| Some((give, &step.as_ref()?.0)));
    let cuts = gives.flat_map(|(give, steps)| {
        let cuts = own.iter().zip(steps).filter(|(cut, step)| **step != 0 && only_here(**cut));
        let cuts: BTreeMap<CutSize, Size> = cuts.map(|(cut, step)| (*cut, *step)).collect();
        cuts.into_iter().map(move |(cut, step)| Alone { member, give, size: cut.size(), step })
    });
    cuts.collect()
}

/// The steps that bring both to one size, as far as their gives may.
fn meets(
    [one, other]: [Alone; 2],
    footing: Footing<'_>,
) -> impl Iterator<Item = [GiveMove; 2]> + '_ {
    let now = |alone: Alone| footing.members[alone.member].marks[alone.give];
    let most = footing.members[one.member].gives[one.give].marks;
    (-most - now(one)..=most - now(one)).filter_map(move |by| {
        let apart = one.size + by * one.step - other.size;
        let whole = apart % other.step == 0 && by != 0 && apart != 0;
        let step = |alone: Alone, by| GiveMove {
            member: alone.member,
            give: alone.give,
            marks: now(alone) + by,
        };
        let steps = [step(one, by), step(other, apart / other.step)];
        (whole && steps.iter().all(|step| footing.may(*step))).then_some(steps)
    })
}

/// The plan of two steps, where it leaves fewer different cuts: `rest` has those of the other members.
fn plan(steps: [GiveMove; 2], rest: &Tally, footing: Footing<'_>) -> Option<GivingUp> {
    let moved = |step: GiveMove| {
        let (bend, by) = (
            &footing.bends[step.member],
            step.marks - footing.members[step.member].marks[step.give],
        );
        let (sizes, wood) = bend.steps[step.give].as_ref()?;
        Some((bend.look.sizes.plus(sizes, by), by * wood))
    };
    let ((one, more), (other, and_more)) = (moved(steps[0])?, moved(steps[1])?);
    let different = rest.different_with(one.cuts().chain(other.cuts()));
    let plan = GivingUp { steps: steps.to_vec(), different, wood: more + and_more };
    (different < footing.tally.different()).then_some(plan)
}
