//! Small walls against every way to hang everything, each tried by code of its own.

use kurbo::Rect;

use super::{INCH, hangers, obstacle, wall, with_planner};
use crate::wall::{Aims, Spot, Together, WallHanger, WallsAsked};

/// From README: between two holders, the least stretch worth keeping, what it wants below and above the top edge.
const BESIDE: f64 = 0.75 * INCH;
const USABLE: f64 = 8.0 * INCH;
const BELOW: f64 = 6.0 * INCH;
const ABOVE: f64 = 4.0 * INCH;

/// What is kept free of holders, from the floor up to the lift above each.
fn overlap(a: &Spot, b: &Spot) -> bool {
    let apart =
        a.taken.x1 + BESIDE <= b.taken.x0 + 1e-3 || b.taken.x1 + BESIDE <= a.taken.x0 + 1e-3;
    let over = a.taken.y0 + 1e-3 >= b.taken.y1 + b.lift || b.taken.y0 + 1e-3 >= a.taken.y1 + a.lift;
    !apart && !over
}

/// The length of a row that is free: cut at every edge, each piece asked for itself, neighbors joined.
fn free(run: [f64; 2], row: f64, hung: &[Spot], obstacles: &[Rect]) -> f64 {
    let meets = |low: f64, high: f64| low < row + ABOVE && row - BELOW < high;
    let hung = hung.iter().filter(|spot| meets(spot.taken.y0, spot.taken.y1 + spot.lift));
    let fast = obstacles.iter().filter(|area| meets(area.y0, area.y1));
    let taken: Vec<[f64; 2]> = (hung.map(|spot| spot.taken))
        .chain(fast.copied())
        .map(|area| [area.x0 - BESIDE, area.x1 + BESIDE])
        .collect();
    let mut edges: Vec<f64> = taken.iter().flatten().copied().chain(run).collect();
    edges.retain(|edge| (run[0]..=run[1]).contains(edge));
    edges.sort_by(f64::total_cmp);
    let (mut sum, mut stretch) = (0.0, 0.0);
    for pair in edges.windows(2) {
        let middle = (pair[0] + pair[1]) / 2.0;
        if taken.iter().any(|[from, to]| (from..=to).contains(&&middle)) {
            sum += if stretch >= USABLE - 1e-6 { stretch } else { 0.0 };
            stretch = 0.0;
        } else {
            stretch += pair[1] - pair[0];
        }
    }
    sum + if stretch >= USABLE - 1e-6 { stretch } else { 0.0 }
}

fn half_round(boxes: impl Iterator<Item = Rect>) -> f64 {
    boxes.reduce(|a, b| a.union(b)).map_or(0.0, |all| all.width() + all.height())
}

/// The aims of the best of all ways, first things first.
fn best(
    asked: &WallsAsked,
    hangers: &[WallHanger],
    spots: &[Vec<Spot>],
    runs: &[(f64, Vec<[f64; 2]>)],
) -> Aims {
    let obstacles: Vec<Rect> = asked.walls[0].obstacles.iter().map(|o| o.area).collect();
    let group: Vec<usize> = asked
        .groups
        .iter()
        .flat_map(|group| &group.holders)
        .filter_map(|name| hangers.iter().position(|hanger| hanger.name == *name))
        .collect();
    let mut best: Option<Aims> = None;
    let mut go = |chosen: &[Option<Spot>]| {
        let hung: Vec<Spot> = chosen.iter().flatten().copied().collect();
        let aims = Aims {
            left_over: chosen.len() - hung.len(),
            findings: hung.iter().map(|spot| spot.findings).sum(),
            out_of_reach: hung.iter().map(|spot| spot.out_of_reach).sum(),
            apart: half_round(group.iter().filter_map(|at| Some(chosen[*at]?.taken))),
            free: 0.0,
        };
        // The free length is the dearest to work out.
        let hopeless = |best: &Aims| Aims { free: f64::MAX, ..aims }.order(best).is_ge();
        if best.as_ref().is_some_and(hopeless) {
            return;
        }
        let row = |(row, runs): &(f64, Vec<[f64; 2]>)| -> f64 {
            runs.iter().map(|run| free(*run, *row, &hung, &obstacles)).sum()
        };
        let aims = Aims { free: runs.iter().map(row).sum(), ..aims };
        if best.as_ref().is_none_or(|best| aims.order(best).is_lt()) {
            best = Some(aims);
        }
    };
    every_way(spots, &mut Vec::new(), &mut go);
    best.unwrap()
}

/// Calls `go` with every choice of one spot each, or none, that leaves nobody in another's way.
fn every_way(
    spots: &[Vec<Spot>],
    chosen: &mut Vec<Option<Spot>>,
    go: &mut impl FnMut(&[Option<Spot>]),
) {
    let Some(own) = spots.get(chosen.len()) else { return go(chosen) };
    for spot in own.iter().copied().map(Some).chain([None]) {
        let clashes = |spot: &Spot| chosen.iter().flatten().any(|other| overlap(spot, other));
        if spot.as_ref().is_none_or(|spot| !clashes(spot)) {
            chosen.push(spot);
            every_way(spots, chosen, go);
            chosen.pop();
        }
    }
}

/// A wall, three light holders, and perhaps two of them together.
fn case(number: usize) -> (WallsAsked, Vec<WallHanger>) {
    let width = [44.0, 52.0, 60.0, 68.0][number % 4];
    let mut asked = wall(width, 96.0, [&[40.0, 58.0][..], &[48.0]][number / 4 % 2]);
    if number.is_multiple_of(3) {
        asked.walls[0].obstacles.push(obstacle("outlet", [20.0, 42.0, 5.0, 5.0]));
    }
    let light: Vec<&WallHanger> =
        hangers().iter().filter(|hanger| hanger.taken.width() < 16.0 * INCH).collect();
    let picked: Vec<WallHanger> = (0..3)
        .map(|n| light[(number * 5 + n * 7) % light.len()].clone())
        .enumerate()
        .map(|(n, hanger)| WallHanger { name: format!("{}-{n}", hanger.name), ..hanger })
        .collect();
    if number % 2 == 1 {
        let holders = picked[..2].iter().map(|hanger| hanger.name.clone()).collect();
        asked.groups.push(Together { name: "glue-up".to_owned(), holders });
    }
    (asked, picked)
}

#[test]
fn no_way_to_hang_is_better() {
    for number in 0..12 {
        let (asked, picked) = case(number);
        with_planner(&asked, &picked, 12.0, |planner| {
            let (aims, least) = planner.with(1_000_000, |board, _| {
                let spots: Vec<Vec<Spot>> =
                    (0..picked.len()).map(|at| board.spots_of(at).to_vec()).collect();
                let runs: Vec<(f64, Vec<[f64; 2]>)> = planner.sites[0]
                    .rows
                    .iter()
                    .map(|row| {
                        (row.height, row.runs.iter().map(|run| [run.from, run.to]).collect())
                    })
                    .collect();
                (board.aims(), best(&asked, &picked, &spots, &runs))
            });
            assert!(aims.order(&least).is_eq(), "wall {number}: {aims:?}, and {least:?} is there");
        });
    }
}
