//! Holders: parts in their place, with the screws that join them and what the checks say.

mod part;
mod placement;

pub use part::{
    Bevel, Drilling, Edge, EdgeName, Face, Grain, MadeBy, Mark, MarkKind, Part, Purpose, Row,
    Stock, StockKind,
};
pub use placement::{Looks, Placement, Space};
