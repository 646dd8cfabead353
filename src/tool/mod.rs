//! The tools on a holder: whether they have room as they hang, come to their places and off again, and stay there.
//!
//! Tools are solids ([`crate::holder::HungTool`]), wood is its parts as they are shaped, with their cuts and bores.
//! What shares no more than [`UNFELT`] touches.

mod off;
mod rest;
mod room;
mod say;
mod scene;
mod wood;

pub(crate) use room::{ToolRoom, tool_room};
pub(crate) use say::hang_tools;

/// What two bodies may share before it is felt, in mm.
const UNFELT: f64 = 0.1;
