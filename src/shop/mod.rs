//! The shop: stock and offcuts, saw, bits, router, cleats and printer.

mod asked_screw;
mod file;
mod open;
mod printer;
mod router;
mod screw;
mod screw_distance;
mod stock;
mod wall;
mod wood;
mod written;

pub(crate) use asked_screw::AskedScrew;
#[cfg(test)]
pub(crate) use file::DEFAULT_SHOP;
pub(crate) use file::{
    ShopFile, default_shop, read_shop, read_shop_keys, read_shop_of, says_stud_spacing,
};
pub(crate) use open::OpenFigures;
pub use printer::Paper;
pub(crate) use printer::Printer;
pub(crate) use printer::{FOOT_STRIP, LEAST_OVERLAP, LEAST_WIDTH, LEFT_STRIP};
pub(crate) use router::{CutDirection, RouterBits, RouterRun, RouterSheets, RouterZero};
pub(crate) use screw::{Screw, SizedScrew};
pub(crate) use screw_distance::ForceRun;
#[cfg(test)]
pub(crate) use stock::BitKind;
pub(crate) use stock::{Bit, Offcut, SawRules, Service, Shop, StockKind, StockRow};
pub(crate) use wood::{NdsGravity, Wood, WoodKind, density, find_wood};
pub(crate) use written::written;
