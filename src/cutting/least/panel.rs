//! A panel on the saw: how it comes apart, cut by cut.

use super::ItemIndex;

/// The way a cut runs over a panel of `size`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CutWay {
    /// Along `size[1]`: it parts `size[0]`.
    Across,
    /// Along `size[0]`: it parts `size[1]`.
    Along,
}

impl CutWay {
    /// Which of a panel's two sizes a cut of this way parts.
    pub fn axis(self) -> usize {
        match self {
            Self::Across => 0,
            Self::Along => 1,
        }
    }
}

/// What becomes of a panel. Its size follows from the panel it was sawn from: cuts run right
/// across by construction, and pieces cannot lie over one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Panel {
    /// A piece of this item, as large as the panel.
    Piece {
        /// The item.
        item: ItemIndex,
        /// Whether it lies the other way.
        turned: bool,
    },
    /// What a cut leaves that becomes no piece.
    Remainder,
    /// Sawn in two.
    Sawn {
        /// How the cut runs.
        way: CutWay,
        /// How large `first` is, counted from the corner at the origin; the kerf follows it.
        at: i64,
        /// What is before the cut.
        first: Box<Panel>,
        /// What is behind it, which may be nothing.
        second: Box<Panel>,
    },
}

impl Panel {
    /// Calls `visit` with the item of every piece, from the origin on.
    pub(crate) fn each_item(&self, visit: &mut impl FnMut(ItemIndex)) {
        match self {
            Self::Piece { item, .. } => visit(*item),
            Self::Remainder => {}
            Self::Sawn { first, second, .. } => {
                first.each_item(visit);
                second.each_item(visit);
            }
        }
    }

    pub(super) fn piece(item: usize, turned: bool) -> Self {
        Self::Piece { item: ItemIndex(item), turned }
    }
}
