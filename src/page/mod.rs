//! Full-size patterns on the paper of a home printer: cut into pages that overlap, with what it
//! takes to check the print and to join the pages, and written as PDF.
//!
//! ```text
//! patterns, printer -> lay_out -> pages -> pdf::write -> bytes
//! ```

mod error;
mod frame;
mod free;
mod furniture;
mod ink;
mod leaf;
mod map;
mod paper;
pub(crate) mod pdf;
mod print_scaling;
mod ruler;
mod seam;
mod sheet;
mod shelf;
mod spread;

#[cfg(test)]
pub(crate) use crate::shop::Paper;
pub(crate) use crate::shop::Printer;
pub(crate) use error::{PageError, room};
pub(crate) use frame::PrinterError;
pub(crate) use leaf::leaves;
pub use paper::Patterns;
pub(crate) use paper::{Paged, Printable, paged};
pub(crate) use ruler::{RulerPage, ruler_page};
pub(crate) use sheet::{Page, Window};
