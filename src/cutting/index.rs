//! Positions in the lists of a plan, each with a type of its own so that none is taken for another.

/// Makes a type for the positions in one list.
macro_rules! index {
    ($(#[$about:meta])* $name:ident) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub(crate) struct $name(pub usize);

        impl $name {
            /// What is at this position of `all`; `None` where there is nothing.
            pub(crate) fn of<T>(self, all: &[T]) -> Option<&T> {
                all.get(self.0)
            }
        }
    };
}

index!(
    /// Position of a piece in [`CuttingPlan::pieces`](super::CuttingPlan::pieces).
    PieceIndex
);
index!(
    /// Position of a blank in [`CuttingPlan::blanks`](super::CuttingPlan::blanks).
    BlankIndex
);
index!(
    /// Position of a blank for cleat strips: in [`CuttingPlan::strips`](super::CuttingPlan::strips),
    /// before that among those of one stock.
    StripIndex
);
index!(
    /// Position of a sheet in [`CuttingPlan::sheets`](super::CuttingPlan::sheets).
    SheetIndex
);
index!(
    /// Position of a stock in the shop file.
    RowIndex
);
