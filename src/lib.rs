//! Cleatwright: from a few readings off the tools to the pieces of a cleat wall.
//!
//! The data goes one way; a stage knows only those to its left:
//!
//! ```text
//! length, formula -> style, shop -> kernel -> holder -> strength, router, cutting
//!     -> drawing -> export, page -> cli
//! ```

mod carry;
pub mod cli;
pub mod cutting;
mod drawing;
mod export;
mod formula;
mod holder;
mod inputs;
mod kernel;
mod length;
mod page;
mod place;
mod reading;
mod render;
mod router;
mod shop;
mod strength;
mod style;
mod tolerance;
mod work_out;

pub use export::dxf;
pub use inputs::Inputs;
pub use length::Units;
pub use reading::{Beside, Problem, Source};
pub use render::{FileError, Options, Sink, render};
pub use shop::Paper;
pub use work_out::{Doing, Worked, work_out, work_out_again};

#[cfg(test)]
#[path = "../tests/stages/mod.rs"]
mod stages;
