//! The wall that cleats are screwed to.

use super::Screw;
use crate::length::Units;

/// Studs or masonry, what covers it, and the screws that hold the wall cleats.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wall {
    /// From the middle of one stud to the middle of the next, in mm; in masonry from one screw to the
    /// next.
    pub stud_spacing: f64,
    /// Of the edge of a stud that screws go into, in mm.
    pub stud_width: f64,
    /// Thickness of what covers the studs and holds nothing (drywall), in mm.
    pub covering: f64,
    /// The studs' wood.
    pub wood: String,
    /// What a wall without studs is of: screws go into plugs, which nothing here rates.
    pub masonry: Option<String>,
    /// The screws of a wall cleat, and how many of them are in each stud.
    pub screw: Screw,
    pub screws: usize,
    /// Their length in mm.
    pub screw_length: f64,
}

impl Wall {
    /// What a screw of it goes into, in a word.
    pub(crate) fn held_by(&self) -> &'static str {
        if self.masonry.is_some() { "plug" } else { "stud" }
    }

    /// How far apart the screws of a cleat stand in masonry, in mm. Common practice, no source.
    pub(super) fn plug_spacing(units: Units) -> f64 {
        if units == Units::Inches { 16.0 * units.in_mm() } else { 400.0 }
    }

    /// The usual wall of a project in `units`. Common practice, no source: studs 16 in apart behind
    /// 1/2 in of drywall, two #12 screws of 3 in in each; or 600 mm apart behind 12.5, two 6 × 80.
    pub(super) fn usual(units: Units) -> Self {
        let inch = units.in_mm();
        let wood = |name: &str| name.to_owned();
        match units {
            Units::Inches => Self {
                stud_spacing: 16.0 * inch,
                stud_width: 1.5 * inch,
                covering: inch / 2.0,
                wood: wood("spruce-pine-fir"),
                masonry: None,
                screw: Screw::TWELVE,
                screws: 2,
                screw_length: 3.0 * inch,
            },
            Units::Millimeters => Self {
                stud_spacing: 600.0,
                stud_width: 45.0,
                covering: 12.5,
                wood: wood("C24"),
                masonry: None,
                screw: Screw::SIX_MM,
                screws: 2,
                screw_length: 80.0,
            },
        }
    }
}
