//! The least stock that pieces can be sawn from, with a bound that says how good the answer is.
//!
//! Panels are sawn by straight cuts, each right across what is then in hand. Plain whole numbers:
//! the solver knows nothing of wood. Where pieces can only lie behind one another, as on a dowel or
//! a narrow board, it is a problem in one dimension and solved as such.
//!
//! Begin with [`solve`].

mod column_generation;
mod dive;
mod dual_bound;
mod in_range;
mod incumbent;
mod inflated;
mod knapsack;
mod master;
mod meter;
mod panel;
mod pattern;
mod problem;
mod raster;
mod ruin_recreate;
mod sheet_tree;
mod simplex;
mod solve;
mod value_table;

pub use in_range::OutOfRange;
pub use meter::Budget;
pub use panel::{CutWay, Panel};
pub use problem::{ItemIndex, ItemType, PanelProblem, StockIndex, StockSize};

pub use solve::{Answer, Layout, solve};
