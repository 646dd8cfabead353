//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometres, so that sums of pieces and kerfs are exact.

mod bevel;
mod blank;
mod finding;
mod group;
mod grow;
mod last;
mod left;
mod panel;
mod plan;
mod problem;
mod search;
mod shopping;
mod slab;
mod solve;
mod strip;
mod supply;
mod tilted;
mod work;

pub use bevel::double_width;
pub use blank::{Blank, Piece, letter};
pub use group::Sawn;
pub use left::Left;
pub use panel::{Panel, Way};
pub use plan::{Placed, Plan, Sheet, Verdict, plan};
pub use problem::{Item, Problem, Stock};
pub use shopping::Buy;
pub use solve::{Answer, Budget, Layout, Unfit, solve};
pub use work::{Area, Body, Count, Cut, Fence, Name, Setting, Side, What};

/// Name of the folder that the plan's files go into.
pub const FOLDER: &str = "cutting";

/// Whole micrometres of a length in mm.
fn micrometres(mm: f64) -> i64 {
    (mm * 1000.0).round() as i64
}

/// A length in mm.
pub fn millimetres(micrometres: i64) -> f64 {
    micrometres as f64 / 1000.0
}
