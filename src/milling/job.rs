//! A job as plain data.

use kurbo::{Affine, Point, Rect, Size};

use super::bridge::Bridge;
use super::dowel::DowelPair;
use crate::kernel::{BitSide, Contour, Vertex};
use crate::shop::{RouterBits, RouterSheets};

/// What is done to a part or a sheet of parts while one side of it lies up.
///
/// Coordinates are mm, x right, y up, seen from that side, the origin at the lower left corner of `area`.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MillJob {
    /// The part or the sheet.
    pub area: Rect,
    /// In mm.
    pub thickness: f64,
    /// The bits at hand; `None` where there is no router.
    pub bits: Option<RouterBits>,
    /// What holds the parts; `None` for a part by itself.
    pub hold: Option<RouterSheets>,
    /// Whether paths are those of the bit's center, and not the true edges.
    pub by_center: bool,
    /// In the order they are done.
    pub cuts: Vec<MillCut>,
    /// Holes that are there already, from the other side, and bring the two to one place.
    pub dowels: Option<DowelPair>,
}

/// The jobs of a part or a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Jobs {
    /// With the side up from which all is cut free.
    pub front: MillJob,
    /// With the other side up, done first, where there is work on it: mirrored left to right.
    pub back: Option<MillJob>,
}

/// One thing that is done in one go.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MillCut {
    pub work: MillWork,
    pub bit: JobBit,
    /// In mm from the side that is up; `None` goes right through.
    pub depth: Option<f64>,
    pub path: MillPath,
    /// Which piece of the sheet it is of, by its place among them.
    pub piece: usize,
    /// Where wood is left to hold what it would free.
    pub bridges: Vec<Bridge>,
    /// Whether all wood within it is milled away, so that nothing comes loose.
    pub clears: bool,
}

/// The sorts of work, in the order they are done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum MillWork {
    /// A hole in the waste that a dowel keeps the turned sheet in place with.
    Dowel {
        diameter: f64,
    },
    Drill {
        diameter: f64,
    },
    Sink {
        diameter: f64,
    },
    /// An area milled to a depth.
    Pocket,
    /// In a part that lies in so many openings of others.
    Opening {
        inner: usize,
    },
    Outline {
        inner: usize,
    },
}

impl MillWork {
    /// On which side of its contour the bit goes.
    pub(super) fn side(self) -> BitSide {
        if matches!(self, Self::Outline { .. }) { BitSide::Outside } else { BitSide::Inside }
    }
}

/// Which bit does it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum JobBit {
    /// The one for outlines, or whatever the work itself names.
    Usual,
    /// The one for joints and small radii, where that is another.
    Joint,
}

/// The way of the bit.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum MillPath {
    /// All round, from the first vertex on, in the direction it is cut.
    Closed(Contour),
    /// The same with bridges left standing: what is cut right through, and what only down to the bridges.
    Broken {
        runs: Vec<Vec<Vertex>>,
        gaps: Vec<Vec<Vertex>>,
    },
    Circle {
        center: Point,
        radius: f64,
    },
}

impl MillJob {
    /// Mirrors it about its flip line, the upright through its middle.
    pub(crate) fn turned_over(&self) -> Affine {
        turned_over(self.area.size())
    }
}

/// Mirrors a sheet about its flip line, the upright through its middle: turned over like a page it lies where it lay.
pub(super) fn turned_over(size: Size) -> Affine {
    Affine::new([-1.0, 0.0, 0.0, 1.0, size.width, 0.0])
}
