//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometres, so that sums of pieces and kerfs are exact.

mod bevel;
mod blank;
mod care;
mod cut;
mod finding;
mod group;
mod grow;
mod last;
mod least;
mod left;
mod plan;
mod search;
mod shopping;
mod slab;
mod strip;
mod supply;
mod tilted;
mod work;

pub use bevel::{double_width, narrow_face};
pub use blank::{Blank, Piece, letter};
pub use care::{Care, FARTHEST_STOP};
pub use cut::{Area, Body, Count, Cut, Fence, Name, Setting, Side, What};
pub use group::Sawn;
pub use least::{
    Answer, Bar, BarLayout, Best, Budget, Item, Layout, Length, LengthAnswer, LengthProblem, Panel,
    Problem, Stock, Unfit, Valued, Way, best_value, solve, solve_lengths,
};
pub use left::Left;
pub use plan::{Placed, Plan, Sheet, Verdict, plan};
pub use shopping::Buy;

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
