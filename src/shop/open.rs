//! What a shop file may leave open, to be settled for all holders of a project at once.

use super::{Screw, SizedScrew};
use crate::length::Units;

/// Which of its figures a shop file leaves open; they are as light as can be until they are settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct OpenFigures {
    pub cleat_width: bool,
    pub wall_screw: bool,
    pub wall_screws: bool,
}

/// The narrowest cleats that are of use, in mm. Common practice, no source.
pub(super) fn cleat_width(units: Units) -> f64 {
    units.either(1.5, 40.0)
}

/// The screws of wall cleats, through cleat and drywall well into a stud. Common practice, no source.
pub(super) fn wall_screw(units: Units) -> SizedScrew {
    let screw = match units {
        Units::Inches => Screw::TWELVE,
        Units::Millimeters => Screw::threaded(6.0).unwrap_or(Screw::TWELVE),
    };
    SizedScrew { screw, length: units.either(3.0, 80.0) }
}

/// How many of them are in each stud.
pub(super) const WALL_SCREWS: usize = 1;
