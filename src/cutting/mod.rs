//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometres, so that sums of pieces and kerfs are exact.

mod budget;
mod dice;
mod grown;
mod panel;
mod problem;
mod refill;
mod sheet;
mod solve;

pub use budget::Budget;
pub use panel::{Panel, Way};
pub use problem::{Item, Problem, Stock};
pub use solve::{Answer, Layout, solve};
