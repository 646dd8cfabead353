//! The best of all that may be set otherwise: one thing moved, then two, until a set of moves is good.
//!
//! Pure: what a set of moves is worth is asked of the caller. Where all sets of a size can be asked after, they
//! are; where there are too many, what follows from the best few of one thing less.

use std::collections::BTreeSet;

use rayon::prelude::*;

/// A knob by its place, and which of its changes: both counted from 0.
pub(super) type Move = (usize, usize);

/// How many sets are made ready at once: a few for each hand, and never more for more hands, so that all do the same.
const AT_ONCE: usize = 4;

/// How many of the best are gone on from where not all can be asked after.
const GONE_ON_FROM: usize = 6;

/// What is searched.
pub(super) struct Scope<'s> {
    /// How many changes each knob has.
    pub sizes: &'s [usize],
    /// How many sets of moves may be asked after.
    pub most: usize,
    /// How many things may be moved at once.
    pub at_once: usize,
}

/// The best set of one or more moves, in the order of the knobs, and what it is worth: the least of all worths,
/// the first of equal ones. The search ends with the number of moves at which a worth is `good`, or after single
/// ones that give no `hope` of more. `None` where nothing could be made of any set. What a worth is told from is made
/// `ready` side by side for a few sets, worths are asked for in the order of the sets: both know the least so far.
pub(super) fn best<V: Ord + Copy + Sync, R: Send>(
    scope: &Scope<'_>,
    good: impl Fn(&V) -> bool,
    (ready, mut worth): (
        impl Fn(&[Move], Option<V>) -> R + Sync,
        impl FnMut(&[Move], Option<V>, R) -> Option<V>,
    ),
    hope: impl Fn() -> bool,
) -> Option<(Vec<Move>, V)> {
    let mut best: Option<(Vec<Move>, V)> = None;
    let (mut asked, mut last) = (0, vec![Vec::new()]);
    for level in 1..=scope.sizes.len().min(scope.at_once) {
        let sets = if count(scope.sizes, level) <= scope.most - asked {
            all(scope.sizes, level)
        } else {
            longer(scope.sizes, &last)
        };
        let mut found = Vec::new();
        let mut least = best.as_ref().map(|(_, worth)| *worth);
        for sets in sets[..sets.len().min(scope.most - asked)].chunks(AT_ONCE) {
            asked += sets.len();
            let made: Vec<R> = sets.par_iter().map(|moves| ready(moves, least)).collect();
            for (moves, made) in sets.iter().zip(made) {
                let Some(worth) = worth(moves, least, made) else { continue };
                least = Some(least.map_or(worth, |least| least.min(worth)));
                found.push((worth, moves.clone()));
            }
        }
        found.sort_by_key(|(worth, _)| *worth);
        if let Some((worth, moves)) = found.first()
            && best.as_ref().is_none_or(|(_, known)| worth < known)
        {
            best = Some((moves.clone(), *worth));
        }
        let served = best.as_ref().is_some_and(|(_, worth)| good(worth));
        if served || asked == scope.most || !hope() {
            break;
        }
        last = found.into_iter().take(GONE_ON_FROM).map(|(_, moves)| moves).collect();
    }
    best
}

/// How many sets of `level` moves there are: the sum of all products of so many of `sizes`.
fn count(sizes: &[usize], level: usize) -> usize {
    let mut sums = vec![0_usize; level + 1];
    sums[0] = 1;
    for size in sizes {
        for k in (1..=level).rev() {
            sums[k] = sums[k].saturating_add(sums[k - 1].saturating_mul(*size));
        }
    }
    sums[level]
}

/// Every set of `level` moves, the first knob's least change first.
fn all(sizes: &[usize], level: usize) -> Vec<Vec<Move>> {
    (0..level).fold(vec![Vec::new()], |sets, _| {
        let further = |moves: &Vec<Move>| {
            let from = moves.last().map_or(0, |(knob, _)| knob + 1);
            with_one_more(sizes, moves, from)
        };
        sets.iter().flat_map(further).collect()
    })
}

/// The sets of one move more that hold one of `sets`.
fn longer(sizes: &[usize], sets: &[Vec<Move>]) -> Vec<Vec<Move>> {
    let mut seen = BTreeSet::new();
    let more = sets.iter().flat_map(|moves| with_one_more(sizes, moves, 0));
    more.filter(|moves| seen.insert(moves.clone())).collect()
}

/// `moves` with one of the changes of a knob that is not among them, from the knob `from` on.
fn with_one_more(sizes: &[usize], moves: &[Move], from: usize) -> Vec<Vec<Move>> {
    let free = (from..sizes.len()).filter(|knob| moves.iter().all(|(moved, _)| moved != knob));
    let each = free.flat_map(|knob| (0..sizes[knob]).map(move |change| (knob, change)));
    let with = |one| {
        let mut set: Vec<Move> = moves.iter().copied().chain([one]).collect();
        set.sort_unstable();
        set
    };
    each.map(with).collect()
}

#[cfg(test)]
mod tests {
    use super::{Scope, all, best, count};

    #[test]
    fn all_sets_of_a_size_are_asked_after_once() {
        let sizes = [3, 1, 4];
        for level in 1..=3 {
            let sets = all(&sizes, level);
            assert_eq!(sets.len(), count(&sizes, level));
            assert!(sets.windows(2).all(|pair| pair[0] < pair[1]), "{sets:?}");
            assert!(sets.iter().flatten().all(|(knob, change)| *change < sizes[*knob]));
        }
        assert_eq!([1, 2, 3].map(|level| count(&sizes, level)), [8, 19, 12]);
    }

    #[test]
    fn it_ends_with_the_fewest_that_serve_and_the_least_of_those() {
        let scope = Scope { sizes: &[2, 2, 2], most: 100, at_once: 3 };
        // Only knobs 0 and 2 together serve; the second change of 2 is the lighter one.
        let worth = |moves: &[(usize, usize)]| {
            let serves = moves.iter().any(|m| m.0 == 0) && moves.iter().any(|m| m.0 == 2);
            let heavy = moves.iter().filter(|m| **m == (2, 0)).count();
            Some((usize::from(!serves), moves.len(), heavy))
        };
        let asked = |moves: &[(usize, usize)], _, ()| worth(moves);
        let found = best(&scope, |worth| worth.0 == 0, (|_: &[_], _| (), asked), || true);
        assert_eq!(found, Some((vec![(0, 0), (2, 1)], (0, 2, 0))));
    }

    #[test]
    fn it_asks_no_more_often_than_it_may_and_still_finds_what_is_near() {
        let mut asked = 0;
        let scope = Scope { sizes: &[4; 9], most: 900, at_once: 9 };
        // The third change of each of four knobs serves, and each brings it nearer.
        let found = best(
            &scope,
            |lacking| *lacking == 0,
            (
                |_: &[_], _| (),
                |moves: &[(usize, usize)], _, ()| {
                    asked += 1;
                    let near = moves.iter().filter(|(knob, change)| *knob < 4 && *change == 2);
                    Some(4 - near.count())
                },
            ),
            || true,
        );
        assert_eq!(found.map(|(moves, _)| moves), Some((0..4).map(|knob| (knob, 2)).collect()));
        assert!(asked <= 900, "{asked}");
    }
}
