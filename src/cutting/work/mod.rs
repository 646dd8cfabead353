//! Cuts in the order that they are made.

mod at_hand;
mod care;
mod cut;
mod in_hand;
mod limits;
mod order;
mod slab;
mod tilted;
mod to_come;

pub(crate) use care::FARTHEST_STOP;
pub(super) use cut::next_number;
pub(crate) use cut::{
    Area, Content, Cut, CutSide, Fence, Precaution, Setup, SetupCount, WorkName, Workpiece,
};
pub(super) use limits::SawLimits;
pub(super) use order::{DispatchRule, Root, order, order_by};
pub(super) use slab::{Fate, Slab};
pub(super) use tilted::{WholeBlank, tilted};
