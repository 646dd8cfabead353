//! Full-size patterns on the paper of a home printer: cut into pages that overlap, with what it
//! takes to check the print and to join the pages, and written as PDF. Documents on the same paper: set in
//! bands that a page takes whole.
//!
//! ```text
//! parts, printer -> paged (spread, filled) -> pages -> pdf::write -> bytes
//! document, pictures, printer -> set_book (bands -> pages) -> pdf::write_with -> bytes
//! ```

mod band;
mod book;
mod error;
mod fill;
mod form;
mod frame;
mod free;
mod furniture;
mod ink;
mod leaf;
mod lettering;
mod map;
mod operators;
mod outline;
mod paper;
pub(crate) mod pdf;
mod placed;
mod rows;
mod ruler;
mod seam;
mod setting;
mod sheet;
mod shelf;
mod spread;
mod streams;
mod wording;

#[cfg(test)]
pub(crate) use crate::shop::Paper;
pub(crate) use crate::shop::Printer;
#[cfg(test)]
pub(crate) use book::SetBook;
pub(crate) use book::{room_in_book, set_book};
pub(crate) use error::{PageError, room};
#[cfg(test)]
pub(crate) use fill::Paged;
#[cfg(test)]
pub(crate) use form::ShownAs;
pub(crate) use frame::PrinterError;
pub(crate) use leaf::leaves;
pub use paper::Patterns;
pub(crate) use paper::{Printable, paged};
pub(crate) use placed::placed;
pub(crate) use ruler::{RulerPage, ruler_page};
pub(crate) use sheet::{Page, Window};
