//! Full-size patterns on the paper of a home printer: cut into pages that overlap, with what it
//! takes to check the print and to join the pages, and written as PDF. Documents on the same paper: set in
//! bands that a page takes whole.
//!
//! ```text
//! patterns, printer -> lay_out -> pages -> pdf::write -> bytes
//! document, pictures, printer -> set_book (bands -> pages) -> pdf::write_with -> bytes
//! ```

mod band;
mod book;
mod frame;
mod furniture;
mod grid;
mod ink;
mod leaf;
mod map;
pub(crate) mod pdf;
mod print_scaling;
mod rows;
mod seam;
mod setting;
mod shelf;
mod tile;
mod wording;

#[cfg(test)]
pub(crate) use crate::shop::Paper;
pub(crate) use crate::shop::Printer;
#[cfg(test)]
pub(crate) use book::SetBook;
pub(crate) use book::set_book;
pub(crate) use frame::PrinterError;
pub(crate) use leaf::leaves;
pub(crate) use tile::{Page, PageError, Window, lay_out, room};
