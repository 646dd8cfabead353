//! A panel with the cuts of one way taken together. Their order is free: that is what an order of
//! work can make use of.

use super::super::least::{CutWay, ItemIndex, Panel};
use super::limits::SawLimits;

/// A panel of `size` and what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct Slab<B = ItemIndex> {
    pub size: [i64; 2],
    pub fate: Fate<B>,
}

/// What becomes of a panel.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) enum Fate<B = ItemIndex> {
    /// A blank of this kind.
    Blank { blank: B, turned: bool },
    /// What becomes no blank.
    Remainder,
    /// Sliced right across, each slice followed by a kerf; what remains is left over.
    Sliced { way: CutWay, slices: Vec<Slab<B>> },
}

impl<B> Slab<B> {
    pub(crate) fn blank(size: [i64; 2], blank: B, turned: bool) -> Self {
        Self { size, fate: Fate::Blank { blank, turned } }
    }

    /// A panel of `size` in slices; itself the slice where there is one as large.
    pub(crate) fn sliced(size: [i64; 2], way: CutWay, mut slices: Vec<Self>) -> Self {
        slices.retain(|slice| !matches!(slice.fate, Fate::Remainder));
        match slices.pop() {
            None => Self { size, fate: Fate::Remainder },
            Some(only) if slices.is_empty() && only.size == size => only,
            Some(last) => {
                slices.push(last);
                Self { size, fate: Fate::Sliced { way, slices } }
            }
        }
    }

    /// The slices, none where it is not sliced.
    pub(crate) fn slices(&self) -> &[Self] {
        match &self.fate {
            Fate::Sliced { slices, .. } => slices,
            Fate::Blank { .. } | Fate::Remainder => &[],
        }
    }

    /// Whether it is still to be ripped along the fence, or something in it is.
    pub(crate) fn has_rips(&self, limits: &SawLimits) -> bool {
        let along = matches!(self.fate, Fate::Sliced { way: CutWay::Along, .. });
        let here = along && limits.may_rip(self.size);
        here || self.slices().iter().any(|slice| slice.has_rips(limits))
    }

    /// The same with other names for its blanks.
    pub(crate) fn renamed<C>(&self, rename: &impl Fn(&B) -> C) -> Slab<C> {
        let fate = match &self.fate {
            Fate::Blank { blank, turned } => Fate::Blank { blank: rename(blank), turned: *turned },
            Fate::Remainder => Fate::Remainder,
            Fate::Sliced { way, slices } => Fate::Sliced {
                way: *way,
                slices: slices.iter().map(|slice| slice.renamed(rename)).collect(),
            },
        };
        Slab { size: self.size, fate }
    }
}

impl Slab {
    /// What `panel`, of this size, comes to.
    pub(crate) fn from_panel(panel: &Panel, size: [i64; 2], kerf: i64) -> Self {
        match panel {
            Panel::Piece { item, turned } => Self::blank(size, *item, *turned),
            Panel::Remainder => Self { size, fate: Fate::Remainder },
            Panel::Sawn { way, .. } => {
                let mut slices = Vec::new();
                gather(panel, size, *way, kerf, &mut slices);
                Self::sliced(size, *way, slices)
            }
        }
    }

    /// Calls `visit` with the item of every blank.
    pub(crate) fn each_item(&self, visit: &mut impl FnMut(ItemIndex)) {
        if let Fate::Blank { blank, .. } = self.fate {
            visit(blank);
        }
        self.slices().iter().for_each(|slice| slice.each_item(visit));
    }
}

fn gather(panel: &Panel, size: [i64; 2], way: CutWay, kerf: i64, slices: &mut Vec<Slab>) {
    match panel {
        Panel::Sawn { way: own, at, first, second } if *own == way => {
            let with = |length: i64| match way {
                CutWay::Across => [length, size[1]],
                CutWay::Along => [size[0], length],
            };
            gather(first, with(*at), way, kerf, slices);
            let rest = size[way.axis()] - at - kerf;
            if rest > 0 {
                gather(second, with(rest), way, kerf, slices);
            }
        }
        other => slices.push(Slab::from_panel(other, size, kerf)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cuts_of_one_way_come_together() {
        let piece = |item| Box::new(Panel::Piece { item: ItemIndex(item), turned: false });
        let inner = Panel::Sawn {
            way: CutWay::Along,
            at: 20,
            first: piece(1),
            second: Box::new(Panel::Remainder),
        };
        let panel =
            Panel::Sawn { way: CutWay::Along, at: 30, first: piece(0), second: Box::new(inner) };
        let slab = Slab::from_panel(&panel, [100, 60], 3);
        let sizes: Vec<[i64; 2]> = slab.slices().iter().map(|s| s.size).collect();
        assert_eq!(sizes, [[100, 30], [100, 20]]);
        let limits =
            |shortest| SawLimits { kerf: 3, narrowest: 0, widest: None, longest: None, shortest };
        assert!(slab.has_rips(&limits(100)) && !slab.has_rips(&limits(101)));
    }
}
