//! How much is still to be cut.

use super::super::least::CutWay;
use super::slab::{Fate, Slab};

/// How many slices of each way and width are still to be cut, in the order of these.
#[derive(Debug)]
pub(super) struct ToCome(Vec<((CutWay, i64), usize)>);

impl ToCome {
    pub(super) fn of<'s, B: 's>(slabs: impl Iterator<Item = &'s Slab<B>>) -> Self {
        let mut all = Vec::new();
        slabs.for_each(|slab| gather(slab, &mut all));
        all.sort_unstable();
        let alike = all.chunk_by(|one, other| one == other);
        Self(alike.filter_map(|alike| Some((*alike.first()?, alike.len()))).collect())
    }

    pub(super) fn count(&self, way: CutWay, width: i64) -> usize {
        let found = self.0.binary_search_by_key(&(way, width), |(of, _)| *of);
        found.ok().and_then(|at| self.0.get(at)).map_or(0, |(_, count)| *count)
    }

    pub(super) fn one_less(&mut self, way: CutWay, width: i64) {
        let found = self.0.binary_search_by_key(&(way, width), |(of, _)| *of);
        if let Some((_, count)) = found.ok().and_then(|at| self.0.get_mut(at)) {
            *count = count.saturating_sub(1);
        }
    }
}

fn gather<B>(slab: &Slab<B>, all: &mut Vec<(CutWay, i64)>) {
    if let Fate::Sliced { way, slices } = &slab.fate {
        for slice in slices {
            all.push((*way, slice.size[way.axis()]));
            gather(slice, all);
        }
    }
}
