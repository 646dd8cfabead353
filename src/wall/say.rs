//! What is said of the plan.

use super::asked::WallObstacle;
use super::board::WallState;
use super::fix::Mended;
use super::hands::{HandsOn, Hard, SITTING_REACH};
use super::hanger::Hanger;
use super::lifting::CARRIED_AT;
use super::planner::{KeptSpots, Planner};
use super::spots::{Barred, Spot};
use crate::holder::Finding;
use crate::length::{STANDARD_GRAVITY, listed};

/// Whatever is wrong with places, the worst first.
pub(super) fn findings(
    planner: &Planner<'_>,
    board: &WallState<'_>,
    kept: &KeptSpots,
    mended: Option<&Mended>,
) -> Vec<Finding> {
    let telling = Telling { planner, board };
    let mut found: Vec<Finding> =
        kept.barred.iter().map(|(holder, barred)| telling.barred(*holder, barred)).collect();
    found.extend(telling.left_over(mended));
    found.extend(telling.overloaded());
    let hung = board.at.iter().enumerate().filter_map(|(holder, spot)| Some((holder, (*spot)?)));
    for (holder, spot) in hung {
        found.extend(telling.off_stud(holder, &spot));
        found.extend(telling.hard(holder, &spot));
    }
    found.sort_by_key(|finding| finding.level);
    found
}

struct Telling<'t> {
    planner: &'t Planner<'t>,
    board: &'t WallState<'t>,
}

impl Telling<'_> {
    fn hanger(&self, holder: usize) -> &Hanger {
        &self.planner.job.hangers[holder]
    }

    fn length(&self, mm: f64) -> String {
        self.planner.job.shop.units.length(mm)
    }

    fn mass(&self, kg: f64) -> String {
        self.planner.job.shop.units.mass(kg)
    }

    /// The height of the row that a place is on, and its left end.
    fn place(&self, spot: &Spot) -> String {
        let site = &self.planner.sites[spot.wall];
        let on = match site.space.name.as_str() {
            "" => String::new(),
            name => format!("on {name}, "),
        };
        let left = self.length(spot.taken.x0);
        match spot.row {
            Some(row) => {
                format!(
                    "{on}on the row at {}, left end at {left}",
                    self.length(site.rows[row].height)
                )
            }
            None => format!("{on}its foot at {}, left end at {left}", self.length(spot.origin.y)),
        }
    }

    /// A pinned or built holder that can't hang where it is to.
    fn barred(&self, holder: usize, barred: &Barred) -> Finding {
        let name = &self.hanger(holder).name;
        let why = self.bars(barred);
        let fix = match &self.board.at[holder] {
            Some(spot) => format!(
                " Fix: hang it {}, as the plan has it, and pin it there or delete the pin.",
                self.place(spot)
            ),
            None => " No other place is free: delete the pin, or one of its neighbors.".to_owned(),
        };
        Finding::stop(
            "pinned-in-the-way",
            format!("{name} can't hang where it is pinned: {why}.{fix}"),
        )
    }

    fn bars(&self, barred: &Barred) -> String {
        let beside = self.length(self.planner.terms.room.beside);
        match barred {
            Barred::OffTheWall(by) => {
                format!("it would reach {} past the wall's edge", self.length(*by))
            }
            Barred::Over(WallObstacle { name, area }) => {
                let [left, right, low, high] =
                    [area.x0, area.x1, area.y0, area.y1].map(|v| self.length(v));
                format!(
                    "{name:?} is there, {left} to {right} from the left and {low} to {high} up, and {beside} round it are kept"
                )
            }
            Barred::NoCleat => "no wall cleat on studs runs there".to_owned(),
            Barred::BetweenRows => "wall cleats above or below are in its way".to_owned(),
            Barred::NoStuds => "its screws would miss the studs".to_owned(),
            Barred::Beside(other) => format!("{other} hangs there, or nearer than {beside}"),
        }
    }

    fn left_over(&self, mended: Option<&Mended>) -> Option<Finding> {
        let job = self.planner.job;
        let left = job.hangers.iter().zip(&self.board.at).filter(|(_, spot)| spot.is_none());
        let left: Vec<&Hanger> = left.map(|(hanger, _)| hanger).collect();
        let told = |hanger: &&Hanger| {
            let [wide, high] =
                [hanger.taken.width(), hanger.taken.height()].map(|v| self.length(v));
            format!("{} ({wide} wide and {high} high with its tools)", hanger.name)
        };
        let names: Vec<String> = left.iter().map(told).collect();
        let fix = match mended {
            Some(mended) => {
                format!("Fix: {}; then all hang.", mended.words(job.asked, job.shop.units))
            }
            None => "No change that was tried is enough: hang fewer tools there, or add a wall."
                .to_owned(),
        };
        let (count, all) = (left.len(), job.hangers.len());
        let message = format!("{count} of {all} holders have no place: {}. {fix}", listed(&names));
        (count > 0).then(|| Finding::warn("no-place", message))
    }

    /// Studs whose screws are asked too much.
    fn overloaded(&self) -> Vec<Finding> {
        let sites = self.planner.sites.iter().enumerate();
        let over = sites.flat_map(|(wall, site)| {
            let rows = site.rows.iter().enumerate();
            rows.flat_map(move |(row, site_row)| {
                let runs = site_row.runs.iter().enumerate();
                runs.flat_map(move |(run, held)| {
                    (0..held.studs.len()).map(move |stud| (wall, (row, run, stud)))
                })
            })
        });
        over.filter_map(|(wall, place)| self.overload(wall, place)).collect()
    }

    fn overload(&self, wall: usize, (row, run, stud): (usize, usize, usize)) -> Option<Finding> {
        let (share, still) = self.board.shares(wall, (row, run, stud))?;
        if share <= 1.0 {
            return None;
        }
        let site = &self.planner.sites[wall];
        let who = self.board.borne_there(wall, (row, run, stud));
        let (names, loads): (Vec<String>, Vec<f64>) =
            who.map(|(holder, load)| (self.hanger(holder).name.clone(), load)).unzip();
        let kg = loads.iter().sum::<f64>() / STANDARD_GRAVITY;
        let [at, height] =
            [site.rows[row].runs[run].studs[stud], site.rows[row].height].map(|v| self.length(v));
        let percent = (share * 100.0).ceil();
        let message = format!(
            "{} from {} on the stud at {at}, row at {height}: {percent} % of what its screws hold, knocks counted. \
             Fix: add the row that takes some of them, or write screws = 2 or a thicker screw under [wall] in \
             shop.toml. An estimate, not a rating.",
            self.mass(kg),
            listed(&names)
        );
        Some(match still > 1.0 {
            true => Finding::stop("stud-overloaded", message),
            false => Finding::warn("stud-overloaded", message),
        })
    }

    /// A heavy holder that the wall cleat bears over a stud alone, and that is not over one.
    fn off_stud(&self, holder: usize, spot: &Spot) -> Option<Finding> {
        let hanger = self.hanger(holder);
        let places = self.planner.places();
        if !hanger.over_stud || places.is_over_a_stud(hanger, spot) {
            return None;
        }
        let middle = spot.origin.x + hanger.middle();
        let studs = &self.planner.sites[spot.wall].space.studs;
        let off = studs.iter().map(|stud| (stud - middle).abs()).fold(f64::INFINITY, f64::min);
        let over =
            self.board.spots_of(holder).iter().find(|spot| places.is_over_a_stud(hanger, spot));
        let fix = match over {
            Some(spot) => {
                format!("hang it {}, over a stud, and something else elsewhere", self.place(spot))
            }
            None => "screw a board across two studs behind the row there, or set a stud".to_owned(),
        };
        let message = format!(
            "{} weighs {} and its middle is {} off the nearest stud, where the wall cleat alone does not bear it. \
             Fix: {fix}.",
            hanger.name,
            self.mass(hanger.mass),
            self.length(off)
        );
        Some(Finding::stop("off-the-stud", message))
    }

    /// Tools that are hard to take down there.
    fn hard(&self, holder: usize, spot: &Spot) -> Option<Finding> {
        let (hanger, terms) = (self.hanger(holder), self.planner.terms);
        let mut grasps = hanger.grasps.iter();
        let hard =
            grasps.find_map(|grasp| grasp.hard(spot.origin.y, terms.person, terms.shared))?;
        let good = self.board.spots_of(holder).iter().find(|spot| spot.findings == 0);
        let fix = match good {
            Some(spot) => format!(
                "it would do {}: pin it there and let something else hang here",
                self.place(spot)
            ),
            None => "no row that is there would do: add one, or store it on a shelf below".into(),
        };
        let message = format!("{}: {}. Fix: {fix}.", hanger.name, self.why(hard));
        Some(Finding::warn("hard-to-take", message))
    }

    fn why(&self, hard: Hard) -> String {
        match hard {
            Hard::TooHigh { at, reach } => {
                let [at, reach] = [at, reach].map(|v| self.length(v));
                format!("a tool is lifted out to {at}, and a hand reaches {reach}")
            }
            Hard::NotSitting { at } => {
                let [low, high, at] =
                    [SITTING_REACH[0], SITTING_REACH[1], at].map(|v| self.length(v));
                format!(
                    "a tool is taken at {at}, and people who sit reach {low} to {high} (2010 ADA Standards 308)"
                )
            }
            Hard::TooHeavy { at, mass, most, hands } => {
                let [mass, most] = [mass, most].map(|v| self.mass(v));
                let (hands, source) = self.by(hands);
                format!(
                    "a tool of {mass} is taken with {hands} at {}, where {most} is advised ({source})",
                    self.length(at)
                )
            }
        }
    }

    /// What a tool is taken with, and where that is judged by.
    fn by(&self, hands: HandsOn) -> (&'static str, String) {
        let carried = self.length(CARRIED_AT);
        match hands {
            HandsOn::Both => (
                "both hands",
                format!("NIOSH lifting equation, now and then, carried at {carried}"),
            ),
            HandsOn::One | HandsOn::Into => {
                ("one hand", "HSE INDG143 times 0.6 for one hand".to_owned())
            }
        }
    }
}
