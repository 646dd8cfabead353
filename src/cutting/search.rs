//! The plan that is best to saw among those that cost least.

use std::cmp::Reverse;

use rayon::prelude::*;

use super::care::Care;
use super::cut::{Count, Name, Rules, What, count};
use super::least::Dice;
use super::left::is_kept;
use super::slab::{Fate, Slab};
use super::strip::{self, Taste};
use super::work::{Root, order};
use super::{Answer, Problem};
use crate::shop::SawRules;

/// What laying one piece comes to, and what ordering its cuts, in steps of a budget; as measured.
const STEPS_TO_LAY: u64 = 150;
const STEPS_TO_ORDER: u64 = 1350;

/// How many neighbours are tried in vain before a round ends.
const PATIENCE: u32 = 700;

/// How many rounds in vain end the search.
const ROUNDS: u32 = 60;

/// How far from the best a round that goes on from it begins, in neighbours.
const KICKS: usize = 3;

/// What the two searches begin their chance with.
const SEEDS: [u64; 2] = [7, 12];

/// How many tries back "a while ago" is.
const MEMORY: usize = 40;

/// Panels in use, each with its stock.
pub(super) type Panels = Vec<(usize, Slab)>;

/// What counts, the first most; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Merit {
    /// Area that no stock is left for.
    pub missing: i128,
    /// Of new stock.
    pub cost: i64,
    /// Cuts with less between fence and blade than hands should guide, or hardly anything for the
    /// mitre gauge to hold.
    pub narrow: usize,
    pub settings: Count,
    /// Offcuts worth keeping, by the sum of the squares of their areas: one large one counts for
    /// more than several small ones.
    pub kept: Reverse<i128>,
    /// Length sawn, in micrometres.
    pub sawn: i64,
}

impl Merit {
    const WORST: Self = Self {
        missing: i128::MAX,
        cost: i64::MAX,
        narrow: usize::MAX,
        settings: Count { rips: 0, stops: 0 },
        kept: Reverse(0),
        sawn: i64::MAX,
    };
}

/// What is asked of one stock.
pub(super) struct Question<'q> {
    pub problem: &'q Problem,
    /// Sizes that each item may be sawn at, the least first.
    pub sizes: &'q [Vec<[i64; 2]>],
    pub rules: &'q Rules,
    pub saw: &'q SawRules,
    pub is_dowel: bool,
}

impl Question<'_> {
    /// The panels of an answer that looks at waste alone.
    pub fn panels(&self, answer: &Answer) -> Panels {
        let mut panels = Panels::new();
        for layout in &answer.layouts {
            let Some(stock) = self.problem.stock.get(layout.stock) else { continue };
            let slab = Slab::from_panel(&layout.panel, stock.size, self.problem.kerf);
            panels.extend(std::iter::repeat_n((layout.stock, slab), layout.times));
        }
        panels
    }

    /// How good `panels` are.
    pub fn merit(&self, panels: &Panels) -> Merit {
        let settings = order(&roots(panels), self.rules, 1);
        let mut sawn = 0;
        let mut kept: i128 = 0;
        let cuts = || settings.iter().flat_map(|setting| &setting.cuts);
        for cut in cuts() {
            sawn += cut.area.size[1 - cut.way.axis()];
            let rest = cut.rest.filter(|rest| rest.what == What::Left).map(|rest| rest.area.size);
            if let Some(size) = rest.filter(|size| is_kept(*size, self.is_dowel, self.saw)) {
                // In square mm, so that squares do not run out of figures.
                let area = i128::from(size[0]) * i128::from(size[1]) / 1_000_000;
                kept += area * area;
            }
        }
        let cost = panels.iter().filter_map(|(stock, _)| self.problem.stock.get(*stock));
        Merit {
            missing: self.missing(panels),
            cost: cost.map(|stock| stock.cost).sum(),
            narrow: cuts().filter(|cut| cut.push_stick || cut.care == Some(Care::Backing)).count(),
            settings: count(&settings),
            kept: Reverse(kept),
            sawn,
        }
    }

    fn missing(&self, panels: &Panels) -> i128 {
        let unmet = unmet(self.problem, panels);
        let areas = self.problem.items.iter().zip(unmet).map(|(item, unmet)| {
            i128::from(item.size[0]) * i128::from(item.size[1]) * unmet as i128
        });
        areas.sum()
    }

    /// The best of `plain`, as it is, and of as many strip plans as `steps` last in each of two
    /// searches side by side, none of which takes more stock. The same steps give the same plan.
    pub fn best(&self, plain: Panels, steps: u64) -> Panels {
        let bounded = self.bounded(&plain);
        let given = (self.merit(&plain), plain);
        let searched = SEEDS.into_par_iter().map(|seed| {
            let dice = Dice::new(seed);
            self.searched(&bounded, given.clone(), dice, steps)
        });
        let found: Vec<(Merit, Panels)> = searched.collect();
        let first = found.into_iter().min_by_key(|(merit, _)| *merit);
        first.map_or(given.1, |(_, panels)| panels)
    }

    /// Rounds of small changes. Each goes on to what is no worse than what it had a while ago (Burke
    /// and Bykov's late acceptance), until it has long found nothing better; the next begins near
    /// the best so far, every fourth afresh.
    fn searched(
        &self,
        bounded: &Problem,
        given: (Merit, Panels),
        mut dice: Dice,
        mut steps: u64,
    ) -> (Merit, Panels) {
        let (as_given, most) = (given.0, given.0.missing);
        let mut best = given;
        let mut liked: Option<Taste> = None;
        let (mut round, mut idle) = (0_u64, 0);
        let pieces = self.problem.items.iter().map(|item| item.demand).sum::<usize>();
        while steps > 0 && pieces > 0 && (idle < ROUNDS || best.0 == as_given) {
            let start = best.0;
            let mut taste = match &liked {
                Some(liked) if round % 4 > 0 => {
                    (0..KICKS).fold(liked.clone(), |taste, _| self.near(&taste, &mut dice))
                }
                _ => self.taste(round, &mut dice),
            };
            let (mut now, panels) = self.try_out(bounded, &taste, most, &mut steps);
            if now < best.0 {
                best = (now, panels);
                liked = Some(taste.clone());
            }
            let mut before = [now; MEMORY];
            let (mut since, mut turn) = (0, 0);
            while since < PATIENCE && steps > 0 {
                turn += 1;
                let Some(late) = before.get_mut(turn % MEMORY) else { break };
                let near = self.near(&taste, &mut dice);
                let limit = now.max(*late);
                let (found, laid) = self.try_out(bounded, &near, most, &mut steps);
                since = if found < now { 0 } else { since + 1 };
                if found <= limit {
                    (now, taste) = (found, near);
                    if now < best.0 {
                        best = (now, laid);
                        liked = Some(taste.clone());
                    }
                }
                *late = now;
            }
            round += 1;
            idle = if best.0 < start { 0 } else { idle + 1 };
        }
        best
    }

    /// Lays out to a taste. Where that leaves out an area of more than `most`, the rest of its
    /// merit is not worked out.
    fn try_out(
        &self,
        bounded: &Problem,
        taste: &Taste,
        most: i128,
        steps: &mut u64,
    ) -> (Merit, Panels) {
        let pieces = bounded.items.iter().map(|item| item.demand as u64).sum::<u64>();
        let panels = strip::lay(bounded, taste);
        *steps = steps.saturating_sub(pieces * STEPS_TO_LAY);
        let missing = self.missing(&panels);
        if missing > most {
            return (Merit { missing, ..Merit::WORST }, panels);
        }
        *steps = steps.saturating_sub(pieces * STEPS_TO_ORDER);
        (self.merit(&panels), panels)
    }

    /// The problem with no more stock than `plain` takes, so that a plan never costs more.
    fn bounded(&self, plain: &Panels) -> Problem {
        let mut bounded = self.problem.clone();
        for (index, stock) in bounded.stock.iter_mut().enumerate().filter(|(_, s)| s.cost > 0) {
            stock.quantity = Some(plain.iter().filter(|(used, _)| *used == index).count());
        }
        bounded
    }

    /// A fresh taste; the first is plain: widest first.
    fn taste(&self, trial: u64, dice: &mut Dice) -> Taste {
        let one = |sizes: &Vec<[i64; 2]>| {
            let size = if trial.is_multiple_of(2) { sizes.get(1) } else { None };
            size.or(sizes.first()).copied().unwrap_or_default()
        };
        let sizes: Vec<[i64; 2]> = self.sizes.iter().map(one).collect();
        let noise = if trial < 2 { 0 } else { 1 + dice.below(60) };
        let mut order: Vec<(i64, i64, usize)> = sizes
            .iter()
            .enumerate()
            .map(|(item, [length, width])| {
                let factor = 100 + if noise > 0 { dice.below(noise) as i64 } else { 0 };
                (-width * factor, -length, item)
            })
            .collect();
        order.sort_unstable();
        let weights = [0, 1, 2, 4, 8, 16];
        let mut weight = || weights.get(dice.below(6)).copied().unwrap_or_default();
        Taste {
            order: order.into_iter().map(|(_, _, item)| item).collect(),
            sizes,
            beside: weight(),
            strip: weight(),
            new_width: weight(),
            wider: weight(),
            again: weight(),
        }
    }

    /// A taste a little off another.
    fn near(&self, taste: &Taste, dice: &mut Dice) -> Taste {
        let mut near = taste.clone();
        let items = near.order.len();
        for _ in 0..=dice.below(3) {
            let weight = dice.below(16) as i64;
            match dice.below(12) {
                0 => near.strip = weight,
                1 => near.wider = weight,
                2 => near.beside = weight,
                3 => near.again = weight,
                4 => near.new_width = weight,
                5 | 6 => {
                    let item = dice.below(items);
                    let sizes = self.sizes.get(item).map(Vec::as_slice).unwrap_or_default();
                    let other = sizes.get(dice.below(sizes.len()));
                    if let (Some(size), Some(other)) = (near.sizes.get_mut(item), other) {
                        *size = *other;
                    }
                }
                _ if items > 1 => {
                    let from = dice.below(items);
                    let item = near.order.remove(from);
                    near.order.insert(dice.below(items), item);
                }
                _ => {}
            }
        }
        near
    }
}

/// Panels as the order of work begins with them, numbered as they come.
pub(super) fn roots(panels: &Panels) -> Vec<Root> {
    let root = |(sheet, (_, slab)): (usize, &(usize, Slab))| Root {
        sheet,
        name: Name::Sheet(sheet),
        at: [0, 0],
        slab: slab.clone(),
    };
    panels.iter().enumerate().map(root).collect()
}

/// How many pieces of each item are on none of `panels`.
pub(super) fn unmet(problem: &Problem, panels: &Panels) -> Vec<usize> {
    let mut left: Vec<usize> = problem.items.iter().map(|item| item.demand).collect();
    for (_, slab) in panels {
        slab.each_item(&mut |item| {
            if let Some(count) = left.get_mut(item) {
                *count = count.saturating_sub(1);
            }
        });
    }
    left
}

/// Share of a panel that becomes pieces.
pub(super) fn filling(slab: &Slab) -> f64 {
    fn area(slab: &Slab) -> f64 {
        match slab.fate {
            Fate::Piece { .. } => slab.size[0] as f64 * slab.size[1] as f64,
            Fate::Left | Fate::Sliced { .. } => slab.slices().iter().map(area).sum(),
        }
    }
    area(slab) / (slab.size[0] as f64 * slab.size[1] as f64)
}
