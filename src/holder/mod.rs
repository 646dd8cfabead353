//! Holders: parts in their place, with the screws that join them and what the checks say.

mod finding;
mod part;
mod placement;
mod values;

pub use crate::shop::StockKind;
pub use crate::style::{Edge, Face, Grain, Looks, Purpose, Space};
pub use finding::{Finding, Level, Refusal};
pub use part::{Bevel, Drilling, EdgeName, MadeBy, Mark, MarkKind, Part, Row, Stock};
pub use placement::Placement;
pub use values::Values;
