//! The wall's side: what all holders of a project bring to one stud, and what its screws bear.
//!
//! Where each holder will hang is not planned. So those are taken together that bring most: whole ones that fit side by
//! side within one stud spacing, two that meet at a stud, or one over it with others beside it; of what hangs off a stud
//! that gets the more the nearer it hangs, as on a beam from stud to stud. Each row of wall cleats has its own screws in each stud, so one row is looked at. What is
//! screwed straight to the studs has screws of its own, which its own checks compare.

mod demand;
mod fix;
mod hung_up;
mod pack;
mod say;

pub(crate) use demand::WallDemand;
use hung_up::HungUp;
pub(crate) use hung_up::StudScrews;
pub(crate) use say::{stud_note, unknown_apart};

use super::grounds::ScrewShare;
use crate::holder::{Finding, Holder, Model};
use crate::shop::Shop;
use pack::{SideBySide, fullest};

/// What all holders together bring to the wall.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallLoad {
    pub screws: StudScrews,
    /// The mass in kg on one stud that the wall cleats of the project are worked out for; `None` where it has none.
    pub planned: Option<f64>,
    /// What brings most at rest and, where that is something else, with knocks counted.
    pub cases: Vec<WallCase>,
    pub findings: Vec<Finding>,
}

/// Holders that bring most to one stud.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallCase {
    /// Their names.
    pub holders: Vec<String>,
    /// Whether they meet at the stud, and do not all fit within one spacing.
    pub meet: bool,
    /// What comes on the stud, in kg: at rest, and with knocks counted.
    pub still: f64,
    pub knocked: f64,
    /// What part of the strength of its screws that takes.
    pub share: f64,
    pub knocked_share: f64,
}

impl WallCase {
    /// What the screws bear of this, at rest, in kg.
    pub(crate) fn can(&self) -> f64 {
        self.still / self.share
    }
}

/// `None` where nothing hangs on wall cleats, and in masonry, whose plugs nothing here rates.
pub(crate) fn wall_load(holders: &[&Holder], shop: &Shop) -> Option<WallLoad> {
    let wall = Wall::of(holders, shop)?;
    let mut cases = vec![wall.case(&wall.heaviest(&wall.apart, |h| h.still))];
    let knocked = wall.case(&wall.heaviest(&wall.apart, |h| h.knocked));
    cases.extend((cases[0].holders != knocked.holders).then_some(knocked));
    let planned = holders.iter().filter_map(|holder| planned(holder, shop)).reduce(f64::min);
    let findings = say::findings(&wall, (holders, shop), &cases);
    Some(WallLoad { screws: wall.screws, planned, cases, findings })
}

/// The mass on each stud of each wall cleat that `holder` makes, in kg.
fn planned(holder: &Holder, shop: &Shop) -> Option<f64> {
    let makes = !holder.wall_cleats.is_empty();
    let mut carriers = holder.carriers.iter().filter(|_| makes);
    carriers.find_map(|carrier| match &carrier.model {
        Model::Screws { joints, mass, .. } => {
            let screws: usize = joints.iter().map(|joint| holder.screws[*joint].screws.len()).sum();
            Some(mass * shop.wall.screws as f64 / screws as f64)
        }
        _ => None,
    })
}

/// What hangs on the wall cleats of a project, in a shop.
struct Wall {
    spacing: f64,
    screws: StudScrews,
    /// In the order of their names.
    hung: Vec<HungUp>,
    /// The places of those that are kept a stud spacing apart.
    apart: Vec<usize>,
}

/// Of more holders than this only so many are put together, those that by themselves bring most near a stud: the ways to
/// put three together grow with the cube of their count.
const MOST_TOGETHER: usize = 80;

/// The place of a holder in [`Wall::hung`], and what part of it comes on the stud that is looked at.
type Bringing = (usize, f64);

impl Wall {
    fn of(holders: &[&Holder], shop: &Shop) -> Option<Self> {
        let screws = StudScrews::of(shop).ok().filter(|_| shop.wall.masonry.is_none())?;
        let hung: Vec<HungUp> =
            holders.iter().filter_map(|holder| HungUp::of(holder, shop)).collect();
        let is_apart = |index: &usize| shop.wall.apart.contains(&hung[*index].name);
        let apart = (0..hung.len()).filter(is_apart).collect();
        (!hung.is_empty()).then_some(Self { spacing: shop.wall.stud_spacing, screws, apart, hung })
    }

    /// What brings most to one stud where no two of those `apart` hang within one spacing.
    fn heaviest(&self, apart: &[usize], load: fn(&HungUp) -> ScrewShare) -> Vec<Bringing> {
        let free: Vec<usize> = (0..self.hung.len()).filter(|at| !apart.contains(at)).collect();
        let with_one = apart.iter().map(|one| [&free[..], &[*one]].concat());
        let ways = with_one.chain([free.clone()]).map(|mut of| {
            of.sort_unstable();
            self.worst(&of, load)
        });
        let worth = |way: &Vec<Bringing>| self.screws.taken(self.sum(way, load));
        ways.max_by(|a, b| worth(a).total_cmp(&worth(b))).unwrap_or_default()
    }

    /// What part of their strength the screws lose to what hangs so, knocks counted.
    fn knocked_share(&self, way: &[Bringing]) -> f64 {
        self.screws.taken(self.sum(way, |h| h.knocked))
    }

    /// What of some holders brings most to one stud, loaded as `load` says.
    fn worst(&self, of: &[usize], load: fn(&HungUp) -> ScrewShare) -> Vec<Bringing> {
        let worth = |way: &Vec<Bringing>| self.screws.taken(self.sum(way, load));
        let heavy = self.heavy(of, load);
        let ways = std::iter::once(self.side_by_side(of, load));
        let ways = ways.chain(self.meeting(&heavy)).chain(self.flanked(&heavy));
        // Of ways that bring as much, the first.
        let most = ways.reduce(|most, way| if worth(&way) > worth(&most) { way } else { most });
        most.unwrap_or_default()
    }

    /// Those of which two or three are put together, in their order: all, or of very many the heaviest and narrowest.
    fn heavy(&self, of: &[usize], load: fn(&HungUp) -> ScrewShare) -> Vec<usize> {
        let near = |at: &usize| {
            let hung = &self.hung[*at];
            let beside = (1.0 - hung.width / self.spacing).max(0.0);
            self.screws.taken(load(hung)) * (1.0 + beside)
        };
        let mut heavy = of.to_vec();
        heavy.sort_by(|one, other| near(other).total_cmp(&near(one)));
        heavy.truncate(MOST_TOGETHER);
        heavy.sort_unstable();
        heavy
    }

    /// The whole holders within one spacing that bring most.
    fn side_by_side(&self, of: &[usize], load: fn(&HungUp) -> ScrewShare) -> Vec<Bringing> {
        let item = |index: &usize| {
            let hung = &self.hung[*index];
            SideBySide { width: hung.width, worth: self.screws.taken(load(hung)) }
        };
        let items: Vec<SideBySide> = of.iter().map(item).collect();
        fullest(&items, self.spacing).into_iter().map(|picked| (of[picked], 1.0)).collect()
    }

    /// Any two that hang left and right of a stud: of a load x off it the stud gets 1 - x / spacing (statics).
    fn meeting<'w>(&'w self, of: &'w [usize]) -> impl Iterator<Item = Vec<Bringing>> + 'w {
        let part = |index: &usize| (*index, 1.0 - self.hung[*index].width / 2.0 / self.spacing);
        let others = |at: usize| of.iter().skip(at + 1);
        let pairs =
            of.iter().enumerate().flat_map(move |(at, one)| others(at).map(move |o| [one, o]));
        pairs.map(move |pair| pair.map(part).to_vec())
    }

    /// Any one over a stud with another on one side or on both: their middles are half of both widths off the stud.
    fn flanked<'w>(&'w self, of: &'w [usize]) -> impl Iterator<Item = Vec<Bringing>> + 'w {
        let beside = |middle: usize, other: usize| {
            let apart = (self.hung[middle].width + self.hung[other].width) / 2.0;
            (other, (1.0 - apart / self.spacing).max(0.0))
        };
        let others = |middle: usize| of.iter().copied().filter(move |other| *other != middle);
        of.iter().copied().flat_map(move |middle| {
            let sides = others(middle).flat_map(move |one| {
                let second = others(middle).filter(move |other| *other > one);
                std::iter::once(vec![one]).chain(second.map(move |other| vec![one, other]))
            });
            sides.map(move |sides| {
                let sides = sides.into_iter().map(|other| beside(middle, other));
                std::iter::once((middle, 1.0)).chain(sides).collect()
            })
        })
    }

    /// What some holders bring to each screw of the stud.
    fn sum(&self, way: &[Bringing], load: fn(&HungUp) -> ScrewShare) -> ScrewShare {
        way.iter().fold(ScrewShare::default(), |sum, (index, part)| {
            sum.plus(load(&self.hung[*index]).times(*part))
        })
    }

    fn case(&self, way: &[Bringing]) -> WallCase {
        let [still, knocked] = [self.sum(way, |h| h.still), self.sum(way, |h| h.knocked)];
        WallCase {
            holders: way.iter().map(|(index, _)| self.hung[*index].name.clone()).collect(),
            meet: way.iter().any(|(_, part)| *part < 1.0),
            still: self.screws.mass(still),
            knocked: self.screws.mass(knocked),
            share: self.screws.taken(still),
            knocked_share: self.knocked_share(way),
        }
    }
}
