//! Full-size patterns on the paper of a home printer: cut into pages that overlap, with what it
//! takes to check the print and to join the pages, and written as PDF.
//!
//! ```text
//! patterns, printer -> lay_out -> pages -> pdf::write -> bytes
//! ```

mod frame;
mod furniture;
mod grid;
mod ink;
mod leaf;
mod map;
pub(crate) mod pdf;
mod print_scaling;
mod ruler;
mod seam;
mod shelf;
mod tile;

#[cfg(test)]
pub(crate) use crate::shop::Paper;
pub(crate) use crate::shop::Printer;
pub(crate) use frame::PrinterError;
pub(crate) use leaf::leaves;
pub(crate) use ruler::{RulerPage, ruler_page};
pub(crate) use tile::{Page, PageError, Window, lay_out, room};
