//! What would make room for those that no place is left for: only what was tried is told.

use super::asked::WallsAsked;
use super::hanger::Hanger;
use super::planner::{Planner, WallJob};
use super::rows::{RowHeights, one_more};
use super::spots::AskedBefore;
use crate::length::{Quantity, Units, listed};
use crate::reading::quoted;

/// Places that are looked at for each change that is tried.
const LOOKS: u64 = 300_000;

/// How much wider a wall is tried, in feet and in steps of 300 mm.
const WIDER: [f64; 4] = [1.0, 2.0, 4.0, 8.0];

/// A change with which all hang.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Mended {
    /// One more row on a wall at this height, and all of its rows then.
    OneMoreRow { wall: usize, height: f64, rows: Vec<f64> },
    /// These holders without room for more tools.
    Narrower(Vec<String>),
    /// Two holders put the other way round: the pins of both let go.
    Unpinned(Vec<String>),
    /// A wall wider by so much.
    Wider { wall: usize, by: f64 },
}

/// The first change that was tried and serves; `None` where all hang, and where none serves.
pub(super) fn left_over(
    job: WallJob<'_>,
    rows: &RowHeights,
    known: &AskedBefore,
    left_over: &[String],
) -> Option<Mended> {
    if left_over.is_empty() {
        return None;
    }
    one_row(job, rows, known)
        .or_else(|| narrower(job, rows, known, left_over))
        .or_else(|| unpinned(job, rows, known))
        .or_else(|| wider(job, rows, known))
}

fn all_hang(job: WallJob<'_>, rows: &RowHeights, known: &AskedBefore) -> bool {
    Planner::new(job, rows, 1.0, known).aims(LOOKS).left_over == 0
}

fn one_row(job: WallJob<'_>, rows: &RowHeights, known: &AskedBefore) -> Option<Mended> {
    let more = one_more(rows, job.asked, job.shop.units);
    let serves = more.into_iter().find(|(_, _, rows)| all_hang(job, rows, known));
    serves.map(|(wall, height, mut rows)| {
        let rows = rows.swap_remove(wall);
        Mended::OneMoreRow { wall, height, rows }
    })
}

/// Those left over without spare places, then all.
fn narrower(
    job: WallJob<'_>,
    rows: &RowHeights,
    known: &AskedBefore,
    left_over: &[String],
) -> Option<Mended> {
    let all: Vec<String> = job.hangers.iter().map(|hanger| hanger.name.clone()).collect();
    [left_over.to_vec(), all].into_iter().find_map(|names| {
        let mut changed = Vec::new();
        let narrow = |hanger: &Hanger| {
            let narrow =
                names.contains(&hanger.name).then(|| (job.narrower)(&hanger.name)).flatten();
            narrow.filter(|narrow| narrow.taken.width() < hanger.taken.width())
        };
        let mut hangers = job.hangers.to_vec();
        for hanger in &mut hangers {
            if let Some(narrow) = narrow(hanger) {
                changed.push(hanger.name.clone());
                *hanger = narrow;
            }
        }
        let known = if changed.is_empty() { known } else { &AskedBefore::default() };
        let serves =
            !changed.is_empty() && all_hang(WallJob { hangers: &hangers, ..job }, rows, known);
        serves.then_some(Mended::Narrower(changed))
    })
}

/// With one pin let go, or two at once.
fn unpinned(job: WallJob<'_>, rows: &RowHeights, known: &AskedBefore) -> Option<Mended> {
    let pins = &job.asked.pins;
    let ones = (0..pins.len()).map(|one| vec![one]);
    let pairs =
        (0..pins.len()).flat_map(|one| (one + 1..pins.len()).map(move |two| vec![one, two]));
    ones.chain(pairs).find_map(|gone| {
        let kept = pins.iter().enumerate().filter(|(at, _)| !gone.contains(at));
        let kept = kept.map(|(_, pin)| pin.clone()).collect();
        let asked = WallsAsked { pins: kept, ..job.asked.clone() };
        let serves = all_hang(WallJob { asked: &asked, ..job }, rows, known);
        serves.then(|| Mended::Unpinned(gone.iter().map(|at| pins[*at].holder.clone()).collect()))
    })
}

fn wider(job: WallJob<'_>, rows: &RowHeights, known: &AskedBefore) -> Option<Mended> {
    let step = job.shop.units.either(12.0, 300.0);
    let last = job.asked.walls.len().saturating_sub(1);
    WIDER.into_iter().map(|steps| steps * step).find_map(|by| {
        let mut asked = job.asked.clone();
        let wall = &mut asked.walls[last];
        wall.width += by;
        let apart = job.shop.wall.stud_spacing;
        while let Some(next) =
            wall.studs.last().map(|stud| stud + apart).filter(|next| *next < wall.width)
        {
            wall.studs.push(next);
        }
        let serves = all_hang(WallJob { asked: &asked, ..job }, rows, known);
        serves.then_some(Mended::Wider { wall: last, by })
    })
}

impl Mended {
    /// As advice.
    pub(super) fn words(&self, asked: &WallsAsked, units: Units) -> String {
        let on = |wall: &usize| match asked.walls[*wall].name.as_str() {
            "" => String::new(),
            name => format!(" on {name}"),
        };
        match self {
            Self::OneMoreRow { wall, height, rows } => {
                let rows: Vec<String> =
                    rows.iter().map(|row| quoted(&units.in_file(Quantity::mm(*row)))).collect();
                let (on, height) = (on(wall), units.length(*height));
                format!("one more row{on} at {height}: rows = [{}]", rows.join(", "))
            }
            Self::Narrower(names) => format!("no spare places in {} (spare = 0)", listed(names)),
            Self::Unpinned(names) => {
                format!("let {} hang elsewhere: delete the pin", listed(names))
            }
            Self::Wider { wall, by } => format!("a wall{} {} wider", on(wall), units.length(*by)),
        }
    }
}
