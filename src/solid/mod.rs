//! Bodies in space: parts and tools as closed surfaces of triangles, and what of their edges is seen from somewhere.
//!
//! Places are those of the holder, x right, y up from its foot, z out of the wall, in mm.

mod apart;
mod cut;
mod fill;
mod layers;
mod ring;
mod seam;
mod seen;
mod shell;
mod view;
mod whole;
mod wood;

pub(crate) use apart::{TakenOff, taken_apart};
#[cfg(test)]
pub(crate) use seam::seams;
pub(crate) use seen::{SeenLine, Sight};
pub(crate) use shell::Shell;
pub(crate) use view::{View, ViewFrom};
pub(crate) use whole::{WoodSolid, wood_solids, wood_tone};
#[cfg(test)]
pub(crate) use wood::part_shell;
pub(crate) use wood::{broken_off, tool_shell};
