//! Motions: rigid bodies in side view that come to their place past what stands fast.
//!
//! A place is told in mm: `x` out from the wall, `y` up. A way is free where every piece keeps from everything fixed
//! the clearance, or as much as it hangs from it where that is less: what touches at rest may slide and part, and
//! nothing else comes nearer than the clearance. Points nearer than [`crate::tolerance::COORDINATE`] touch.

mod convex;
mod hooking;
mod scene;
mod search;
mod slice;
mod turning;

pub(crate) use hooking::{CLEARANCE, Hooking, WayOff, least_lift, straight};
pub(crate) use scene::{HungView, InTheWay};
pub(crate) use slice::HeldPose;
