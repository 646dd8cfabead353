//! From parts to cuts: what is to be sawn, out of what, and in which order.
//!
//! Inside, sizes are whole micrometers, so that sums of pieces and kerfs are exact. The data goes one
//! way; a room knows only those to its left:
//!
//! ```text
//! least  stock            work                  layout                    plan
//! ----   pieces, blanks   cuts in their order   panels, least stock and   what is sawn, from what,
//!        of one stock                           few setups                what is left and missing
//! ```

mod index;
mod layout;
pub mod least;
mod measure;
mod plan;
mod stock;
mod work;

pub(crate) use index::{BlankIndex, PieceIndex, SheetIndex};
pub(crate) use least::{Budget, CutWay};
pub(crate) use measure::millimeters;
pub(crate) use plan::{
    CuttingPlan, KeptFrom, KeptOffcut, PartedFrom, PartedHalf, PartedInto, Parting, SawnSheet,
    StockUse, Verdict, plan,
};
pub(crate) use stock::{BlankUse, CutPiece};
#[cfg(test)]
pub(crate) use stock::{double_width, narrow_face};
pub(crate) use work::{
    Area, Content, Cut, CutSide, FARTHEST_STOP, Fence, Precaution, Setup, SetupCount, WorkName,
    Workpiece,
};

pub(crate) use crate::inputs::CUTTING_FOLDER as FOLDER;
