//! What is to be sawn from each stock of the shop, and what there is of it.

mod cleat;
mod group;
mod growth;
mod left;
mod piece;
mod supply;

pub(super) use cleat::{CleatBlank, SawnStrip};
#[cfg(test)]
pub(crate) use cleat::{double_width, narrow_face};
pub(crate) use group::BlankUse;
pub(super) use group::StockGroup;
pub(super) use growth::sizes;
pub(super) use left::{PartedSheet, RouterLeavings, RouterLeft};
pub(super) use piece::Blank;
pub(crate) use piece::CutPiece;
pub(super) use piece::pieces;
pub(super) use supply::{Supply, unused};
