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
    /// Names of holders of which no two hang within one stud spacing.
    pub apart: Vec<String>,
    /// From one wall cleat to the next above it, in mm, where the project has rows of them: no key of the shop file.
    pub row_spacing: Option<f64>,
}

impl Default for Wall {
    /// Nothing yet: the default shop says all of it.
    fn default() -> Self {
        Self {
            stud_spacing: 0.0,
            stud_width: 0.0,
            covering: 0.0,
            wood: String::new(),
            masonry: None,
            screw: Screw::TWELVE,
            screws: super::open::WALL_SCREWS,
            screw_length: 0.0,
            apart: Vec::new(),
            row_spacing: None,
        }
    }
}

impl Wall {
    /// What a screw of it goes into, in a word.
    pub(crate) fn held_by(&self) -> &'static str {
        if self.masonry.is_some() { "plug" } else { "stud" }
    }

    /// How far apart the screws of a cleat stand in masonry, in mm. Common practice, no source.
    pub(super) fn plug_spacing(units: Units) -> f64 {
        units.either(16.0, 400.0)
    }
}
