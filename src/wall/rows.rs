//! At which heights rows could run, the fewest first.

use super::asked::{PinnedRow, RowsAsked, WallSpace, WallsAsked};
use super::site::Margins;
use crate::length::Units;
use crate::tolerance::COORDINATE;

/// From row to row, in inches and in mm: 8 to 12 in serve tall and short holders alike; more where that is enough.
/// Common practice, no source.
const SPACINGS: [[f64; 2]; 5] =
    [[12.0, 300.0], [10.0, 250.0], [8.0, 200.0], [16.0, 400.0], [20.0, 500.0]];

/// The lowest row that is proposed lies so high, and up to so many steps higher.
const LOWEST: [f64; 2] = [24.0, 600.0];
const STEP: [f64; 2] = [6.0, 150.0];
const STEPS: usize = 6;

/// Rows are proposed up to so much above what the person reaches: what hangs is taken below.
const ABOVE_REACH: [f64; 2] = [8.0, 200.0];

/// One way to have rows: their heights on each wall.
pub(crate) type RowHeights = Vec<Vec<f64>>;

/// The ways to have rows that leave `asked` its say, those with the fewest rows first; one of each number of rows in a
/// list of its own.
pub(super) fn ways(asked: &WallsAsked, units: Units) -> Vec<Vec<RowHeights>> {
    let spaced = |[inches, mm]: [f64; 2]| units.either(inches, mm);
    let open = asked.walls.iter().any(|wall| wall.rows == RowsAsked::Open);
    let spacings: Vec<f64> = SPACINGS.map(spaced).to_vec();
    let lowest: Vec<f64> = (0..=STEPS).map(|n| spaced(LOWEST) + n as f64 * spaced(STEP)).collect();
    let top = |wall: &WallSpace| {
        let room = Margins::of(units);
        (wall.height - room.above).min(asked.person.reach + spaced(ABOVE_REACH))
    };
    let most = most_rows(asked, &spacings, &lowest, &top);
    let of = |count: usize| {
        let pairs = spacings.iter().flat_map(|apart| lowest.iter().map(move |low| [*low, *apart]));
        let pairs: Vec<[f64; 2]> = if open { pairs.collect() } else { vec![[0.0; 2]] };
        let ways = pairs.into_iter().map(|pair| of_walls(asked, pair, count, &top));
        let mut ways: Vec<RowHeights> = ways.filter(|way| is_pinned(asked, way)).collect();
        ways.dedup();
        ways
    };
    let mut all: Vec<Vec<RowHeights>> = (1..=most).map(of).collect();
    // More rows that are cut off by the walls are the same rows.
    all.dedup();
    all.retain(|ways| !ways.is_empty());
    all
}

fn most_rows(
    asked: &WallsAsked,
    spacings: &[f64],
    lowest: &[f64],
    top: &impl Fn(&WallSpace) -> f64,
) -> usize {
    let least = |figures: &[f64]| figures.iter().copied().fold(f64::INFINITY, f64::min);
    let of = |wall: &WallSpace| match &wall.rows {
        RowsAsked::Heights(_) => 1,
        RowsAsked::Spaced { lowest, spacing } => 1 + fits(top(wall) - lowest, *spacing),
        RowsAsked::Open => 1 + fits(top(wall) - least(lowest), least(spacings)),
    };
    asked.walls.iter().map(of).max().unwrap_or(1)
}

fn fits(length: f64, step: f64) -> usize {
    ((length + COORDINATE) / step.max(1.0)).floor().max(0.0) as usize
}

fn of_walls(
    asked: &WallsAsked,
    [low, apart]: [f64; 2],
    count: usize,
    top: &impl Fn(&WallSpace) -> f64,
) -> RowHeights {
    let of = |wall: &WallSpace| match &wall.rows {
        RowsAsked::Heights(heights) => heights.clone(),
        RowsAsked::Spaced { lowest, spacing } => up([*lowest, *spacing], count, wall.height),
        RowsAsked::Open => up([low, apart], count, top(wall)),
    };
    asked.walls.iter().map(of).collect()
}

fn up([lowest, spacing]: [f64; 2], count: usize, top: f64) -> Vec<f64> {
    let heights = (0..count).map(|n| lowest + n as f64 * spacing);
    heights.filter(|height| *height <= top + COORDINATE).collect()
}

/// Whether every row that something is pinned to by its height is there.
fn is_pinned(asked: &WallsAsked, way: &RowHeights) -> bool {
    asked.pins.iter().all(|pin| match pin.row {
        Some(PinnedRow::Height(height)) => {
            let mut rows = way.iter().flatten();
            asked.walls.iter().any(|wall| wall.rows != RowsAsked::Open)
                || rows.any(|row| (row - height).abs() < COORDINATE)
        }
        _ => true,
    })
}

/// The same rows with one more on a wall, above or below.
pub(super) fn one_more(
    way: &RowHeights,
    asked: &WallsAsked,
    units: Units,
) -> Vec<(usize, f64, RowHeights)> {
    let mut more = Vec::new();
    for (wall, rows) in way.iter().enumerate() {
        let apart = rows.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min);
        let [inches, mm] = SPACINGS[0];
        let apart = if apart.is_finite() { apart } else { units.either(inches, mm) };
        let ends = [rows.last().map(|top| top + apart), rows.first().map(|low| low - apart)];
        let top = asked.walls[wall].height.min(asked.person.reach + apart);
        for height in ends.into_iter().flatten().filter(|height| (apart..=top).contains(height)) {
            let mut other = way.clone();
            other[wall].push(height);
            other[wall].sort_by(f64::total_cmp);
            more.push((wall, height, other));
        }
    }
    more
}
