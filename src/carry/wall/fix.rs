//! What mends too much on one stud: only what was tried is told.

use super::super::assess::check;
use super::Wall;
use crate::holder::{Holder, Model};
use crate::length::{KG_PER_POUND, Units};
use crate::shop::{AskedScrew, Shop, SizedScrew};

/// More screws than this side by side split a stud. Common practice, no source.
const MOST_IN_STUD: usize = 2;

/// So many sizes thicker or longer are tried.
const STEPS: usize = 2;

/// More holders than this nobody keeps apart.
const MOST_APART: usize = 6;

/// Other screws of the wall cleats.
#[derive(Clone, Copy)]
struct OtherScrews {
    count: usize,
    sized: SizedScrew,
    /// How many sizes they are off the shop's.
    steps: usize,
}

/// The least change of the screws that bears all, knocks counted, as it stands in the shop file.
pub(super) fn screws(holders: &[&Holder], shop: &Shop) -> Option<String> {
    let bears = |other: &OtherScrews| {
        let shop = other.in_shop(shop.clone());
        let wall = Wall::of(holders, &shop);
        wall.is_some_and(|wall| {
            wall.knocked_share(&wall.heaviest(&wall.apart, |h| h.knocked)) <= 1.0
        })
    };
    let mut others = others(shop);
    others.sort_by_key(|other| other.steps);
    others.into_iter().find(bears).map(|other| other.words(shop))
}

fn others(shop: &Shop) -> Vec<OtherScrews> {
    let wall = &shop.wall;
    let counts = wall.screws..=MOST_IN_STUD.max(wall.screws);
    let thicker =
        || std::iter::successors(Some(wall.screw), |screw| screw.thicker()).take(STEPS + 1);
    let longer = wall.screw.lengths().into_iter().filter(|length| *length > wall.screw_length);
    let lengths: Vec<f64> = std::iter::once(wall.screw_length).chain(longer.take(STEPS)).collect();
    let mut others = Vec::new();
    for count in counts {
        for (thicker, screw) in thicker().enumerate() {
            for (longer, length) in lengths.iter().copied().enumerate() {
                let steps = count - wall.screws + thicker + longer;
                others.push(OtherScrews { count, sized: SizedScrew { screw, length }, steps });
            }
        }
    }
    others
}

impl OtherScrews {
    fn in_shop(&self, mut shop: Shop) -> Shop {
        shop.wall.screws = self.count;
        shop.wall.screw = self.sized.screw;
        shop.wall.screw_length = self.sized.length;
        shop
    }

    fn words(&self, shop: &Shop) -> String {
        let (wall, SizedScrew { screw, length }) = (&shop.wall, self.sized);
        let sized = AskedScrew { screw, length: Some(length) };
        let other = screw != wall.screw || length != wall.screw_length;
        let screw = other.then(|| format!("screw = \"{sized}\""));
        let count = (self.count != wall.screws).then(|| format!("screws = {}", self.count));
        let said: Vec<String> = count.into_iter().chain(screw).collect();
        format!("{} under [wall] in shop.toml", said.join(" and "))
    }
}

/// Holders of which no two may hang within one spacing, so that the stud bears what is left, knocks counted; with those
/// that are kept apart already.
pub(super) fn apart(wall: &Wall) -> Option<Vec<String>> {
    let mut apart = wall.apart.clone();
    loop {
        let heaviest = wall.heaviest(&apart, |h| h.knocked);
        if wall.knocked_share(&heaviest) <= 1.0 {
            return Some(apart.into_iter().map(|index| wall.hung[index].name.clone()).collect());
        }
        apart.extend(heaviest.iter().map(|(index, _)| *index));
        apart.sort_unstable();
        apart.dedup();
        if heaviest.len() < 2 || apart.len() > MOST_APART {
            return None;
        }
    }
}

/// The whole pounds or kilograms that the wall cleats of `maker` are to be worked out for so that `least` kg are within,
/// in kg; `None` where their screws do not bear that.
pub(super) fn planned(maker: &Holder, shop: &Shop, (now, least): (f64, f64)) -> Option<f64> {
    let one = if maker.units == Units::Inches { KG_PER_POUND } else { 1.0 };
    let mass = (least / one).ceil() * one;
    let mut maker = maker.clone();
    for carrier in &mut maker.carriers {
        if let Model::Screws { mass: counted, .. } = &mut carrier.model {
            *counted *= mass / now;
        }
    }
    let checked = check(&maker, shop);
    let bears =
        checked.failed.is_empty() && checked.checks.iter().all(|check| check.ratio() <= 1.0);
    bears.then_some(mass)
}
