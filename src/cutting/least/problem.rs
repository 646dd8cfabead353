//! What is to be sawn, and out of what.

/// Pieces to be sawn from panels by straight cuts, each right across what is then in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PanelProblem {
    /// The sizes of panel there are.
    pub stock: Vec<StockSize>,
    /// The sizes of piece asked for.
    pub items: Vec<ItemType>,
    /// What the saw takes with each cut; nothing is taken along an edge where no cut is made.
    pub kerf: i64,
}

/// Position of a size of panel in [`PanelProblem::stock`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StockIndex(pub usize);

/// Position of a size of piece in [`PanelProblem::items`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemIndex(pub usize);

/// Panels of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StockSize {
    /// Length and width in whole units, edges already trimmed.
    pub size: [i64; 2],
    /// How many there are; `None` for as many as one likes to buy.
    pub quantity: Option<usize>,
    /// What one costs, in whole units; an offcut costs nothing.
    pub cost: i64,
}

/// Pieces of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ItemType {
    /// In whole units; `size[0]` lies along `size[0]` of the panel, unless the piece may turn.
    pub size: [i64; 2],
    /// Whether a piece may lie the other way.
    pub turns: bool,
    /// How many are asked for.
    pub demand: usize,
}

impl StockIndex {
    /// The size of panel it stands for; `None` where there is none such.
    pub fn of(self, problem: &PanelProblem) -> Option<&StockSize> {
        problem.stock.get(self.0)
    }
}

impl ItemIndex {
    /// What it stands for in a list by items; `None` where there is nothing.
    pub fn of<T>(self, by_item: &[T]) -> Option<&T> {
        by_item.get(self.0)
    }
}

impl PanelProblem {
    /// How many pieces are asked for.
    pub fn pieces(&self) -> usize {
        self.items.iter().map(|item| item.demand).sum()
    }
}
