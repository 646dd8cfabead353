//! From what is asked of the walls and what is to hang there to the plan.

use rayon::prelude::*;

use super::asked::RowsAsked;
use super::board::WallState;
use super::fix;
use super::hanger::Hanger;
use super::plan::{Aims, HungPlace, PlannedWall, StudLoad, WallPlan};
use super::planner::{KeptSpots, Planner, WallJob};
use super::rows::{RowHeights, ways};
use super::say;
use super::spots::{AskedBefore, Spot};

/// Places that are looked at for the plan: for each holder, and at most; and for each way to have rows.
const LOOKS_EACH: u64 = 200_000;
const MOST_LOOKS: u64 = 4_000_000;
const ROW_LOOKS: u64 = 30_000;

/// How much coarser the grid is while rows are chosen.
const COARSE: f64 = 4.0;

/// After so many more rows that made nothing better no more are tried.
const NO_BETTER: usize = 1;

/// Every holder at its place.
pub(crate) fn plan_walls(job: WallJob<'_>) -> WallPlan {
    let known = AskedBefore::default();
    let rows = chosen_rows(job, &known);
    let planned = Planner::new(job, &rows, 1.0, &known);
    let looks = (job.hangers.len() as u64 * LOOKS_EACH).min(MOST_LOOKS);
    planned.with(looks, |board, kept| {
        let mut plan = plan(&planned, board, kept);
        let fix = fix::left_over(job, &rows, &known, &plan.left_over);
        plan.findings = say::findings(&planned, board, kept, fix.as_ref());
        plan
    })
}

/// The fewest rows on which all hang without a finding, of those the ones that serve best; where no rows serve, the ones
/// that come nearest.
fn chosen_rows(job: WallJob<'_>, known: &AskedBefore) -> RowHeights {
    let hung = kept_rows(job);
    let all = ways(job.asked, job.shop.units);
    if let ([only], None) = (&all[..], &hung)
        && let [only] = &only[..]
    {
        return only.clone();
    }
    if let Some(rows) = hung {
        return rows;
    }
    let mut best: Option<(Aims, RowHeights)> = None;
    let mut no_better = 0;
    for ways in all {
        let Some((aims, way)) = best_of(job, ways, known) else { continue };
        let nearer = |best: &(Aims, RowHeights)| {
            (aims.left_over, aims.findings) < (best.0.left_over, best.0.findings)
        };
        no_better = if best.as_ref().is_none_or(nearer) { 0 } else { no_better + 1 };
        if no_better == 0 {
            best = Some((aims, way));
        }
        let all_hang = best.as_ref().is_some_and(|(aims, _)| aims.left_over == 0);
        if all_hang && (aims.findings == 0 || no_better > NO_BETTER) {
            break;
        }
    }
    best.map_or_else(|| vec![Vec::new(); job.asked.walls.len()], |(_, rows)| rows)
}

/// The best of some ways with as many rows; `None` where none of them has wall cleats long enough for all.
fn best_of(
    job: WallJob<'_>,
    ways: Vec<RowHeights>,
    known: &AskedBefore,
) -> Option<(Aims, RowHeights)> {
    let needed: f64 = job.hangers.iter().map(Hanger::cleat_needed).sum();
    let tried = ways.into_par_iter().filter_map(|way| {
        let planner = Planner::new(job, &way, COARSE, known);
        (planner.cleat_length() >= needed).then(|| (planner.aims(ROW_LOOKS), way))
    });
    let tried: Vec<(Aims, RowHeights)> = tried.collect();
    tried.into_iter().reduce(|a, b| if b.0.order(&a.0).is_lt() { b } else { a })
}

/// The rows that something hangs on already; as they are asked for on walls where nothing hangs.
fn kept_rows(job: WallJob<'_>) -> Option<RowHeights> {
    let of =
        |name: &str| job.kept.iter().find(|kept| kept.wall == name).map(|kept| kept.rows.clone());
    let rows: Vec<Option<Vec<f64>>> = job.asked.walls.iter().map(|wall| of(&wall.name)).collect();
    if rows.iter().all(Option::is_none) {
        return None;
    }
    let asked = |wall: usize| match &job.asked.walls[wall].rows {
        RowsAsked::Heights(heights) => Some(heights.clone()),
        _ => None,
    };
    let kept = rows.into_iter().enumerate();
    Some(kept.map(|(wall, rows)| asked(wall).or(rows).unwrap_or_default()).collect())
}

fn plan(planner: &Planner<'_>, board: &WallState<'_>, kept: &KeptSpots) -> WallPlan {
    let hangers = planner.job.hangers;
    let left_over = hangers.iter().zip(&board.at).filter(|(_, spot)| spot.is_none());
    WallPlan {
        walls: (0..planner.sites.len())
            .map(|wall| planned_wall(planner, board, kept, wall))
            .collect(),
        aims: board.aims(),
        left_over: left_over.map(|(hanger, _)| hanger.name.clone()).collect(),
        findings: Vec::new(),
    }
}

fn planned_wall(
    planner: &Planner<'_>,
    board: &WallState<'_>,
    kept: &KeptSpots,
    wall: usize,
) -> PlannedWall {
    let site = &planner.sites[wall];
    let hung = planner.job.hangers.iter().zip(&board.at).enumerate();
    let place = |(at, (hanger, spot)): (usize, (&Hanger, &Option<Spot>))| {
        let spot = spot.filter(|spot| spot.wall == wall)?;
        Some(HungPlace {
            holder: hanger.name.clone(),
            row: spot.row,
            origin: spot.origin,
            wood: hanger.wood + spot.origin.to_vec2(),
            taken: spot.taken,
            lift: spot.lift,
            kept: kept.spots.iter().any(|kept| kept.holder == at),
        })
    };
    let mut places: Vec<HungPlace> = hung.filter_map(place).collect();
    let order = |place: &HungPlace| place.row.unwrap_or(usize::MAX);
    places.sort_by(|a, b| order(a).cmp(&order(b)).then(a.wood.x0.total_cmp(&b.wood.x0)));
    let load = |at: &f64| {
        let (load, share) = board.on_stud(wall, *at);
        StudLoad { at: *at, load, share }
    };
    PlannedWall {
        rows: site.planned_rows(planner.terms.rules),
        places,
        free: board.free_on(wall),
        studs: site.space.studs.iter().map(load).collect(),
        space: site.space.clone(),
    }
}
