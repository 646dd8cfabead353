//! Walls with their rows, ready for holders to be put on: what each place comes to, and which are kept.

use rayon::prelude::*;

use super::asked::{Pin, WallsAsked};
use super::board::{Task, WallState};
use super::hanger::{Hanger, Mount};
use super::plan::Aims;
use super::rows::RowHeights;
use super::search::best_board;
use super::site::{CleatRules, Margins, Site};
use super::spots::{AskedBefore, Barred, Places, Spot, Terms};
use crate::carry::StudScrews;
use crate::record::KeptPlace;
use crate::shop::Shop;
use crate::tolerance::COORDINATE;

/// What the plan is made from.
#[derive(Clone, Copy)]
pub(crate) struct WallJob<'j> {
    pub asked: &'j WallsAsked,
    pub shop: &'j Shop,
    pub hangers: &'j [Hanger],
    pub kept: &'j [KeptPlace],
    /// A holder without room for more tools, by its name.
    pub narrower: &'j (dyn Fn(&str) -> Option<Hanger> + Sync),
}

/// All that is worked out before anything is placed.
pub(crate) struct Planner<'j> {
    pub job: WallJob<'j>,
    pub terms: Terms,
    pub sites: Vec<Site>,
    known: &'j AskedBefore,
    screws: Option<StudScrews>,
    /// What is screwed to the studs, by its place in the list: it is put on before cleats are cut round it.
    screwed: Vec<(usize, Spot)>,
}

/// A holder that keeps its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KeptSpot {
    pub holder: usize,
    pub spot: Spot,
}

/// What holds some holders to their places, and what kept others from theirs.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct KeptSpots {
    pub spots: Vec<KeptSpot>,
    /// Holders that can't hang where they are pinned or built, with what bars that place.
    pub barred: Vec<(usize, Barred)>,
}

impl<'j> Planner<'j> {
    pub(crate) fn new(
        job: WallJob<'j>,
        rows: &RowHeights,
        coarse: f64,
        known: &'j AskedBefore,
    ) -> Self {
        let (asked, shop) = (job.asked, job.shop);
        let (rules, mut room) = (CleatRules::of(shop), Margins::of(shop.units));
        room.grid *= coarse;
        let terms = Terms {
            rules,
            room,
            person: asked.person,
            shared: asked.shared,
            stud_width: shop.wall.stud_width,
            mark: shop.tape(shop.units).grid,
        };
        let screws = StudScrews::of(shop).ok().filter(|_| shop.wall.masonry.is_none());
        let mut planner =
            Self { job, terms, sites: Vec::new(), known, screws, screwed: Vec::new() };
        planner.sites = planner.sites_with(rows, &[]);
        planner.screw_on();
        let blocked: Vec<Spot> = planner.screwed.iter().map(|(_, spot)| *spot).collect();
        planner.sites = planner.sites_with(rows, &blocked);
        planner
    }

    fn sites_with(&self, rows: &RowHeights, blocked: &[Spot]) -> Vec<Site> {
        let walls = self.job.asked.walls.iter().zip(rows).enumerate();
        let site = |(wall, (space, heights)): (usize, (_, &Vec<f64>))| {
            let here = blocked.iter().filter(|spot| spot.wall == wall);
            let here: Vec<_> = here.map(|spot| spot.taken).collect();
            Site::new(space, heights, &here, (self.terms.rules, self.terms.room))
        };
        walls.map(site).collect()
    }

    /// Of all wall cleats, in mm.
    pub(super) fn cleat_length(&self) -> f64 {
        let runs = self.sites.iter().flat_map(|site| &site.rows).flat_map(|row| &row.runs);
        runs.map(|run| run.to - run.from).sum()
    }

    pub(super) fn places(&self) -> Places<'_> {
        Places { sites: &self.sites, terms: self.terms, known: self.known }
    }

    /// Puts on what is screwed to the studs, where it takes the least of the rows.
    fn screw_on(&mut self) {
        for (at, hanger) in self.job.hangers.iter().enumerate() {
            if !matches!(hanger.mount, Mount::Studs(_)) {
                continue;
            }
            let spots = self.places().all(hanger);
            let pin = self.job.asked.pins.iter().find(|pin| pin.holder == hanger.name);
            let pinned =
                pin.map(|pin| self.places().pinned(hanger, pin, &spots)).filter(|p| !p.is_empty());
            let free = pinned.unwrap_or(spots).into_iter().filter(|spot| {
                !self.screwed.iter().any(|(_, other)| spot.clashes(other, self.terms.room.beside))
            });
            let rows = |spot: &Spot| {
                let rows = self.sites[spot.wall].rows.iter();
                rows.filter(|row| spot.takes_of(row.height, self.terms.room).is_some()).count()
            };
            let better = |a: &Spot, b: &Spot| {
                (a.findings.cmp(&b.findings))
                    .then(a.out_of_reach.total_cmp(&b.out_of_reach))
                    .then(rows(a).cmp(&rows(b)))
                    .then(a.taken.x0.total_cmp(&b.taken.x0))
            };
            let best = free.min_by(better);
            self.screwed.extend(best.map(|spot| (at, spot)));
        }
    }

    /// Does something with the best board and what is kept.
    pub(crate) fn with<T>(
        &self,
        looks: u64,
        make: impl FnOnce(&WallState<'_>, &KeptSpots) -> T,
    ) -> T {
        let places = self.places();
        let spots: Vec<Vec<Spot>> =
            self.job.hangers.par_iter().map(|hanger| places.all(hanger)).collect();
        let kept = self.kept(&places, &spots);
        let place = |name: &String| self.job.hangers.iter().position(|hanger| hanger.name == *name);
        let groups = self.job.asked.groups.iter();
        let task = Task {
            places: &places,
            hangers: self.job.hangers,
            groups: groups.map(|group| group.holders.iter().filter_map(place).collect()).collect(),
            screws: self.screws,
            spots,
        };
        let fixed: Vec<(usize, Spot)> =
            kept.spots.iter().map(|kept| (kept.holder, kept.spot)).collect();
        make(&best_board(&task, &fixed, looks), &kept)
    }

    pub(crate) fn aims(&self, looks: u64) -> Aims {
        self.with(looks, |board, _| board.aims())
    }

    /// Those that hang already, then those that are pinned, then what is screwed to the studs.
    fn kept(&self, places: &Places<'_>, spots: &[Vec<Spot>]) -> KeptSpots {
        let mut kept = KeptSpots::default();
        for (at, hanger) in self.job.hangers.iter().enumerate() {
            if let Some(place) = self.job.kept.iter().find(|kept| kept.holder == hanger.name) {
                kept.take(self, at, self.built(places, hanger, place));
            }
        }
        let pins = self.job.asked.pins.iter();
        for (at, pin) in pins.filter_map(|pin| Some((self.at(&pin.holder)?, pin))) {
            let known = kept.spots.iter().any(|kept| kept.holder == at);
            // Where the pin leaves a choice, the first of the best places is taken.
            if !known && !matches!(self.job.hangers[at].mount, Mount::Studs(_)) {
                kept.take(self, at, self.pinned(places, (at, pin), &spots[at], &kept));
            }
        }
        let screwed =
            self.screwed.iter().map(|(holder, spot)| KeptSpot { holder: *holder, spot: *spot });
        kept.spots.extend(screwed);
        kept
    }

    fn at(&self, name: &str) -> Option<usize> {
        self.job.hangers.iter().position(|hanger| hanger.name == name)
    }

    fn built(
        &self,
        places: &Places<'_>,
        hanger: &Hanger,
        kept: &KeptPlace,
    ) -> Result<Spot, Barred> {
        let wall = self.sites.iter().position(|site| site.space.name == kept.wall);
        let wall = wall.ok_or(Barred::OffTheWall(0.0))?;
        let mut rows = self.sites[wall].rows.iter();
        let row = rows.position(|row| (row.height - kept.height).abs() < COORDINATE);
        let row = row.filter(|_| matches!(hanger.mount, Mount::Cleat { .. }));
        let mut origin = hanger.origin_on(kept.height, kept.left);
        origin.x = kept.left - hanger.wood.x0;
        places.spot(hanger, (wall, row, origin))
    }

    /// The best of the places that a pin asks for.
    fn pinned(
        &self,
        places: &Places<'_>,
        (at, pin): (usize, &Pin),
        spots: &[Spot],
        kept: &KeptSpots,
    ) -> Result<Spot, Barred> {
        let beside = self.terms.room.beside;
        let clash = |spot: &Spot| kept.spots.iter().find(|kept| spot.clashes(&kept.spot, beside));
        let asked = places.pinned(&self.job.hangers[at], pin, spots);
        if let Some(spot) = asked.iter().find(|spot| clash(spot).is_none()) {
            return Ok(*spot);
        }
        match asked.first().and_then(clash) {
            Some(other) => Err(Barred::Beside(self.job.hangers[other.holder].name.clone())),
            None => Err(places.bars(&self.job.hangers[at], pin)),
        }
    }
}

impl KeptSpots {
    fn take(&mut self, planner: &Planner<'_>, holder: usize, spot: Result<Spot, Barred>) {
        let beside = planner.terms.room.beside;
        match spot {
            Ok(spot) => match self.spots.iter().find(|kept| kept.spot.clashes(&spot, beside)) {
                None => self.spots.push(KeptSpot { holder, spot }),
                Some(other) => {
                    let name = planner.job.hangers[other.holder].name.clone();
                    self.barred.push((holder, Barred::Beside(name)));
                }
            },
            Err(barred) => self.barred.push((holder, barred)),
        }
    }
}
