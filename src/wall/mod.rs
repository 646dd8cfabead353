//! The wall: what `wall.toml` says of it, and where every holder hangs on it.
//!
//! Places are on the wall as one stands before it: x right from its left corner, y up from the floor, in mm. A row is
//! told by the top edge of its wall cleats.

mod asked;
mod file;
mod person;
mod plan;

pub(crate) use asked::{Obstacle, Pin, PinnedRow, RowsAsked, Together, WallSpace, WallsAsked};
pub(crate) use file::{WallReading, read_walls};
pub(crate) use person::Person;
pub(crate) use plan::{
    Aims, CleatPiece, FreeStretch, HungPlace, PlannedRow, PlannedWall, StudLoad, WallPlan,
};
