//! Two sizes that meet between: each of one member alone, and neither as it is now.

use super::plan::{Known, Plan, Step};
use super::sizes::{Cut, Size};

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
    let all = alone(known);
    let pairs = all.clone().into_iter().enumerate().flat_map(move |(at, one)| {
        let others: Vec<Alone> = all[at + 1..].to_vec();
        others
            .into_iter()
            .filter(move |other| other.member != one.member)
            .map(move |other| [one, other])
    });
    pairs.flat_map(move |pair| {
        let mut ways = meets(pair, known);
        [ways.next(), ways.last()].into_iter().flatten().filter_map(move |steps| plan(steps, known))
    })
}

fn alone(known: Known<'_>) -> Vec<Alone> {
    let mut all = Vec::new();
    for (member, bend) in known.bends.iter().enumerate() {
        let own: Vec<Cut> = bend.look.sizes.cuts().collect();
        for (give, steps) in bend.steps.iter().enumerate() {
            let Some((steps, _)) = steps else { continue };
            let mut cuts: Vec<(Cut, Size)> =
                own.iter().copied().zip(steps.iter().copied()).collect();
            cuts.retain(|(cut, step)| {
                *step != 0
                    && known.tally.count(*cut) == own.iter().filter(|own| *own == cut).count()
            });
            cuts.sort_unstable();
            cuts.dedup_by_key(|(cut, _)| *cut);
            all.extend(cuts.into_iter().map(|(cut, step)| Alone {
                member,
                give,
                size: cut.size(),
                step,
            }));
        }
    }
    all
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

/// The plan of two steps, where it leaves fewer different cuts.
fn plan(steps: [Step; 2], known: Known<'_>) -> Option<Plan> {
    let mut after = known.tally.clone();
    let mut wood = 0;
    for Step { member, give, marks } in steps {
        let (bend, by) = (&known.bends[member], marks - known.members[member].marks[give]);
        let (step, more) = bend.steps[give].as_ref()?;
        after.remove(&bend.look.sizes);
        after.add(&bend.look.sizes.plus(step, by));
        wood += by * more;
    }
    let different = after.different();
    (different < known.tally.different()).then(|| Plan { steps: steps.to_vec(), different, wood })
}
