//! What is to be sawn, and out of what.

/// Pieces to be sawn from panels by straight cuts, each right across what is then in hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub stock: Vec<Stock>,
    pub items: Vec<Item>,
    /// What the saw takes with each cut; nothing is taken along an edge where no cut is made.
    pub kerf: i64,
}

/// Panels of one size: length and width in whole units, edges already trimmed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stock {
    pub size: [i64; 2],
    /// How many there are; `None` for as many as one likes to buy.
    pub quantity: Option<usize>,
    /// What one costs, in whole units; an offcut costs nothing.
    pub cost: i64,
}

/// Pieces of one size. `size[0]` lies along `size[0]` of the panel, unless the piece may turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    pub size: [i64; 2],
    pub turns: bool,
    pub demand: usize,
}
