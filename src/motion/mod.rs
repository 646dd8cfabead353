//! Motions: rigid bodies in side view that come to their place past what stands fast.
//!
//! A place is told in mm: `x` out from the wall, `y` up. A way is free where every piece keeps from everything fixed
//! the clearance, or as much as it hangs from it where that is less: what touches at rest may slide and part, and
//! nothing else comes nearer than the clearance. Points nearer than [`crate::tolerance::COORDINATE`] touch.

mod hang;
mod hooking;
mod mend;
mod say;
mod scene;
mod search;
mod side;
mod slice;
mod turning;

pub(crate) use hang::{AmongRows, Hanging, OnRow, cleats_between, hanging, soon_hanging};
#[cfg(test)]
pub(crate) use hooking::{CLEARANCE, Hooking, WayOff, least_lift, straight};
pub(crate) use say::{hang_finding, hang_step, soon_told};
#[cfg(test)]
pub(crate) use scene::HungView;
pub(crate) use slice::HeldPose;
