//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometres, so that sums of pieces and kerfs are exact.

mod bounds;
mod budget;
mod bulk;
mod check;
mod columns;
mod dice;
mod dive;
mod draft;
mod grown;
mod knapsack;
mod lengths;
mod panel;
mod problem;
mod raster;
mod refill;
mod sheet;
mod simplex;
mod solve;
mod table;
mod value;

pub use budget::Budget;
pub use check::Unfit;
pub use lengths::{Bar, BarLayout, Length, LengthAnswer, LengthProblem, solve_lengths};
pub use panel::{Panel, Way};
pub use problem::{Item, Problem, Stock};
pub use solve::{Answer, Layout, solve};
pub use value::{Best, Valued, best_value};
