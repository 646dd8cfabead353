//! The plan that is best to saw among those that cost least.

use std::cmp::Reverse;

use super::left::is_kept;
use super::slab::{Fate, Slab};
use super::strip::{self, Taste};
use super::work::{Count, Name, Root, Rules, What, count, order};
use super::{Answer, Problem};
use crate::shop::SawRules;

/// How much larger than it must be a shaped blank may become so as to share a width or a stop, in
/// micrometres: 1/2 in. Common practice, no source.
const SNAP: i64 = 12_700;

/// What laying one piece and ordering its cuts comes to, in steps of a budget; as measured.
const STEPS_A_PIECE: u64 = 1000;

/// Panels in use, each with its stock.
pub(super) type Panels = Vec<(usize, Slab)>;

/// What counts, the first most; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Merit {
    /// Area that no stock is left for.
    pub missing: i128,
    /// Of new stock.
    pub cost: i64,
    pub settings: Count,
    /// Offcuts worth keeping, by the sum of the squares of their areas: one large one counts for
    /// more than several small ones.
    pub kept: Reverse<i128>,
    /// Length sawn, in micrometres.
    pub sawn: i64,
}

/// What is asked of one stock.
pub(super) struct Question<'q> {
    pub problem: &'q Problem,
    /// Which sizes of each item may grow.
    pub shaped: &'q [[bool; 2]],
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
        for cut in settings.iter().flat_map(|setting| &setting.cuts) {
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

    /// The best of `plain`, as it is, and of as many strip plans as `steps` last. The same steps give the same plan.
    pub fn best(&self, plain: Panels, steps: u64) -> Panels {
        let mut merit = self.merit(&plain);
        let mut best = plain;
        let pieces: usize = self.problem.items.iter().map(|item| item.demand).sum();
        let trials = steps / (pieces.max(1) as u64 * STEPS_A_PIECE);
        let grown = self.grown();
        let mut luck = Luck(0x9e37_79b9_7f4a_7c15);
        let mut kept: Option<(Merit, Taste)> = None;
        for trial in 0..trials.max(1) {
            let taste = match (&kept, trial % 4) {
                (Some((_, taste)), 1..) => self.near(taste, &mut luck),
                _ => self.taste(trial, &grown, &mut luck),
            };
            let panels = strip::lay(self.problem, &taste);
            let found = self.merit(&panels);
            if kept.as_ref().is_none_or(|(merit, _)| found <= *merit) {
                kept = Some((found, taste));
            }
            if found < merit {
                (merit, best) = (found, panels);
            }
        }
        best
    }

    /// A fresh taste; the first is plain: widest first.
    fn taste(&self, trial: u64, grown: &[[i64; 2]], luck: &mut Luck) -> Taste {
        let own: Vec<[i64; 2]> = self.problem.items.iter().map(|item| item.size).collect();
        let sizes = if trial.is_multiple_of(2) { grown.to_vec() } else { own };
        let noise = if trial < 2 { 0 } else { 1 + luck.below(60) as i64 };
        let mut order: Vec<(i64, i64, usize)> = sizes
            .iter()
            .enumerate()
            .map(|(item, [length, width])| {
                let factor = 100 + if noise > 0 { luck.below(noise as u64) as i64 } else { 0 };
                (-width * factor, -length, item)
            })
            .collect();
        order.sort_unstable();
        let weights = [0, 1, 2, 4, 8, 16];
        let mut weight = || weights.get(luck.below(6) as usize).copied().unwrap_or_default();
        Taste {
            order: order.into_iter().map(|(_, _, item)| item).collect(),
            sizes,
            beside: weight(),
            strip: weight(),
            new_width: weight(),
            wider: weight(),
        }
    }

    /// A taste a little off another.
    fn near(&self, taste: &Taste, luck: &mut Luck) -> Taste {
        let mut near = taste.clone();
        for _ in 0..=luck.below(3) {
            let items = near.order.len() as u64;
            match luck.below(4) {
                0 => near.strip = luck.below(16) as i64,
                1 => near.wider = luck.below(16) as i64,
                _ if items > 1 => {
                    let from = luck.below(items) as usize;
                    let to = luck.below(items) as usize;
                    let item = near.order.remove(from);
                    near.order.insert(to, item);
                }
                _ => near.beside = luck.below(16) as i64,
            }
        }
        near
    }

    /// Sizes with shaped blanks grown to the next size that must be sawn anyway.
    fn grown(&self) -> Vec<[i64; 2]> {
        let fixed = |axis: usize| -> Vec<i64> {
            let all = self.problem.items.iter().zip(self.shaped);
            all.filter(|(_, shaped)| !shaped[axis]).map(|(item, _)| item.size[axis]).collect()
        };
        let targets = [fixed(0), fixed(1)];
        let grow = |size: i64, targets: &[i64]| {
            let near = targets.iter().filter(|t| (size..=size + SNAP).contains(*t));
            near.min().copied().unwrap_or(size)
        };
        let fits = |size: [i64; 2]| {
            self.problem.stock.iter().any(|s| size[0] <= s.size[0] && size[1] <= s.size[1])
        };
        let items = self.problem.items.iter().zip(self.shaped);
        items
            .map(|(item, shaped)| {
                let [length, width] = item.size;
                let size = [
                    if shaped[0] { grow(length, &targets[0]) } else { length },
                    if shaped[1] { grow(width, &targets[1]) } else { width },
                ];
                if fits(size) { size } else { item.size }
            })
            .collect()
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

/// Numbers without a pattern, the same on every run (Steele, Lea and Flood's SplitMix64).
struct Luck(u64);

impl Luck {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (z ^ (z >> 31)) % limit.max(1)
    }
}
