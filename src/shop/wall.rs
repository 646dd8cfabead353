//! The wall that cleats are screwed to.

use super::Screw;

/// Studs, what covers them, and the screws that hold the wall cleats.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wall {
    /// From the middle of one stud to the middle of the next, in mm.
    pub stud_spacing: f64,
    /// Thickness of what covers the studs and holds nothing (drywall), in mm.
    pub covering: f64,
    /// The studs' wood.
    pub wood: String,
    /// The screws of a wall cleat, and how many of them are in each stud.
    pub screw: Screw,
    pub screws: usize,
    /// Their length in mm.
    pub screw_length: f64,
}

impl Default for Wall {
    /// Studs 16 in apart behind 1/2 in of drywall, two #12 screws of 3 in in each. Common practice, no source.
    fn default() -> Self {
        let inch = crate::length::MM_PER_INCH;
        Self {
            stud_spacing: 16.0 * inch,
            covering: inch / 2.0,
            wood: "spruce-pine-fir".to_owned(),
            screw: Screw::TWELVE,
            screws: 2,
            screw_length: 3.0 * inch,
        }
    }
}
