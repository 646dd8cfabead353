//! The least stock that pieces can be sawn from, with a bound that says how good the answer is.
//!
//! Panels are sawn by straight cuts, each right across what is then in hand; bars are cut to
//! length. Plain whole numbers: the solver knows nothing of wood.

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
pub(super) use dice::Dice;
pub use lengths::{Bar, BarLayout, Length, LengthAnswer, LengthProblem, solve_lengths};
pub use panel::{Panel, Way};
pub use problem::{Item, Problem, Stock};
pub use solve::{Answer, Layout, solve};
pub use value::{Best, Valued, best_value};
