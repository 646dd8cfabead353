//! The plan of the wall, as plain data. Places are on the wall: x right from its left corner, y up from the floor, in mm.

use kurbo::{Point, Rect};

use super::asked::WallSpace;
use crate::holder::Finding;

/// Every holder at its place, wall by wall.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallPlan {
    pub walls: Vec<PlannedWall>,
    pub aims: Aims,
    /// The names of those that no place is left for.
    pub left_over: Vec<String>,
    pub findings: Vec<Finding>,
}

/// One wall with what hangs on it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedWall {
    pub space: WallSpace,
    /// From below.
    pub rows: Vec<PlannedRow>,
    /// In the order in which they are hung: row by row from below, then what is screwed to the studs; from the left.
    pub places: Vec<HungPlace>,
    /// Where a row has room for another holder, row by row from the left.
    pub free: Vec<FreeStretch>,
    /// One for each stud of the wall.
    pub studs: Vec<StudLoad>,
}

/// A row of wall cleats.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedRow {
    /// Of the top edge of its cleats.
    pub height: f64,
    /// From the left.
    pub cleats: Vec<CleatPiece>,
}

/// One wall cleat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CleatPiece {
    pub from: f64,
    pub to: f64,
    /// Where its screws are, from the wall's left corner, all on the line of the shop's cleats.
    pub screws: Vec<f64>,
}

impl CleatPiece {
    pub(crate) fn length(&self) -> f64 {
        self.to - self.from
    }
}

/// Where a holder hangs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct HungPlace {
    pub holder: String,
    /// Which row; `None` for what is screwed to the studs.
    pub row: Option<usize>,
    /// Where the holder's own origin is: x of its left end, y of its foot.
    pub origin: Point,
    /// The box round its wood, and the one round wood and tools.
    pub wood: Rect,
    pub taken: Rect,
    /// What has to stay free above it, so that it is hooked on and tools come out.
    pub lift: f64,
    /// Whether it keeps this place, for it is pinned or hangs already.
    pub kept: bool,
}

/// A stretch of a row that a holder can still hang on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FreeStretch {
    pub row: usize,
    pub from: f64,
    pub to: f64,
}

/// What comes on one stud.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StudLoad {
    pub at: f64,
    /// At rest, over all rows, in N.
    pub load: f64,
    /// What part of its screws' strength the row with most takes, knocks counted; 0 where nothing is rated.
    pub share: f64,
}

/// What a plan is judged by, the first first: one figure each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Aims {
    /// Holders without a place.
    pub left_over: usize,
    /// Places that a check warns of or stops at.
    pub findings: usize,
    /// How far tools are above or below the heights where they are best taken, times their mass, in kg mm.
    pub out_of_reach: f64,
    /// Half the way round the boxes round each group, in mm.
    pub apart: f64,
    /// Length of wall cleat that a holder can still hang on, in mm.
    pub free: f64,
}
