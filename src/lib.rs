//! Cleatwright: from a few readings off the tools to the pieces of a cleat wall.
//!
//! The data goes one way; a stage knows only those to its left:
//!
//! ```text
//! length, formula -> style, shop -> kernel -> holder -> strength, router, cutting
//!     -> drawing -> export, page -> cli
//! ```

pub mod carry;
pub mod cli;
pub mod cutting;
pub mod drawing;
pub mod export;
pub mod formula;
pub mod holder;
pub mod kernel;
pub mod length;
pub mod page;
pub mod project;
pub mod reading;
pub mod router;
pub mod shop;
pub mod strength;
pub mod style;
pub mod tolerance;

#[cfg(test)]
#[path = "../tests/stages/mod.rs"]
mod stages;
