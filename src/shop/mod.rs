//! The shop: stock and offcuts, saw, bits, router, cleats and printer.

mod file;
mod printer;
mod screw;
mod stock;
mod wood;

pub use file::{DEFAULT_SHOP, read_shop};
pub use printer::{Paper, Printer, UnknownPaper};
pub use screw::{Screw, UnknownScrew};
pub use stock::{
    Bit, BitKind, CleatStrip, Offcut, RouterSheets, SawRules, Shop, StockKind, StockRow,
};
pub use wood::density;
