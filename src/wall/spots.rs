//! Every place a holder could hang at, with what each comes to by itself.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use kurbo::{Point, Rect};

use super::asked::{Pin, PinnedRow, WallObstacle};
use super::hanger::{Hanger, Mount};
use super::person::Person;
use super::site::{CleatRules, Margins, Site};
use crate::motion::AmongRows;
use crate::tolerance::COORDINATE;

/// What is the same for all places.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Terms {
    pub rules: CleatRules,
    pub room: Margins,
    pub person: Person,
    pub shared: bool,
    /// Of the edge of a stud, in mm.
    pub stud_width: f64,
    /// A mark of the tape, in mm: what middles over studs are rounded to.
    pub mark: f64,
}

/// A place for one holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Spot {
    pub wall: usize,
    /// `None` for what is screwed to the studs.
    pub row: Option<usize>,
    /// Where the holder's own origin is.
    pub origin: Point,
    /// The box round wood and tools, and what stays free above it.
    pub taken: Rect,
    pub lift: f64,
    /// Places that are warned of, whatever hangs beside it.
    pub findings: usize,
    /// How far its tools are off the heights where they are best taken, times their mass, in kg mm.
    pub out_of_reach: f64,
}

impl Spot {
    /// Whether two holders are in one another's way, `beside` mm kept between them.
    pub(super) fn clashes(&self, other: &Self, beside: f64) -> bool {
        self.wall == other.wall && self.is_in_the_way(other.taken, other.lift, beside)
    }

    fn is_in_the_way(&self, area: Rect, lift: f64, beside: f64) -> bool {
        let near = COORDINATE;
        let along =
            self.taken.x0 < area.x1 + beside - near && area.x0 < self.taken.x1 + beside - near;
        let up =
            self.taken.y0 < area.y1 + lift - near && area.y0 < self.taken.y1 + self.lift - near;
        along && up
    }

    /// The stretch it takes from a row at some height, if it does: nothing else hangs on there.
    pub(super) fn takes_of(&self, height: f64, room: Margins) -> Option<[f64; 2]> {
        let meets =
            self.taken.y0 < height + room.above && height - room.below < self.taken.y1 + self.lift;
        meets.then_some([self.taken.x0 - room.beside, self.taken.x1 + room.beside])
    }
}

/// What keeps a holder from a place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Barred {
    /// Over an end of the wall, its top or too near to the floor: by so much.
    OffTheWall(f64),
    /// Something in the way.
    Over(WallObstacle),
    /// No wall cleat runs there on studs.
    NoCleat,
    /// Wall cleats above or below are in its way.
    BetweenRows,
    /// The studs are elsewhere than its screws.
    NoStuds,
    /// Another holder that is kept there.
    Beside(String),
}

/// By a holder's name and some lengths in marks of [`COORDINATE`].
type SoFarKey = (String, Vec<i64>);
type SoFar<T> = Mutex<BTreeMap<SoFarKey, T>>;

/// What was worked out before, for whoever asks the same again: rows are tried at heights that come back.
#[derive(Debug, Default)]
pub(crate) struct AskedBefore {
    /// Whether a holder hooks on with other rows so much higher.
    hooks: SoFar<bool>,
    /// Its spots on a row, by grid, wall, height and stretches of wall cleats.
    spots: SoFar<Arc<Vec<Spot>>>,
}

impl AskedBefore {
    fn hooks_on(&self, hanger: &Hanger, among: &AmongRows, others: &[f64]) -> bool {
        let key = (hanger.name.clone(), others.iter().map(|up| key_of(*up)).collect());
        recalled(&self.hooks, key, || among.hooks_on(others))
    }
}

fn key_of(mm: f64) -> i64 {
    (mm / COORDINATE).round() as i64
}

/// What is known under a key, else worked out and kept.
fn recalled<T: Clone>(known: &SoFar<T>, key: SoFarKey, work_out: impl FnOnce() -> T) -> T {
    let before = known.lock().ok().and_then(|known| known.get(&key).cloned());
    before.unwrap_or_else(|| {
        let now = work_out();
        if let Ok(mut known) = known.lock() {
            known.insert(key, now.clone());
        }
        now
    })
}

/// All places for holders on some walls.
pub(crate) struct Places<'p> {
    pub sites: &'p [Site],
    pub terms: Terms,
    pub known: &'p AskedBefore,
}

impl Places<'_> {
    /// Every place of a holder on the grid, those with the fewest findings and the best heights first.
    pub(crate) fn all(&self, hanger: &Hanger) -> Vec<Spot> {
        let mut spots: Vec<Spot> = match &hanger.mount {
            Mount::Cleat { .. } => self.on_rows(hanger),
            Mount::Studs(_) => self.on_studs(hanger),
        };
        spots.sort_by(|a, b| {
            let key = |spot: &Spot| (spot.findings, spot.wall, spot.row);
            (a.findings.cmp(&b.findings))
                .then(a.out_of_reach.total_cmp(&b.out_of_reach))
                .then(key(a).cmp(&key(b)))
                .then(a.taken.x0.total_cmp(&b.taken.x0))
        });
        spots
    }

    fn on_rows(&self, hanger: &Hanger) -> Vec<Spot> {
        let mut spots = Vec::new();
        for (wall, site) in self.sites.iter().enumerate() {
            for row in 0..site.rows.len() {
                if self.hooks_on(hanger, (wall, row)) {
                    let known = self.along_before(hanger, (wall, row));
                    spots.extend(known.iter().map(|spot| Spot { row: Some(row), ..*spot }));
                }
            }
        }
        spots
    }

    /// Whether the wall cleats of other rows leave a holder its way onto this one.
    fn hooks_on(&self, hanger: &Hanger, (wall, row): (usize, usize)) -> bool {
        let Mount::Cleat { among, .. } = &hanger.mount else { return false };
        let (site, width) = (&self.sites[wall], self.terms.rules.width);
        let height = site.rows[row].height;
        let others = among.near(site.rows.iter().map(|other| other.height - height));
        let top = among.top();
        let behind = others.iter().any(|up| hanger.is_behind([top + up - width, top + up]));
        !behind && (others.is_empty() || self.known.hooks_on(hanger, among, &others))
    }

    fn along_before(&self, hanger: &Hanger, (wall, row): (usize, usize)) -> Arc<Vec<Spot>> {
        let site_row = &self.sites[wall].rows[row];
        let runs = site_row.runs.iter().flat_map(|run| [run.from, run.to]);
        let figures = [self.terms.room.grid, site_row.height].into_iter().chain(runs);
        let key = std::iter::once(wall as i64).chain(figures.map(key_of)).collect();
        let spots = || Arc::new(self.along(hanger, (wall, row)));
        recalled(&self.known.spots, (hanger.name.clone(), key), spots)
    }

    /// The places along one row: lefts of the wood on the grid, and its middle over each stud.
    fn along(&self, hanger: &Hanger, (wall, row): (usize, usize)) -> Vec<Spot> {
        let (site, grid) = (&self.sites[wall], self.terms.room.grid);
        let height = site.rows[row].height;
        let count = (site.space.width / grid).floor().max(0.0) as usize;
        let on_grid = (0..=count).map(|n| n as f64 * grid);
        let mark = self.terms.mark;
        let aside = hanger.middle() - hanger.wood.x0;
        let over = site.rows[row].runs.iter().flat_map(|run| &run.studs);
        let over = over.map(|stud| ((stud - aside) / mark).round() * mark);
        let mut lefts: Vec<f64> = on_grid.chain(over).collect();
        lefts.sort_by(f64::total_cmp);
        lefts.dedup_by(|a, b| (*a - *b).abs() < COORDINATE);
        let shift = hanger.taken.x0 - hanger.wood.x0;
        let at = |left: f64| (wall, Some(row), hanger.origin_on(height, left + shift));
        lefts.into_iter().filter_map(|left| self.spot(hanger, at(left)).ok()).collect()
    }

    /// The places of what is screwed to the studs: its screws over studs, at any height on a coarse grid.
    fn on_studs(&self, hanger: &Hanger) -> Vec<Spot> {
        let Mount::Studs(at) = &hanger.mount else { return Vec::new() };
        let (first, step) = (at.first().copied().unwrap_or_default(), 5.0 * self.terms.room.grid);
        let walls = self.sites.iter().enumerate();
        walls
            .flat_map(|(wall, site)| {
                let heights =
                    (0..=(site.space.height / step) as usize).map(move |n| n as f64 * step);
                let lefts = site.space.studs.iter().map(move |stud| stud - first);
                lefts
                    .flat_map(move |x| heights.clone().map(move |y| (wall, None, Point::new(x, y))))
            })
            .filter_map(|at| self.spot(hanger, at).ok())
            .collect()
    }

    /// A place by wall, row and origin.
    ///
    /// # Errors
    /// What keeps the holder from there.
    pub(crate) fn spot(
        &self,
        hanger: &Hanger,
        (wall, row, origin): (usize, Option<usize>, Point),
    ) -> Result<Spot, Barred> {
        let terms = &self.terms;
        let taken = hanger.taken + origin.to_vec2();
        let mut spot = Spot {
            wall,
            row,
            origin,
            taken,
            lift: hanger.lift.max(terms.room.beside),
            findings: 0,
            out_of_reach: 0.0,
        };
        self.is_free(hanger, &spot)?;
        let hard = hanger
            .grasps
            .iter()
            .any(|grasp| grasp.hard(origin.y, terms.person, terms.shared).is_some());
        let off_stud = hanger.over_stud && !self.is_over_a_stud(hanger, &spot);
        spot.findings = usize::from(hard) + usize::from(off_stud);
        let off =
            hanger.grasps.iter().map(|grasp| grasp.off_best(origin.y, terms.person) * grasp.mass);
        spot.out_of_reach = off.sum();
        Ok(spot)
    }

    fn is_free(&self, hanger: &Hanger, spot: &Spot) -> Result<(), Barred> {
        let (site, room) = (&self.sites[spot.wall], self.terms.room);
        let Rect { x0, y0, x1, y1 } = spot.taken;
        let off = [-x0, x1 - site.space.width, room.floor - y0, y1 + spot.lift - site.space.height];
        let off = off.into_iter().fold(0.0, f64::max);
        if off > COORDINATE {
            return Err(Barred::OffTheWall(off));
        }
        let over = site
            .space
            .obstacles
            .iter()
            .find(|obstacle| spot.is_in_the_way(obstacle.area, room.beside, room.beside));
        if let Some(obstacle) = over {
            return Err(Barred::Over(obstacle.clone()));
        }
        match (&hanger.mount, spot.row) {
            (Mount::Cleat { from, to, .. }, Some(row)) => {
                let hook = [from + spot.origin.x, to + spot.origin.x];
                let held = site.rows[row].runs.iter().any(|run| run.takes(hook));
                held.then_some(()).ok_or(Barred::NoCleat)
            }
            (Mount::Studs(at), None) => {
                let all = at.iter().all(|x| self.is_stud(spot.wall, x + spot.origin.x));
                all.then_some(()).ok_or(Barred::NoStuds)
            }
            _ => Err(Barred::NoCleat),
        }
    }

    /// Whether a screw there goes well into a stud.
    fn is_stud(&self, wall: usize, x: f64) -> bool {
        let mut studs = self.sites[wall].space.studs.iter();
        studs.any(|stud| (stud - x).abs() <= self.terms.stud_width / 4.0)
    }

    pub(super) fn is_over_a_stud(&self, hanger: &Hanger, spot: &Spot) -> bool {
        let middle = spot.origin.x + hanger.middle();
        let runs = spot.row.map_or(&[][..], |row| &self.sites[spot.wall].rows[row].runs);
        let mut studs = runs.iter().flat_map(|run| &run.studs);
        studs.any(|stud| (stud - middle).abs() <= self.terms.stud_width / 4.0)
    }

    /// Those of `spots` that a pin asks for. Its left end is exact: off the grid there is one more place on each row.
    pub(crate) fn pinned(&self, hanger: &Hanger, pin: &Pin, spots: &[Spot]) -> Vec<Spot> {
        let meets = |spot: &&Spot| {
            let wall = pin.wall.is_none_or(|wall| wall == spot.wall);
            wall && self.is_pinned_row(pin, spot.wall, spot.row)
        };
        let Some(left) = pin.left else { return spots.iter().filter(meets).copied().collect() };
        let mut places: Vec<(usize, Option<usize>, f64)> =
            spots.iter().filter(meets).map(|spot| (spot.wall, spot.row, spot.origin.y)).collect();
        places.dedup();
        let x = left - hanger.taken.x0;
        let at = places.into_iter().map(|(wall, row, y)| (wall, row, Point::new(x, y)));
        at.filter_map(|at| self.spot(hanger, at).ok()).collect()
    }

    /// What bars all places that a pin asks for: the first of them that has a row.
    pub(crate) fn bars(&self, hanger: &Hanger, pin: &Pin) -> Barred {
        let walls = self.sites.iter().enumerate();
        let rows = walls.flat_map(|(wall, site)| (0..site.rows.len()).map(move |row| (wall, row)));
        let asked = rows.filter(|(wall, row)| {
            pin.wall.is_none_or(|asked| asked == *wall)
                && self.is_pinned_row(pin, *wall, Some(*row))
        });
        let bars = |(wall, row): (usize, usize)| {
            if !self.hooks_on(hanger, (wall, row)) {
                return Some(Barred::BetweenRows);
            }
            let origin = hanger.origin_on(self.sites[wall].rows[row].height, pin.left?);
            self.spot(hanger, (wall, Some(row), origin)).err()
        };
        asked.filter_map(bars).next().unwrap_or(Barred::NoCleat)
    }

    pub(super) fn is_pinned_row(&self, pin: &Pin, wall: usize, row: Option<usize>) -> bool {
        match (pin.row, row) {
            (None, _) => true,
            (Some(PinnedRow::Number(number)), row) => row == Some(number),
            (Some(PinnedRow::Height(height)), Some(row)) => {
                (self.sites[wall].rows[row].height - height).abs() < self.terms.mark / 2.0
            }
            (Some(PinnedRow::Height(_)), None) => false,
        }
    }
}
