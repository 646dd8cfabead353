//! What it takes to be without a size: steps of some members, foretold from what one mark of each give does.

use std::collections::BTreeSet;

use super::member::{Member, MemberLook};
use super::sizes::{CutSize, Size, Sizes};
use super::tally::Tally;

/// A give of a member moved to so many marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct GiveMove {
    pub member: usize,
    pub give: usize,
    pub marks: i64,
}

/// A member as it is, with what one mark more of each of its gives changes.
pub(super) struct Bend {
    pub look: MemberLook,
    /// Of each give: of every cut, and of the wood.
    pub steps: Vec<Option<(Vec<Size>, i64)>>,
}

/// What it takes to give cuts up.
pub(super) struct GivingUp {
    pub steps: Vec<GiveMove>,
    /// How many different cuts there are then: fewer than now.
    pub different: usize,
    /// Wood that it takes, in tenths of a gram.
    pub wood: i64,
}

/// What plans are made from.
#[derive(Clone, Copy)]
pub(super) struct Footing<'k> {
    pub members: &'k [Member<'k>],
    pub bends: &'k [Bend],
    /// Those that may give just now.
    pub some: (usize, usize),
    /// The cuts of all members as they are.
    pub tally: &'k Tally,
    /// Steps that were tried and did not do.
    pub barred: &'k BTreeSet<GiveMove>,
}

/// What one mark of each give does to a member as it is.
pub(super) fn bend(member: &Member<'_>) -> Bend {
    let look = member.now();
    let steps = (0..member.gives.len()).map(|give| step(member, give, &look)).collect();
    Bend { look, steps }
}

/// What one mark of a give changes of a member that looks like `look`: of every cut, and of the wood.
fn step(member: &Member<'_>, give: usize, look: &MemberLook) -> Option<(Vec<Size>, i64)> {
    let up = if member.may(give, member.marks[give] + 1) { 1 } else { -1 };
    let next = member.any_look(&member.moved(give, member.marks[give] + up))?;
    let steps = look.sizes.steps(&next.sizes)?;
    Some((steps.into_iter().map(|step| up * step).collect(), up * (next.wood - look.wood)))
}

/// What it takes to give `cut` up: every member that has it takes a size that another has. `after` is the tally of the
/// footing, and that again when this is done.
pub(super) fn giving_up(cut: CutSize, footing: Footing<'_>, after: &mut Tally) -> Option<GivingUp> {
    let times = |bend: &Bend| bend.look.sizes.cuts().filter(|known| *known == cut).count();
    let have: Vec<(usize, &Bend)> = footing.some().filter(|(_, bend)| times(bend) > 0).collect();
    if have.iter().map(|(_, bend)| times(bend)).sum::<usize>() < footing.tally.count(cut) {
        return None;
    }
    let mut given: Vec<(GiveMove, Sizes, i64)> = Vec::new();
    for (at, bend) in &have {
        after.remove(&bend.look.sizes);
        let best = ways(cut, *at, footing, after)
            .min_by_key(|(step, sizes, more)| (after.different_with(sizes.cuts()), *more, *step));
        let Some(way) = best else {
            after.add(&bend.look.sizes);
            break;
        };
        after.add(&way.1);
        given.push(way);
    }
    let different = after.different();
    for ((_, bend), (_, sizes, _)) in have.iter().zip(&given) {
        after.remove(sizes);
        after.add(&bend.look.sizes);
    }
    let fewer = given.len() == have.len() && different < footing.tally.different();
    let wood = given.iter().map(|(_, _, more)| more).sum();
    let steps = given.into_iter().map(|(step, ..)| step).collect();
    fewer.then_some(GivingUp { steps, different, wood })
}

/// The ways for a member to be without `cut`: a step, its sizes then, and the wood that takes, all as one mark
/// says.
fn ways<'k>(
    cut: CutSize,
    at: usize,
    footing: Footing<'k>,
    others: &'k Tally,
) -> impl Iterator<Item = (GiveMove, Sizes, i64)> + 'k {
    let (member, bend) = (&footing.members[at], &footing.bends[at]);
    let sizes = &bend.look.sizes;
    let gives =
        bend.steps.iter().enumerate().filter_map(|(give, step)| Some((give, step.as_ref()?)));
    let marks = move |(give, (steps, wood)): (usize, &'k (Vec<Size>, i64))| {
        let own = sizes.cuts().zip(steps).find(|(known, step)| *known == cut && **step != 0);
        let by = own.into_iter().flat_map(move |(_, step)| marks_to(cut.size(), *step, others));
        by.map(move |by| {
            let step = GiveMove { member: at, give, marks: member.marks[give] + by };
            (step, sizes.plus(steps, by), by * wood)
        })
    };
    gives.flat_map(marks).filter(move |(step, sizes, _)| {
        footing.may(*step) && sizes.cuts().all(|known| known != cut)
    })
}

impl<'k> Footing<'k> {
    /// The members that may give, by their places.
    pub(super) fn some(&self) -> impl Iterator<Item = (usize, &'k Bend)> + Clone + use<'k> {
        let (from, to) = self.some;
        self.bends.iter().enumerate().take(to).skip(from)
    }

    /// Every cut that one of these has.
    pub(super) fn cuts(&self) -> BTreeSet<CutSize> {
        self.some().flat_map(|(_, bend)| bend.look.sizes.cuts()).collect()
    }

    /// Whether a step is within what its give may, and was not tried.
    pub(super) fn may(&self, step: GiveMove) -> bool {
        self.members[step.member].may(step.give, step.marks) && !self.barred.contains(&step)
    }
}

/// How many marks bring a size that changes by `step` with each to one of the others.
fn marks_to(size: Size, step: Size, others: &Tally) -> impl Iterator<Item = i64> {
    let near = move |target: Size| {
        let marks = (target - size) as f64 / step as f64;
        (marks.round() != 0.0 && (marks - marks.round()).abs() < ON_MARK)
            .then_some(marks.round() as i64)
    };
    others.sizes(size - FAR, size + FAR).filter_map(near)
}

/// Sizes further apart than 100 mm are not drawn together.
const FAR: Size = 100_000_000;

/// How near to a whole number of marks a size must be to be on one.
const ON_MARK: f64 = 1e-4;
