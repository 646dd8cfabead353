//! The shop: stock and offcuts, saw, bits, router, cleats and printer.

mod file;
mod printer;
mod screw;
mod stock;
mod wall;
mod wood;

pub use file::{DEFAULT_SHOP, read_shop};
pub(crate) use printer::{FOOT_STRIP, LEAST_OVERLAP, LEAST_WIDTH, LEFT_STRIP};
pub use printer::{Paper, Printer, UnknownPaper};
pub use screw::Screw;
#[cfg(test)]
pub use stock::BitKind;
pub use stock::{Bit, Offcut, SawRules, Shop, StockKind, StockRow};
pub use wood::{NdsGravity, Wood, WoodKind, density, find_wood};
