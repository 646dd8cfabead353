//! A good place for every holder: the best one by one, then some taken off and put down anew, as long as that is no worse.

use super::board::{ALIKE, PlaceChange, Task, WallState};
use super::spots::Spot;
use crate::random::Rng;

/// Of 1024 places, so many are passed over when one is looked for anew: so other ways are found.
const PASSED: usize = 20;

/// So many in 1024 are put at any place that is as good for them alone, so that others find better ones beside them.
const ANYWHERE: usize = 200;

/// At most so many are taken off at once.
const MOST_OFF: usize = 5;

/// All holders put down, the first as their places are kept, then improved until `looks` places were looked at: as many
/// looks, the same places.
pub(crate) fn best_board<'t>(
    task: &'t Task<'t>,
    kept: &[(usize, Spot)],
    looks: u64,
) -> WallState<'t> {
    let mut board = WallState::empty(task);
    for (holder, spot) in kept {
        board.put(*holder, *spot);
    }
    let mut free: Vec<usize> =
        (0..task.hangers.len()).filter(|at| board.at[*at].is_none()).collect();
    free.sort_by(|a, b| hardness(task, *b).total_cmp(&hardness(task, *a)).then(a.cmp(b)));
    let mut search = Search { rng: None, looks: 0 };
    free.iter().for_each(|holder| search.put(&mut board, *holder));
    search.rng = Some(Rng::new(1));
    if free.is_empty() { board } else { search.improved(board, &free, looks) }
}

/// The larger and the fewer places, the sooner a holder is put down.
fn hardness(task: &Task<'_>, holder: usize) -> f64 {
    let best = task.spots[holder].first().map_or(0, |spot| spot.findings);
    let good = task.spots[holder].iter().filter(|spot| spot.findings == best).count();
    task.hangers[holder].taken.area() / good.max(1) as f64
}

struct Search {
    /// `None` at first: then nothing is left to luck.
    rng: Option<Rng>,
    /// Places that were looked at.
    looks: u64,
}

impl Search {
    fn improved<'t>(&mut self, board: WallState<'t>, free: &[usize], looks: u64) -> WallState<'t> {
        let (mut best, mut best_aims) = (board.clone(), board.aims());
        let (mut now, mut aims) = (board, best_aims);
        while self.looks < looks {
            let tried = self.changed(&now, free);
            let after = tried.aims();
            if after.order(&aims).is_le() {
                (now, aims) = (tried, after);
            }
            if aims.order(&best_aims).is_lt() {
                (best, best_aims) = (now.clone(), aims);
            }
        }
        best
    }

    /// The same with some taken off and put down anew, in another order.
    fn changed<'t>(&mut self, now: &WallState<'t>, free: &[usize]) -> WallState<'t> {
        // No loop without an end where nobody has a place.
        self.looks += 1;
        let mut tried = now.clone();
        let Some(rng) = &mut self.rng else { return tried };
        let mut off = picked(now, free, rng);
        tried.take(&off);
        off.extend(free.iter().filter(|at| now.at[**at].is_none()));
        off.sort_unstable();
        off.dedup();
        rng.shuffle(&mut off);
        off.into_iter().for_each(|holder| self.put(&mut tried, holder));
        tried
    }

    /// Puts a holder at the place that changes least for the worse; leaves it off where there is none.
    fn put(&mut self, board: &mut WallState<'_>, holder: usize) {
        let anywhere = self.chance(ANYWHERE);
        let any = if anywhere { self.any_spot(board, holder) } else { None };
        if let Some(spot) = any.or_else(|| self.best_spot(board, holder)) {
            board.put(holder, spot);
        }
    }

    fn chance(&mut self, often: usize) -> bool {
        self.rng.as_mut().is_some_and(|rng| rng.chance(often))
    }

    /// One of the free spots that are as good as the best one for the holder by itself.
    fn any_spot(&mut self, board: &WallState<'_>, holder: usize) -> Option<Spot> {
        let spots = board.spots_of(holder);
        let first = spots.iter().position(|spot| board.is_free(spot))?;
        let best = &spots[first];
        let end = spots.partition_point(|spot| {
            (spot.findings, spot.out_of_reach - ALIKE) <= (best.findings, best.out_of_reach)
        });
        self.looks += first as u64 + 1;
        // A few tries find a free one.
        let tries = 0..MOST_OFF;
        let rng = self.rng.as_mut()?;
        let mut tried = tries.map(|_| spots[first + rng.below(end - first)]);
        tried.find(|spot| board.is_free(spot))
    }

    /// Spots come with the fewest findings and the best heights first: once one is free, only those as good are asked.
    fn best_spot(&mut self, board: &WallState<'_>, holder: usize) -> Option<Spot> {
        let mut best: Option<(PlaceChange, Spot)> = None;
        for spot in board.spots_of(holder) {
            if best.as_ref().is_some_and(|(change, _)| change.is_out_of_reach_of(spot)) {
                break;
            }
            self.looks += 1;
            if self.chance(PASSED) || !board.is_free(spot) {
                continue;
            }
            let change = board.change(holder, spot);
            if best.as_ref().is_none_or(|(least, _)| change.is_better(least)) {
                best = Some((change, *spot));
            }
        }
        best.map(|(_, spot)| spot)
    }
}

/// Some holders near each other, or anywhere.
fn picked(board: &WallState<'_>, free: &[usize], rng: &mut Rng) -> Vec<usize> {
    let first = free[rng.below(free.len())];
    let count = 1 + rng.below(MOST_OFF.min(free.len()));
    let Some(spot) = board.at[first] else { return vec![first] };
    let far = |other: usize| {
        let at = board.at[other].filter(|at| at.wall == spot.wall);
        at.map_or(f64::INFINITY, |at| (at.taken.center() - spot.taken.center()).hypot())
    };
    let mut near: Vec<usize> = free.to_vec();
    if rng.chance(512) {
        near.sort_by(|a, b| far(*a).total_cmp(&far(*b)).then(a.cmp(b)));
    } else {
        rng.shuffle(&mut near);
        near.retain(|at| *at != first);
        near.insert(0, first);
    }
    near.truncate(count);
    near
}
