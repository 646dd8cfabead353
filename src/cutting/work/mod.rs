//! Cuts in the order that they are made.

mod care;
mod cut;
mod limits;
mod order;
mod slab;
mod tilted;

pub(crate) use care::FARTHEST_STOP;
pub(super) use cut::next_number;
pub(crate) use cut::{
    Area, Content, Cut, CutSide, Fence, Precaution, Setup, SetupCount, WorkName, Workpiece,
};
pub(super) use limits::SawLimits;
pub(super) use order::{Root, order};
pub(super) use slab::{Fate, Slab};
pub(super) use tilted::{WholeBlank, tilted};
