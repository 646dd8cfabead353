//! The wall: what `wall.toml` says of it, and where every holder hangs on it.
//!
//! Places are on the wall as one stands before it: x right from its left corner, y up from the floor, in mm. A row is
//! told by the top edge of its wall cleats.

mod asked;
mod board;
mod file;
mod fix;
mod hands;
mod hanger;
mod lifting;
mod make;
mod person;
mod plan;
mod rows;
mod say;
mod search;
mod site;
mod spots;

pub(crate) use asked::{Obstacle, Pin, PinnedRow, RowsAsked, Together, WallSpace, WallsAsked};
pub(crate) use file::{WallReading, read_walls};
pub(crate) use hanger::{Hanger, ToHang};
pub(crate) use make::{KeptPlace, WallJob, plan_walls};
pub(crate) use person::Person;
pub(crate) use plan::{
    Aims, CleatPiece, FreeStretch, HungPlace, PlannedRow, PlannedWall, StudLoad, WallPlan,
};
