//! How a trial lays its pieces: what it lays first, at which size, and what it counts against a
//! place; and how the cuts are then put in order.

use super::super::least::ItemIndex;
use super::super::work::DispatchRule;
use crate::random::Rng;

/// What a trial prefers.
#[derive(Debug, Clone)]
pub(super) struct Strategy {
    /// Items in the order they are laid.
    pub order: Vec<ItemIndex>,
    /// Size of each item as it is laid: a shaped blank may be larger than it must be.
    pub sizes: Vec<[i64; 2]>,
    pub weights: Weights,
    pub rule: DispatchRule,
}

/// What counts against a place for a piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Weights {
    /// Beside a piece of the same length.
    pub beside: i64,
    /// A further strip.
    pub strip: i64,
    /// A width not yet ripped.
    pub new_width: i64,
    /// The end of a wider strip.
    pub wider: i64,
    /// A crosscut after the last rip.
    pub again: i64,
}

impl Weights {
    fn random(rng: &mut Rng) -> Self {
        let weights = [0, 1, 2, 4, 8, 16];
        let mut weight = || weights.get(rng.below(6)).copied().unwrap_or_default();
        Self {
            beside: weight(),
            strip: weight(),
            new_width: weight(),
            wider: weight(),
            again: weight(),
        }
    }
}

impl Strategy {
    /// A fresh one for a `trial`; the first is plain: widest first. `sizes` are those that each item
    /// may be sawn at, the least first.
    pub(super) fn random(sizes: &[Vec<[i64; 2]>], trial: u64, rng: &mut Rng) -> Self {
        let one = |sizes: &Vec<[i64; 2]>| {
            let size = if trial.is_multiple_of(2) { sizes.get(1) } else { None };
            size.or(sizes.first()).copied().unwrap_or_default()
        };
        let sizes: Vec<[i64; 2]> = sizes.iter().map(one).collect();
        let noise = if trial < 2 { 0 } else { 1 + rng.below(60) };
        let order = widest_first(&sizes, noise, rng);
        Self { order, sizes, weights: Weights::random(rng), rule: rule(rng) }
    }

    /// One a little off this.
    pub(super) fn neighbor(&self, sizes: &[Vec<[i64; 2]>], rng: &mut Rng) -> Self {
        let mut near = self.clone();
        for _ in 0..=rng.below(3) {
            near.change(sizes, rng);
        }
        near
    }

    fn change(&mut self, sizes: &[Vec<[i64; 2]>], rng: &mut Rng) {
        let items = self.order.len();
        let weight = rng.below(16) as i64;
        match rng.below(13) {
            0 => self.weights.strip = weight,
            1 => self.weights.wider = weight,
            2 => self.weights.beside = weight,
            3 => self.weights.again = weight,
            4 => self.weights.new_width = weight,
            12 => self.rule = rule(rng),
            5 | 6 => self.resize(ItemIndex(rng.below(items)), sizes, rng),
            _ if items > 1 => {
                let item = self.order.remove(rng.below(items));
                self.order.insert(rng.below(items), item);
            }
            _ => {}
        }
    }

    /// Gives an item another of its sizes.
    fn resize(&mut self, item: ItemIndex, sizes: &[Vec<[i64; 2]>], rng: &mut Rng) {
        let sizes = item.of(sizes).map(Vec::as_slice).unwrap_or_default();
        let other = sizes.get(rng.below(sizes.len()));
        if let (Some(size), Some(other)) = (self.sizes.get_mut(item.0), other) {
            *size = *other;
        }
    }
}

fn rule(rng: &mut Rng) -> DispatchRule {
    let [first, ..] = DispatchRule::ALL;
    DispatchRule::ALL.get(rng.below(3)).copied().unwrap_or(first)
}

/// The items by their widths, each up to `noise` per cent off.
fn widest_first(sizes: &[[i64; 2]], noise: usize, rng: &mut Rng) -> Vec<ItemIndex> {
    let mut order: Vec<(i64, i64, usize)> = sizes
        .iter()
        .enumerate()
        .map(|(item, [length, width])| {
            let factor = 100 + if noise > 0 { rng.below(noise) as i64 } else { 0 };
            (-width * factor, -length, item)
        })
        .collect();
    order.sort_unstable();
    order.into_iter().map(|(_, _, item)| ItemIndex(item)).collect()
}
