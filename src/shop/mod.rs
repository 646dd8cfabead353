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
pub use screw::{Screw, UnknownScrew};
pub use stock::{
    Bit, BitKind, CleatStock, Offcut, RouterSheets, SawRules, Shop, StockKind, StockRow,
};
pub use wall::Wall;
pub use wood::{
    FoundWood, HandbookGravity, NdsGravity, Wood, WoodKind, careful, density, find_wood, woods,
};
