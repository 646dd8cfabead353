//! What `wall.toml` says, as plain data. Places are on the wall: x right from its left corner, y up from the floor, in mm.

use kurbo::Rect;

use super::person::Person;

/// The walls of a shop and what is wanted of them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallsAsked {
    /// At least one.
    pub walls: Vec<WallSpace>,
    pub person: Person,
    /// Whether people who sit reach for the tools too.
    pub shared: bool,
    /// Whether the wall cleats hang: their rows stay, and nothing of them is cut any more.
    pub built: bool,
    pub pins: Vec<Pin>,
    pub groups: Vec<Together>,
}

/// One wall.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct WallSpace {
    /// Empty where there is only one.
    pub name: String,
    pub width: f64,
    pub height: f64,
    /// The middles of its studs, from the left.
    pub studs: Vec<f64>,
    pub rows: RowsAsked,
    /// Windows, outlets, the swing of a door, a bench with its top.
    pub obstacles: Vec<WallObstacle>,
}

/// How high the top edges of the wall cleats are, from below.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) enum RowsAsked {
    Heights(Vec<f64>),
    /// As many as serve.
    Spaced {
        lowest: f64,
        spacing: f64,
    },
    /// To be proposed.
    #[default]
    Open,
}

/// Something in the way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallObstacle {
    pub name: String,
    pub area: Rect,
}

/// A holder that is to hang at one place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pin {
    pub holder: String,
    /// Which wall; any where it is not said.
    pub wall: Option<usize>,
    /// The left end of the holder with all that hangs in it; anywhere where it is not said.
    pub left: Option<f64>,
    pub row: Option<PinnedRow>,
}

/// Which row a holder is pinned to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum PinnedRow {
    /// Counted from below, the lowest is 0.
    Number(usize),
    /// By the height of its top edge.
    Height(f64),
}

/// Holders that are to hang near each other.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Together {
    pub name: String,
    pub holders: Vec<String>,
}
