//! A good place for every holder: the best one by one, then some taken off and put down anew, as long as that is no worse.

use super::board::{ALIKE, PlaceChange, Task, WallBoard};
use super::spots::Spot;
use crate::random::Rng;

/// Of 1024 places, so many are passed over when one is looked for anew: so other ways are found.
const PASSED: usize = 20;

/// So many in 1024 are put at any place that is as good for them alone, so that others find better ones beside them.
const ANYWHERE: usize = 200;

/// At most so many are taken off at once.
const MOST_OFF: usize = 5;

/// All holders put down, the first as their places are kept, then improved for so many `steps`: the same steps, the same
/// places.
pub(crate) fn best_board<'t>(
    task: &'t Task<'t>,
    kept: &[(usize, Spot)],
    steps: u64,
) -> WallBoard<'t> {
    let mut board = WallBoard::empty(task);
    for (holder, spot) in kept {
        board.put(*holder, *spot);
    }
    let mut free: Vec<usize> =
        (0..task.hangers.len()).filter(|at| board.at[*at].is_none()).collect();
    free.sort_by(|a, b| hardness(task, *b).total_cmp(&hardness(task, *a)).then(a.cmp(b)));
    for holder in &free {
        put_best(&mut board, *holder, &mut None);
    }
    improved(board, &free, steps)
}

/// The larger and the fewer places, the sooner a holder is put down.
fn hardness(task: &Task<'_>, holder: usize) -> f64 {
    let best = task.spots[holder].first().map_or(0, |spot| spot.findings);
    let good = task.spots[holder].iter().filter(|spot| spot.findings == best).count();
    task.hangers[holder].taken.area() / good.max(1) as f64
}

fn improved<'t>(board: WallBoard<'t>, free: &[usize], steps: u64) -> WallBoard<'t> {
    let mut rng = Rng::new(1);
    let (mut now, mut aims) = (board, None);
    let mut best = now.clone();
    for _ in 0..steps {
        if free.is_empty() {
            break;
        }
        let mut tried = now.clone();
        let mut off = picked(&tried, free, &mut rng);
        tried.take(&off);
        off.extend(free.iter().filter(|at| now.at[**at].is_none()));
        off.sort_unstable();
        off.dedup();
        rng.shuffle(&mut off);
        for holder in off {
            put_best(&mut tried, holder, &mut Some(&mut rng));
        }
        let (before, after) = (*aims.get_or_insert_with(|| now.aims()), tried.aims());
        if after.order(&before).is_le() {
            (now, aims) = (tried, Some(after));
            if after.order(&best.aims()).is_lt() {
                best = now.clone();
            }
        }
    }
    best
}

/// Some holders near one another.
fn picked(board: &WallBoard<'_>, free: &[usize], rng: &mut Rng) -> Vec<usize> {
    let first = free[rng.below(free.len())];
    let count = 1 + rng.below(MOST_OFF.min(free.len()));
    let Some(spot) = board.at[first] else { return vec![first] };
    let far = |other: usize| {
        let way = board.at[other]
            .map(|at| (at.wall == spot.wall, at.taken.center() - spot.taken.center()));
        way.filter(|(same, _)| *same).map_or(f64::INFINITY, |(_, way)| way.hypot())
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

/// Puts a holder at the place that changes least for the worse; leaves it off where there is none.
fn put_best(board: &mut WallBoard<'_>, holder: usize, rng: &mut Option<&mut Rng>) {
    let anywhere = rng.as_mut().is_some_and(|rng| rng.chance(ANYWHERE));
    let lucky = rng.as_mut().filter(|_| anywhere);
    let any = lucky.and_then(|rng| any_spot(board, holder, rng));
    if let Some(spot) = any.or_else(|| best_spot(board, holder, rng)) {
        board.put(holder, spot);
    }
}

/// One of the free spots that are as good as the best one for the holder by itself.
fn any_spot(board: &WallBoard<'_>, holder: usize, rng: &mut Rng) -> Option<Spot> {
    let mut free = board.spots_of(holder).iter().filter(|spot| board.is_free(spot));
    let best = free.next()?;
    let as_good = |spot: &&Spot| {
        spot.findings == best.findings && spot.out_of_reach <= best.out_of_reach + ALIKE
    };
    let all: Vec<&Spot> = std::iter::once(best).chain(free.take_while(as_good)).collect();
    Some(*all[rng.below(all.len())])
}

/// Spots come with the fewest findings and the best heights first: once one is free, only those as good are asked.
fn best_spot(board: &WallBoard<'_>, holder: usize, rng: &mut Option<&mut Rng>) -> Option<Spot> {
    let mut best: Option<(PlaceChange, Spot)> = None;
    for spot in board.spots_of(holder) {
        if let Some((change, _)) = &best {
            let own = (spot.findings, spot.out_of_reach);
            if own.0 > change.findings
                || own.0 == change.findings && own.1 > change.out_of_reach + ALIKE
            {
                break;
            }
        }
        let passed = rng.as_mut().is_some_and(|rng| rng.chance(PASSED));
        if passed || !board.is_free(spot) {
            continue;
        }
        let change = board.change(holder, spot);
        if best.as_ref().is_none_or(|(least, _)| change.is_better(least)) {
            best = Some((change, *spot));
        }
    }
    best.map(|(_, spot)| spot)
}
