//! A panel in hand, and the cuts that could be made on it.

use super::super::index::SheetIndex;
use super::super::least::CutWay;
use super::at_hand::{AtHand, NextCut};
use super::cut::{Area, CutSide, Fence, WorkName};
use super::limits::SawLimits;
use super::slab::Slab;

/// A panel in hand with slices still to be taken off.
pub(super) struct OpenPanel<'r, B> {
    /// Counted as they came to hand.
    pub number: usize,
    pub sheet: SheetIndex,
    pub name: WorkName,
    pub area: Area,
    pub way: CutWay,
    slices: Vec<OpenSlice<'r, B>>,
}

struct OpenSlice<'r, B> {
    slab: &'r Slab<B>,
    width: i64,
    has_rips: bool,
}

impl<'r, B> OpenPanel<'r, B> {
    pub(super) fn new(
        number: usize,
        (sheet, name, area): (SheetIndex, WorkName, Area),
        (way, slabs): (CutWay, &'r [Slab<B>]),
        limits: &SawLimits,
    ) -> Self {
        let slice = |slab: &'r Slab<B>| OpenSlice {
            slab,
            width: slab.size[way.axis()],
            has_rips: slab.has_rips(limits),
        };
        Self { number, sheet, name, area, way, slices: slabs.iter().map(slice).collect() }
    }

    /// Takes a slice off.
    pub(super) fn take(&mut self, at: usize) -> Option<&'r Slab<B>> {
        (at < self.slices.len()).then(|| self.slices.remove(at).slab)
    }

    /// Whether nothing is to be taken off any more.
    pub(super) fn is_sawn(&self) -> bool {
        self.slices.is_empty()
    }

    /// The only slice that is left, where it is just what stays, of `size`.
    pub(super) fn last_of(&self, size: [i64; 2]) -> Option<&'r Slab<B>> {
        match self.slices.as_slice() {
            [only] if only.slab.size == size => Some(only.slab),
            _ => None,
        }
    }

    /// Finds the cuts that could be made now, one for each width. `forced` when none is as it
    /// should be: then those too that are better put off.
    pub(super) fn look(&self, limits: &SawLimits, forced: bool, at_hand: &mut AtHand) {
        let opens = self.slices.iter().any(|slice| slice.has_rips);
        for (at, slice) in self.slices.iter().enumerate() {
            let width = slice.width;
            if self.slices.iter().take(at).any(|before| before.width == width) {
                continue;
            }
            let same = self.slices.iter().skip(at).filter(|other| other.width == width).count();
            let how = match self.way {
                CutWay::Along if limits.may_rip(self.area.size) => self.rip(limits, width, forced),
                _ => Some((self.crosscut(limits, width), CutSide::Slice, false)),
            };
            let Some((fence, held, push_stick)) = how else { continue };
            at_hand.put(NextCut {
                fence,
                panel: self.number,
                slice: at,
                same,
                way: self.way,
                width,
                from: self.area.size,
                held,
                push_stick,
                opens,
            });
        }
    }

    /// Held by the miter gauge.
    fn crosscut(&self, limits: &SawLimits, width: i64) -> Fence {
        let long = limits.is_too_long(self.area.size[1 - self.way.axis()]);
        if long { Fence::Straightedge } else { Fence::Stop(width) }
    }

    /// How a slice of `width` is ripped off, if it may be now.
    fn rip(&self, limits: &SawLimits, width: i64, forced: bool) -> Option<(Fence, CutSide, bool)> {
        let SawLimits { kerf, narrowest, widest, .. } = *limits;
        let rest = self.area.size[1] - width - kerf;
        let fits = |held: i64| widest.is_none_or(|widest| held <= widest);
        if width >= narrowest {
            // Enough must stay for the fence to hold while narrow strips come off.
            let narrow = self.slices.iter().map(|slice| slice.width).filter(|w| *w < narrowest);
            let narrow: i64 = narrow.map(|w| w + kerf).sum();
            if narrow > 0 && rest - narrow < narrowest && !forced {
                return None;
            }
            return Some(match (fits(width), fits(rest) && rest >= narrowest) {
                (true, _) => (Fence::Rip(width), CutSide::Slice, false),
                (false, true) => (Fence::Rip(rest), CutSide::Rest, false),
                (false, false) => (Fence::Straightedge, CutSide::Slice, false),
            });
        }
        if rest < narrowest {
            return Some((Fence::Rip(width), CutSide::Slice, true));
        }
        if fits(rest) {
            return Some((Fence::Narrow(width), CutSide::Rest, false));
        }
        forced.then_some((Fence::Straightedge, CutSide::Slice, false))
    }
}
