//! The wall: what `wall.toml` says of it, and where every holder hangs on it.
//!
//! Places are on the wall as one stands before it: x right from its left corner, y up from the floor, in mm. A row is
//! told by the top edge of its wall cleats.

mod asked;
mod board;
mod cleats;
mod file;
mod fix;
mod hands;
mod hanger;
mod lifting;
mod make;
mod person;
mod plan;
mod planner;
mod rows;
mod say;
mod search;
mod site;
mod spots;

pub(crate) use asked::{RowsAsked, WallObstacle, WallsAsked};
pub(crate) use cleats::{WALL_CLEATS, cleat_style};
#[cfg(any(test, feature = "cli"))]
pub(crate) use file::default_wall;
pub(crate) use file::{WallKeys, WallReading, read_walls};
pub(crate) use hanger::{Hanger as WallHanger, ToHang};
pub(crate) use make::plan_walls;
pub(crate) use plan::{
    Aims, CleatPiece, FreeStretch, HungPlace, PlannedRow, PlannedWall, StudLoad, WallPlan,
};
pub(crate) use planner::WallJob;
pub(crate) use site::CleatRules;

/// What only tests look into.
#[cfg(test)]
pub(crate) use {
    asked::{Pin, PinnedRow, Together, WallSpace},
    hands::SITTING_REACH,
    lifting::{Coupling, Lift},
    person::Person,
    planner::Planner,
    spots::{AskedBefore, Spot},
};
