//! Holders put at places, and what that comes to: taken up and put down again without working all of it out anew.

use kurbo::Rect;

use super::hanger::{Hanger, Mount};
use super::plan::{Aims, FreeStretch};
use super::site::{Margins, Site, SiteRow, without};
use super::spots::{Places, Spot};
use crate::carry::{ScrewShare, StudScrews, WallDemand};

/// All that is to be placed, and where it could be.
pub(crate) struct Task<'t> {
    pub places: &'t Places<'t>,
    pub hangers: &'t [Hanger],
    /// Of each its spots, the best first.
    pub spots: Vec<Vec<Spot>>,
    /// Groups of holders, by their places in the list.
    pub groups: Vec<Vec<usize>>,
    /// What the screws of a stud bear; `None` where nothing is rated.
    pub screws: Option<StudScrews>,
}

impl Task<'_> {
    pub(super) fn sites(&self) -> &[Site] {
        self.places.sites
    }

    pub(super) fn room(&self) -> Margins {
        self.places.terms.room
    }
}

/// Some holders at places, no two of them in one another's way.
#[derive(Clone)]
pub(crate) struct WallState<'t> {
    task: &'t Task<'t>,
    /// Of each holder the place that it has.
    pub at: Vec<Option<Spot>>,
    /// What is still free of each row of each wall, from the left.
    free: Vec<Vec<Vec<[f64; 2]>>>,
    /// What comes on each stud of each run of each row of each wall, knocks counted.
    loads: Vec<Vec<Vec<Vec<ScrewShare>>>>,
}

/// On which row and run a holder hangs, and which part of it each of that run's studs bears.
struct Borne<'t> {
    row: usize,
    run: usize,
    demand: &'t WallDemand,
    studs: Vec<(usize, f64)>,
}

impl Borne<'_> {
    /// The part of the holder that one stud bears.
    fn part(&self, stud: usize) -> f64 {
        self.studs.iter().find(|(at, _)| *at == stud).map_or(0.0, |(_, part)| *part)
    }
}

/// What putting a holder down changes, the first first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PlaceChange {
    pub findings: usize,
    pub out_of_reach: f64,
    pub apart: f64,
    /// How much less is free.
    pub lost: f64,
}

impl PlaceChange {
    /// Whether a place, whatever hangs beside it, is worse than this.
    pub(super) fn is_out_of_reach_of(&self, spot: &Spot) -> bool {
        let same = spot.findings == self.findings;
        spot.findings > self.findings || same && spot.out_of_reach > self.out_of_reach + ALIKE
    }

    pub(super) fn is_better(&self, than: &Self) -> bool {
        let order = (self.findings.cmp(&than.findings))
            .then(cmp(self.out_of_reach, than.out_of_reach))
            .then(cmp(self.apart, than.apart))
            .then(cmp(self.lost, than.lost));
        order.is_lt()
    }
}

/// Sums of figures that are alike come out alike to this.
pub(super) const ALIKE: f64 = 1e-6;

fn cmp(a: f64, b: f64) -> std::cmp::Ordering {
    if (a - b).abs() < ALIKE { std::cmp::Ordering::Equal } else { a.total_cmp(&b) }
}

impl Aims {
    /// Which of two is the better plan: aim by aim.
    pub(crate) fn order(&self, other: &Self) -> std::cmp::Ordering {
        (self.left_over.cmp(&other.left_over))
            .then(self.findings.cmp(&other.findings))
            .then(cmp(self.out_of_reach, other.out_of_reach))
            .then(cmp(self.apart, other.apart))
            .then(cmp(other.free, self.free))
    }
}

impl<'t> WallState<'t> {
    /// Nothing hangs yet.
    pub(crate) fn empty(task: &'t Task<'t>) -> Self {
        let room = task.room();
        let free = task.sites().iter().map(|site| bare(site, room)).collect();
        let of_row = |row: &SiteRow| {
            row.runs.iter().map(|run| vec![ScrewShare::default(); run.studs.len()]).collect()
        };
        let loads =
            task.sites().iter().map(|site| site.rows.iter().map(of_row).collect()).collect();
        Self { task, at: vec![None; task.hangers.len()], free, loads }
    }

    /// All places of a holder, the best first.
    pub(crate) fn spots_of(&self, holder: usize) -> &'t [Spot] {
        &self.task.spots[holder]
    }

    /// Whether a holder can be put there beside all others.
    pub(super) fn is_free(&self, spot: &Spot) -> bool {
        let beside = self.task.room().beside;
        !self.at.iter().flatten().any(|other| spot.clashes(other, beside))
    }

    /// What putting a holder there would change.
    pub(super) fn change(&self, holder: usize, spot: &Spot) -> PlaceChange {
        PlaceChange {
            findings: spot.findings + self.overloads(holder, spot),
            out_of_reach: spot.out_of_reach,
            apart: self.apart_with(holder, spot),
            lost: self.lost(spot),
        }
    }

    /// Puts a holder down.
    pub(super) fn put(&mut self, holder: usize, spot: Spot) {
        self.load(holder, &spot, 1.0);
        let (task, wall) = (self.task, spot.wall);
        for (row, free) in task.sites()[wall].rows.iter().zip(&mut self.free[wall]) {
            if let Some(taken) = spot.takes_of(row.height, task.room()) {
                *free = free.iter().flat_map(|stretch| without(*stretch, vec![taken])).collect();
            }
        }
        self.at[holder] = Some(spot);
    }

    /// Takes holders off.
    pub(super) fn take(&mut self, holders: &[usize]) {
        let mut touched = vec![false; self.free.len()];
        for holder in holders {
            if let Some(spot) = self.at[*holder].take() {
                self.load(*holder, &spot, -1.0);
                touched[spot.wall] = true;
            }
        }
        for wall in (0..touched.len()).filter(|wall| touched[*wall]) {
            self.free[wall] = self.free_of(wall);
        }
    }

    fn free_of(&self, wall: usize) -> Vec<Vec<[f64; 2]>> {
        let (site, room) = (&self.task.sites()[wall], self.task.room());
        let hung = || self.at.iter().flatten().filter(|spot| spot.wall == wall);
        let left = |(row, bare): (&SiteRow, Vec<[f64; 2]>)| {
            let taken: Vec<[f64; 2]> =
                hung().filter_map(|s| s.takes_of(row.height, room)).collect();
            bare.into_iter().flat_map(|stretch| without(stretch, taken.clone())).collect()
        };
        site.rows.iter().zip(bare(site, room)).map(left).collect()
    }

    /// How much usable length a holder there takes.
    fn lost(&self, spot: &Spot) -> f64 {
        let (site, room) = (&self.task.sites()[spot.wall], self.task.room());
        let lost = |(row, free): (&SiteRow, &Vec<[f64; 2]>)| {
            let [from, to] = spot.takes_of(row.height, room)?;
            let met = free.iter().filter(|[a, b]| *a < to && from < *b);
            let of = |[a, b]: &[f64; 2]| {
                usable(b - a, room) - usable(from - a, room) - usable(b - to, room)
            };
            Some(met.map(of).sum::<f64>())
        };
        site.rows.iter().zip(&self.free[spot.wall]).filter_map(lost).sum()
    }

    /// How many studs a holder there would overload that bear what hangs now.
    fn overloads(&self, holder: usize, spot: &Spot) -> usize {
        let Some(screws) = self.task.screws else { return 0 };
        let over = |each: ScrewShare| screws.taken(each) > 1.0;
        if self.is_light(holder, spot, over) {
            return 0;
        }
        let Some(Borne { row, run, demand, studs }) = self.borne(holder, spot) else { return 0 };
        let loads = &self.loads[spot.wall][row][run];
        let counts = studs.iter().filter(|(stud, part)| {
            !over(loads[*stud]) && over(loads[*stud].plus(demand.knocked.times(*part)))
        });
        counts.count()
    }

    /// Whether no stud of the row could be too much for it if it bore all of the holder as a lever: sooner told than how
    /// much each bears.
    fn is_light(&self, holder: usize, spot: &Spot, over: impl Fn(ScrewShare) -> bool) -> bool {
        let demand = self.task.hangers[holder].demand.as_ref();
        let Some((row, demand)) = spot.row.zip(demand) else { return true };
        let loads = self.loads[spot.wall][row].iter().flatten();
        let most = loads.fold(ScrewShare::default(), |most, load| ScrewShare {
            pull: most.pull.max(load.pull),
            across: most.across.max(load.across),
        });
        !over(most.plus(demand.knocked.times(MOST_LEVER)))
    }

    /// Adds so many times what a holder brings to the studs.
    fn load(&mut self, holder: usize, spot: &Spot, times: f64) {
        let Some(Borne { row, run, demand, studs }) = self.borne(holder, spot) else { return };
        for (stud, part) in studs {
            let load = &mut self.loads[spot.wall][row][run][stud];
            *load = settled(load.plus(demand.knocked.times(part * times)));
        }
    }

    /// `None` for what its own screws hold.
    fn borne(&self, holder: usize, spot: &Spot) -> Option<Borne<'t>> {
        let hanger = &self.task.hangers[holder];
        let (row, demand) = (spot.row?, hanger.demand.as_ref()?);
        let Mount::Cleat { from, to, .. } = &hanger.mount else { return None };
        let hook = [from + spot.origin.x, to + spot.origin.x];
        let runs = &self.task.sites()[spot.wall].rows[row].runs;
        let run = runs.iter().position(|run| run.takes(hook))?;
        let mut studs: Vec<(usize, f64)> = Vec::new();
        let each = demand.along.iter().flat_map(|[x, share]| {
            runs[run].bear(x + spot.origin.x).map(|(stud, part)| (stud, share * part))
        });
        for (stud, part) in each.filter(|(_, part)| *part > 0.0) {
            match studs.iter_mut().find(|(known, _)| *known == stud) {
                Some((_, sum)) => *sum += part,
                None => studs.push((stud, part)),
            }
        }
        Some(Borne { row, run, demand, studs })
    }

    /// How much further the groups of a holder are apart with it there.
    fn apart_with(&self, holder: usize, spot: &Spot) -> f64 {
        let groups = self.task.groups.iter().filter(|group| group.contains(&holder));
        let more = |group: &Vec<usize>| {
            let others = group.iter().filter(|other| **other != holder);
            let others: Vec<Rect> =
                others.filter_map(|o| Some(self.shown(&self.at[*o]?))).collect();
            half_round(others.iter().copied().chain([self.shown(spot)]))
                - half_round(others.into_iter())
        };
        groups.map(more).sum()
    }

    /// The box round a holder, walls laid side by side.
    fn shown(&self, spot: &Spot) -> Rect {
        let before: f64 = self.task.sites()[..spot.wall].iter().map(|site| site.space.width).sum();
        spot.taken + kurbo::Vec2::new(before + APART_WALLS * spot.wall as f64, 0.0)
    }

    /// All figures of it.
    pub(crate) fn aims(&self) -> Aims {
        let hung = || self.at.iter().flatten();
        let groups = self.task.groups.iter().map(|group| {
            half_round(group.iter().filter_map(|holder| Some(self.shown(&self.at[*holder]?))))
        });
        let room = self.task.room();
        let free = self.free.iter().flatten().flatten().map(|[a, b]| usable(b - a, room));
        Aims {
            left_over: self.at.iter().filter(|spot| spot.is_none()).count(),
            findings: hung().map(|spot| spot.findings).sum::<usize>() + self.overloaded(),
            out_of_reach: hung().map(|spot| spot.out_of_reach).sum(),
            apart: groups.sum(),
            free: free.sum(),
        }
    }

    fn overloaded(&self) -> usize {
        let Some(screws) = self.task.screws else { return 0 };
        let loads = self.loads.iter().flatten().flatten().flatten();
        loads.filter(|each| screws.taken(**each) > 1.0).count()
    }

    /// The stretches of a wall that a holder can still hang on.
    pub(super) fn free_on(&self, wall: usize) -> Vec<FreeStretch> {
        let rows = self.free[wall].iter().enumerate();
        let stretches =
            rows.flat_map(|(row, free)| free.iter().map(move |[from, to]| (row, *from, *to)));
        let usable = stretches.filter(|(_, from, to)| usable(to - from, self.task.room()) > 0.0);
        usable.map(|(row, from, to)| FreeStretch { row, from, to }).collect()
    }

    /// What each row brings to a stud of a wall at rest, in N, and the share of its screws that the fullest row takes.
    pub(super) fn on_stud(&self, wall: usize, at: f64) -> (f64, f64) {
        let (mut load, mut share) = (0.0, 0.0_f64);
        for (row, site) in self.task.sites()[wall].rows.iter().enumerate() {
            for (run, studs) in site.runs.iter().enumerate() {
                let Some(stud) = studs.studs.iter().position(|stud| (stud - at).abs() < ALIKE)
                else {
                    continue;
                };
                let each = self.loads[wall][row][run][stud];
                share = share.max(self.task.screws.map_or(0.0, |screws| screws.taken(each)));
                load += self.down_on(wall, (row, run, stud));
            }
        }
        (load, share)
    }

    /// The share of a stud's screws that one row takes, knocks counted and at rest; `None` where nothing is rated.
    pub(super) fn shares(
        &self,
        wall: usize,
        (row, run, stud): (usize, usize, usize),
    ) -> Option<(f64, f64)> {
        let screws = self.task.screws?;
        let still =
            self.bearing(wall, (row, run, stud)).map(|(_, demand, part)| demand.still.times(part));
        let still = still.fold(ScrewShare::default(), ScrewShare::plus);
        Some((screws.taken(self.loads[wall][row][run][stud]), screws.taken(still)))
    }

    /// What comes down on one stud from one row, at rest, in N.
    pub(super) fn down_on(&self, wall: usize, place: (usize, usize, usize)) -> f64 {
        self.borne_there(wall, place).map(|(_, down)| down).sum()
    }

    /// Who brings how many N to one stud from one row, at rest.
    pub(super) fn borne_there(
        &self,
        wall: usize,
        place: (usize, usize, usize),
    ) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.bearing(wall, place).map(|(holder, demand, part)| (holder, demand.down * part))
    }

    /// The holders of which one stud bears a part, with that part.
    fn bearing(
        &self,
        wall: usize,
        (row, run, stud): (usize, usize, usize),
    ) -> impl Iterator<Item = (usize, &'t WallDemand, f64)> + '_ {
        let hung = self.at.iter().enumerate().filter_map(|(holder, spot)| Some((holder, (*spot)?)));
        let on_row = hung.filter(move |(_, spot)| spot.wall == wall && spot.row == Some(row));
        on_row.filter_map(move |(holder, spot)| {
            let borne = self.borne(holder, &spot).filter(|borne| borne.run == run)?;
            let part = borne.part(stud);
            (part > 0.0).then_some((holder, borne.demand, part))
        })
    }
}

/// What is left once all that was added is taken off again: not less than nothing.
fn settled(ScrewShare { pull, across }: ScrewShare) -> ScrewShare {
    let [pull, across] = [pull, across].map(|force| if force < ALIKE { 0.0 } else { force });
    ScrewShare { pull, across }
}

/// What a stud bears of a load past the last one, at most: wall cleats reach 8 in (200 mm) past it, and studs are at
/// least 4 in (100 mm) apart.
const MOST_LEVER: f64 = 3.0;

/// Between two walls, where a group is on both, in mm.
const APART_WALLS: f64 = 2000.0;

/// Half the way round a box round boxes; 0 for none.
fn half_round(boxes: impl Iterator<Item = Rect>) -> f64 {
    boxes.reduce(|a, b| a.union(b)).map_or(0.0, |all| all.width() + all.height())
}

/// What of a free stretch counts.
fn usable(length: f64, room: Margins) -> f64 {
    if length >= room.usable - ALIKE { length } else { 0.0 }
}

/// What is free of each row before anything hangs.
fn bare(site: &Site, room: Margins) -> Vec<Vec<[f64; 2]>> {
    let of_row = |row: &SiteRow| {
        let areas = site.space.obstacles.iter().map(|obstacle| obstacle.area);
        let near = areas
            .filter(|area| area.y0 < row.height + room.above && row.height - room.below < area.y1);
        let cut: Vec<[f64; 2]> =
            near.map(|area| [area.x0 - room.beside, area.x1 + room.beside]).collect();
        row.runs.iter().flat_map(|run| without([run.from, run.to], cut.clone())).collect()
    };
    site.rows.iter().map(of_row).collect()
}
