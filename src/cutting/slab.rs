//! A panel with the cuts of one way taken together. Their order is free: that is what an order of
//! work can make use of.

use super::cut::Rules;
use super::{Panel, Way};

/// A panel of `size` and what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slab {
    pub size: [i64; 2],
    pub fate: Fate,
}

/// What becomes of a panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fate {
    /// A piece of this item.
    Piece { item: usize, turned: bool },
    /// What is left over.
    Left,
    /// Sliced right across, each slice followed by a kerf; what remains is left over.
    Sliced { way: Way, slices: Vec<Slab> },
}

impl Way {
    /// Which of a panel's two sizes a cut of this way parts.
    pub fn axis(self) -> usize {
        match self {
            Self::Across => 0,
            Self::Along => 1,
        }
    }
}

impl Slab {
    pub fn piece(size: [i64; 2], item: usize, turned: bool) -> Self {
        Self { size, fate: Fate::Piece { item, turned } }
    }

    /// A panel of `size` in slices; itself the slice where there is one as large.
    pub fn sliced(size: [i64; 2], way: Way, mut slices: Vec<Self>) -> Self {
        slices.retain(|slice| slice.fate != Fate::Left);
        match slices.as_slice() {
            [] => Self { size, fate: Fate::Left },
            [only] if only.size == size => only.clone(),
            _ => Self { size, fate: Fate::Sliced { way, slices } },
        }
    }

    /// What `panel`, of this size, comes to.
    pub fn from_panel(panel: &Panel, size: [i64; 2], kerf: i64) -> Self {
        match panel {
            Panel::Piece { item, turned } => Self::piece(size, *item, *turned),
            Panel::Left => Self { size, fate: Fate::Left },
            Panel::Sawn { way, .. } => {
                let mut slices = Vec::new();
                gather(panel, size, *way, kerf, &mut slices);
                Self::sliced(size, *way, slices)
            }
        }
    }

    /// The same with `first` added to the number of every item.
    #[must_use]
    pub fn renumbered(&self, first: usize) -> Self {
        let fate = match &self.fate {
            Fate::Piece { item, turned } => Fate::Piece { item: item + first, turned: *turned },
            Fate::Left => Fate::Left,
            Fate::Sliced { way, slices } => Fate::Sliced {
                way: *way,
                slices: slices.iter().map(|slice| slice.renumbered(first)).collect(),
            },
        };
        Self { size: self.size, fate }
    }

    /// The slices, none where it is not sliced.
    pub fn slices(&self) -> &[Self] {
        match &self.fate {
            Fate::Sliced { slices, .. } => slices,
            Fate::Piece { .. } | Fate::Left => &[],
        }
    }

    /// Calls `count` with the item of every piece.
    pub fn each_item(&self, count: &mut impl FnMut(usize)) {
        if let Fate::Piece { item, .. } = self.fate {
            count(item);
        }
        self.slices().iter().for_each(|slice| slice.each_item(count));
    }

    /// Whether it is still to be ripped along the fence, or something in it is.
    pub fn has_rips(&self, rules: &Rules) -> bool {
        let along = matches!(self.fate, Fate::Sliced { way: Way::Along, .. });
        along && rules.may_rip(self.size) || self.slices().iter().any(|slice| slice.has_rips(rules))
    }
}

fn gather(panel: &Panel, size: [i64; 2], way: Way, kerf: i64, slices: &mut Vec<Slab>) {
    match panel {
        Panel::Sawn { way: own, at, first, second } if *own == way => {
            let with = |length: i64| match way {
                Way::Across => [length, size[1]],
                Way::Along => [size[0], length],
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
        let piece = |item| Box::new(Panel::Piece { item, turned: false });
        let inner =
            Panel::Sawn { way: Way::Along, at: 20, first: piece(1), second: Box::new(Panel::Left) };
        let panel =
            Panel::Sawn { way: Way::Along, at: 30, first: piece(0), second: Box::new(inner) };
        let slab = Slab::from_panel(&panel, [100, 60], 3);
        let sizes: Vec<[i64; 2]> = slab.slices().iter().map(|s| s.size).collect();
        assert_eq!(sizes, [[100, 30], [100, 20]]);
        let rules =
            |shortest| Rules { kerf: 3, narrowest: 0, widest: None, longest: None, shortest };
        assert!(slab.has_rips(&rules(100)) && !slab.has_rips(&rules(101)));
    }
}
