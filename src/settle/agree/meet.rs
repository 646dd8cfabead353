//! Two sizes that meet between: each of one member alone, and neither as it is now.

use std::collections::BTreeMap;

use super::plan::{Known, Plan, Step};
use super::sizes::{Cut, Size};
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
pub(super) fn meeting(known: Known<'_>) -> impl Iterator<Item = Plan> + '_ {
    let all: Vec<Vec<Alone>> =
        (0..known.members.len()).map(|member| alone(member, known)).collect();
    let count = all.len();
    let pairs = (0..count).flat_map(move |one| (one + 1..count).map(move |other| [one, other]));
    pairs.flat_map(move |[one, other]| of_two(&all[one], &all[other], known))
}

/// The same of two members.
fn of_two(ones: &[Alone], others: &[Alone], known: Known<'_>) -> Vec<Plan> {
    let (Some(one), Some(other)) = (ones.first(), others.first()) else { return Vec::new() };
    let mut rest = known.tally.clone();
    [one, other].iter().for_each(|alone| rest.remove(&known.bends[alone.member].look.sizes));
    let pairs = ones.iter().flat_map(|one| others.iter().map(move |other| [*one, *other]));
    let plans = pairs.flat_map(|pair| {
        let mut ways = meets(pair, known);
        [ways.next(), ways.last()].into_iter().flatten().collect::<Vec<_>>()
    });
    plans.filter_map(|steps| plan(steps, &rest, known)).collect()
}

/// The cuts that `member` alone has and its gives move.
fn alone(member: usize, known: Known<'_>) -> Vec<Alone> {
    let bend = &known.bends[member];
    let own: Vec<Cut> = bend.look.sizes.cuts().collect();
    let only_here =
        |cut: Cut| known.tally.count(cut) == own.iter().filter(|own| **own == cut).count();
    let gives =
        bend.steps.iter().enumerate().filter_map(|(give, step)| Some((give, &step.as_ref()?.0)));
    let cuts = gives.flat_map(|(give, steps)| {
        let cuts = own.iter().zip(steps).filter(|(cut, step)| **step != 0 && only_here(**cut));
        let cuts: BTreeMap<Cut, Size> = cuts.map(|(cut, step)| (*cut, *step)).collect();
        cuts.into_iter().map(move |(cut, step)| Alone { member, give, size: cut.size(), step })
    });
    cuts.collect()
}

/// The steps that bring both to one size, as far as their gives may.
fn meets([one, other]: [Alone; 2], known: Known<'_>) -> impl Iterator<Item = [Step; 2]> + '_ {
    let now = |alone: Alone| known.members[alone.member].marks[alone.give];
    let most = known.members[one.member].gives[one.give].marks();
    (-most - now(one)..=most - now(one)).filter_map(move |by| {
        let apart = one.size + by * one.step - other.size;
        let whole = apart % other.step == 0 && by != 0 && apart != 0;
        let step = |alone: Alone, by| Step {
            member: alone.member,
            give: alone.give,
            marks: now(alone) + by,
        };
        let steps = [step(one, by), step(other, apart / other.step)];
        (whole && steps.iter().all(|step| known.may(*step))).then_some(steps)
    })
}

/// The plan of two steps, where it leaves fewer different cuts: `rest` has those of the other members.
fn plan(steps: [Step; 2], rest: &Tally, known: Known<'_>) -> Option<Plan> {
    let moved = |step: Step| {
        let (bend, by) =
            (&known.bends[step.member], step.marks - known.members[step.member].marks[step.give]);
        let (sizes, wood) = bend.steps[step.give].as_ref()?;
        Some((bend.look.sizes.plus(sizes, by), by * wood))
    };
    let ((one, more), (other, and_more)) = (moved(steps[0])?, moved(steps[1])?);
    let different = rest.different_with(one.cuts().chain(other.cuts()));
    let plan = Plan { steps: steps.to_vec(), different, wood: more + and_more };
    (different < known.tally.different()).then_some(plan)
}
