//! A panel on the saw: how it comes apart, cut by cut.

/// The way a cut runs over a panel of `size`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Way {
    /// Along `size[1]`: it parts `size[0]`.
    Across,
    /// Along `size[0]`: it parts `size[1]`.
    Along,
}

/// What becomes of a panel. Its size follows from the panel it was sawn from: cuts run right
/// across by construction, and pieces cannot lie over one another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Panel {
    /// A piece of this item, as large as the panel.
    Piece { item: usize, turned: bool },
    /// What is left over.
    Left,
    /// Sawn in two: `first` is `at` large, counted from the corner at the origin; the saw takes
    /// its kerf after it, and `second` is the rest, which may be nothing.
    Sawn { way: Way, at: i64, first: Box<Panel>, second: Box<Panel> },
}
