//! A wall with its rows, as holders find it: where wall cleats run, and which studs hold them.

use kurbo::Rect;

use super::asked::WallSpace;
use super::plan::{CleatPiece, PlannedRow};
use crate::length::Units;
use crate::shop::Shop;
use crate::tolerance::COORDINATE;

/// What room is kept on a wall, in mm. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Margins {
    /// Lefts of holders come on its multiples.
    pub grid: f64,
    /// Between two holders, and to what is in the way: for fingers.
    pub beside: f64,
    /// Between the floor and what hangs lowest.
    pub floor: f64,
    /// What a further holder wants of a row at least: along it, below its top edge and above it.
    pub usable: f64,
    pub below: f64,
    pub above: f64,
    /// How far a wall cleat reaches past its last stud at most.
    pub past_stud: f64,
    /// Between a wall cleat and what is in the way.
    pub beside_cleat: f64,
}

impl Margins {
    pub(crate) fn of(units: Units) -> Self {
        Self {
            grid: units.either(0.5, 10.0),
            beside: units.either(0.75, 20.0),
            floor: units.either(2.0, 50.0),
            usable: units.either(8.0, 200.0),
            below: units.either(6.0, 150.0),
            above: units.either(4.0, 100.0),
            past_stud: units.either(8.0, 200.0),
            beside_cleat: units.either(0.25, 5.0),
        }
    }
}

/// How wall cleats are cut and screwed on, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CleatRules {
    /// Of a wall cleat.
    pub width: f64,
    pub thickness: f64,
    /// The longest that its stock gives.
    pub longest: f64,
    /// From its end to a screw, at least.
    pub end: f64,
    /// From the middle of a stud to each of two screws in it.
    pub aside: f64,
    /// From plug to plug in masonry, which has no studs.
    pub plugs: Option<f64>,
}

/// From the end of a wall cleat to a screw, as the style of wall cleats has it; two screws in a stud stand so far from
/// its middle, or in masonry.
const SCREW_END: [f64; 2] = [0.5, 12.0];
const SCREW_ASIDE: [f64; 2] = [0.375, 9.0];
const PLUG_ASIDE: [f64; 2] = [1.375, 35.0];

impl CleatRules {
    pub(crate) fn of(shop: &Shop) -> Self {
        let (wall, units) = (&shop.wall, shop.units);
        let [inches, mm] = if wall.masonry.is_some() { PLUG_ASIDE } else { SCREW_ASIDE };
        let stock = shop.stock.iter().find(|row| row.name == shop.cleat.from);
        Self {
            width: shop.cleat.width,
            thickness: shop.cleat.thickness,
            longest: stock.map_or(f64::INFINITY, |row| row.length - 2.0 * shop.saw.edge_trim),
            end: units.either(SCREW_END[0], SCREW_END[1]),
            aside: if wall.screws > 1 { units.either(inches, mm) } else { 0.0 },
            plugs: wall.masonry.as_ref().map(|_| wall.stud_spacing),
        }
    }
}

/// A wall with rows of wall cleats.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Site {
    pub space: WallSpace,
    pub rows: Vec<SiteRow>,
}

/// A row, as far as wall cleats run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SiteRow {
    /// Of the top edge of its cleats, in mm above the floor.
    pub height: f64,
    pub runs: Vec<CleatRun>,
}

/// A stretch of wall cleats without a gap, and the studs (or plugs) that hold it, from the left.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CleatRun {
    pub from: f64,
    pub to: f64,
    pub studs: Vec<f64>,
}

impl Site {
    /// The wall with rows at some heights, cleats wherever nothing is in the way: obstacles, and what is `blocked` too.
    pub(crate) fn new(
        space: &WallSpace,
        heights: &[f64],
        blocked: &[Rect],
        (rules, room): (CleatRules, Margins),
    ) -> Self {
        let row = |height: &f64| {
            let band = [height - rules.width, *height];
            let areas = space.obstacles.iter().map(|obstacle| obstacle.area);
            let areas = areas.chain(blocked.iter().copied());
            let cut = areas.filter(|area| area.y0 < band[1] && band[0] < area.y1);
            let cut = cut.map(|area| [area.x0 - room.beside_cleat, area.x1 + room.beside_cleat]);
            let free = without([0.0, space.width], cut.collect());
            let runs = free.into_iter().filter_map(|run| CleatRun::of(run, space, rules, room));
            SiteRow { height: *height, runs: runs.collect() }
        };
        Self { space: space.clone(), rows: heights.iter().map(row).collect() }
    }

    /// Its rows with their wall cleats.
    pub(crate) fn planned_rows(&self, rules: CleatRules) -> Vec<PlannedRow> {
        let row = |row: &SiteRow| PlannedRow {
            height: row.height,
            cleats: row.runs.iter().flat_map(|run| run.pieces(rules)).collect(),
        };
        self.rows.iter().map(row).collect()
    }
}

/// What is left of a stretch without some others, from the left.
pub(super) fn without([from, to]: [f64; 2], mut cut: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    cut.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut left, mut at) = (Vec::new(), from);
    for [start, end] in cut {
        if start > at {
            left.push([at, start.min(to)]);
        }
        at = at.max(end);
    }
    left.push([at, to]);
    left.retain(|[from, to]| to - from > COORDINATE);
    left
}

impl CleatRun {
    /// As much of a stretch as studs hold; `None` where none does.
    fn of(
        [from, to]: [f64; 2],
        space: &WallSpace,
        rules: CleatRules,
        room: Margins,
    ) -> Option<Self> {
        let inside = rules.end + rules.aside;
        if let Some(apart) = rules.plugs {
            let plugs = plugs([from + inside, to - inside], apart);
            return (plugs.len() > 1).then_some(Self { from, to, studs: plugs });
        }
        let holds = |stud: &&f64| (from + inside..=to - inside).contains(*stud);
        let studs: Vec<f64> = space.studs.iter().filter(holds).copied().collect();
        let (first, last) = (*studs.first()?, *studs.last()?);
        let (from, to) = (from.max(first - room.past_stud), to.min(last + room.past_stud));
        Some(Self { from, to, studs })
    }

    /// Whether a holder cleat from `from` to `to` hangs here and not past all studs.
    pub(super) fn takes(&self, [from, to]: [f64; 2]) -> bool {
        let near = COORDINATE;
        let within = from >= self.from - near && to <= self.to + near;
        let middle = (from + to) / 2.0;
        let first = self.studs.first().copied().unwrap_or(f64::INFINITY);
        let last = self.studs.last().copied().unwrap_or(f64::NEG_INFINITY);
        let between = first <= middle + near && middle <= last + near;
        let covers = self.studs.iter().any(|stud| from <= *stud && *stud <= to);
        within && (between || covers)
    }

    /// What part of a load at `x` each stud bears, by its place in the list: as a beam from stud to stud (statics); past
    /// the last one as a lever, of which nothing is taken off the others.
    pub(super) fn bear(&self, x: f64) -> [(usize, f64); 2] {
        let studs = &self.studs;
        let next = studs.partition_point(|stud| *stud < x);
        let alone = |at: usize, share: f64| [(at, share), (at, 0.0)];
        let lever = |at: usize, other: usize| {
            let span =
                studs.get(at).zip(studs.get(other)).map_or(f64::INFINITY, |(a, b)| (a - b).abs());
            1.0 + (studs[at] - x).abs() / span
        };
        match next {
            _ if studs.len() < 2 => alone(0, 1.0),
            0 => alone(0, lever(0, 1)),
            next if next == studs.len() => alone(next - 1, lever(next - 1, next - 2)),
            next => {
                let along = (x - studs[next - 1]) / (studs[next] - studs[next - 1]);
                [(next - 1, 1.0 - along), (next, along)]
            }
        }
    }

    /// Cut to the stock's length, joints over studs.
    fn pieces(&self, rules: CleatRules) -> Vec<CleatPiece> {
        let mut ends = vec![self.from];
        let mut from = self.from;
        while self.to - from > rules.longest {
            let reached = self
                .studs
                .iter()
                .filter(|stud| **stud > from + COORDINATE && **stud - from <= rules.longest);
            // Where no stud is within reach, it is cut where the stock ends.
            let joint =
                reached.max_by(|a, b| a.total_cmp(b)).copied().unwrap_or(from + rules.longest);
            ends.push(joint);
            from = joint;
        }
        ends.push(self.to);
        ends.windows(2).map(|ends| self.piece([ends[0], ends[1]], rules)).collect()
    }

    fn piece(&self, [from, to]: [f64; 2], rules: CleatRules) -> CleatPiece {
        let near = |stud: &&f64| (from - COORDINATE..=to + COORDINATE).contains(*stud);
        let screws = self.studs.iter().filter(near).flat_map(|stud| {
            let pair = [stud - rules.aside, stud + rules.aside];
            // At a joint there is room for one.
            let pair = match () {
                () if *stud - from < rules.end => [from + rules.end; 2],
                () if to - *stud < rules.end => [to - rules.end; 2],
                () => pair,
            };
            if (pair[1] - pair[0]).abs() < COORDINATE { vec![pair[0]] } else { pair.to_vec() }
        });
        CleatPiece { from, to, screws: screws.collect() }
    }
}

/// Plugs along a stretch, no further apart than `apart`.
fn plugs([from, to]: [f64; 2], apart: f64) -> Vec<f64> {
    if to < from {
        return Vec::new();
    }
    let count = ((to - from) / apart).ceil().max(1.0) as usize;
    (0..=count).map(|n| from + (to - from) * n as f64 / count as f64).collect()
}
