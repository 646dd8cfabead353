//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometres, so that sums of pieces and kerfs are exact.

mod panel;
mod problem;

pub use panel::{Panel, Way};
pub use problem::{Item, Problem, Stock};
