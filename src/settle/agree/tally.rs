//! How many different cuts there are over several holders.

use std::collections::{BTreeMap, BTreeSet};

use super::sizes::{CutSize, Size, Sizes};

/// The cuts of some holders, each with how often it stands there.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    cuts: BTreeMap<CutSize, usize>,
    /// Whether they are lengths or widths left aside: a fence set for one serves the other.
    sizes: BTreeMap<Size, usize>,
}

impl Tally {
    pub(super) fn of<'s>(all: impl IntoIterator<Item = &'s Sizes>) -> Self {
        let mut tally = Self::default();
        all.into_iter().for_each(|sizes| tally.add(sizes));
        tally
    }

    pub(super) fn add(&mut self, sizes: &Sizes) {
        for cut in sizes.cuts() {
            *self.cuts.entry(cut).or_default() += 1;
            *self.sizes.entry(cut.size()).or_default() += 1;
        }
    }

    pub(super) fn remove(&mut self, sizes: &Sizes) {
        for cut in sizes.cuts() {
            one_less(&mut self.cuts, cut);
            one_less(&mut self.sizes, cut.size());
        }
    }

    /// How many different ones there are: widths, lengths, and sizes of either.
    pub(super) fn different(&self) -> usize {
        self.cuts.len() + self.sizes.len()
    }

    /// The same with some cuts more.
    pub(super) fn different_with(&self, cuts: impl IntoIterator<Item = CutSize>) -> usize {
        let new: BTreeSet<CutSize> =
            cuts.into_iter().filter(|cut| !self.cuts.contains_key(cut)).collect();
        let sizes = new.iter().map(|cut| cut.size());
        let sizes: BTreeSet<Size> = sizes.filter(|size| !self.sizes.contains_key(size)).collect();
        self.different() + new.len() + sizes.len()
    }

    /// How often a cut stands there.
    pub(super) fn count(&self, cut: CutSize) -> usize {
        self.cuts.get(&cut).copied().unwrap_or(0)
    }

    /// The sizes from one to another, both included.
    pub(super) fn sizes(&self, from: Size, to: Size) -> impl Iterator<Item = Size> {
        self.sizes.range(from..=to.max(from)).map(|(size, _)| *size)
    }
}

fn one_less<K: Ord>(counts: &mut BTreeMap<K, usize>, key: K) {
    let left = counts.get(&key).map_or(0, |count| count - 1);
    if left == 0 {
        counts.remove(&key);
    } else {
        counts.insert(key, left);
    }
}
