//! The cuts that could be made now, over all panels in hand: those of one setting together.

use super::super::least::CutWay;
use super::cut::{CutSide, Fence};

/// A cut that could be made now.
#[derive(Debug, Clone, Copy)]
pub(super) struct NextCut {
    pub fence: Fence,
    /// The panel in hand, counted as they came to hand.
    pub panel: usize,
    /// Of that panel's slices the first that is so wide.
    pub slice: usize,
    /// How many slices are as wide.
    pub same: usize,
    pub way: CutWay,
    pub width: i64,
    /// Size of the panel.
    pub from: [i64; 2],
    pub held: CutSide,
    pub push_stick: bool,
    /// Whether the panel holds rips that this cut comes before.
    pub opens: bool,
}

impl NextCut {
    /// What they are in order of; no two have the same.
    fn place(&self) -> (Fence, usize, usize) {
        (self.fence, self.panel, self.slice)
    }
}

/// All of them, in the order of their settings, then of the panels.
#[derive(Debug, Default)]
pub(super) struct AtHand(Vec<NextCut>);

impl AtHand {
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn put(&mut self, cut: NextCut) {
        let at = self.0.partition_point(|other| other.place() < cut.place());
        self.0.insert(at, cut);
    }

    /// Takes out what is there of a panel.
    pub(super) fn clear(&mut self, panel: usize) {
        self.0.retain(|cut| cut.panel != panel);
    }

    /// The cuts of each setting.
    pub(super) fn by_fence(&self) -> impl Iterator<Item = &[NextCut]> {
        self.0.chunk_by(|one, other| one.fence == other.fence)
    }

    /// At one setting, long and heavy first.
    pub(super) fn heaviest(&self, fence: Fence) -> Option<NextCut> {
        let from = self.0.partition_point(|cut| cut.fence < fence);
        let there = self.0.iter().skip(from).take_while(|cut| cut.fence == fence);
        there.max_by_key(|cut| (cut.from, usize::MAX - cut.panel)).copied()
    }
}
