//! A part: one kind of piece of wood, all that is needed to mark, cut and drill it.

use kurbo::{Point, Rect};

use super::bit::HoleBit;
use super::caution;
use super::feature::Feature;
use super::open_sides::OpenSides;
use super::placement::Placement;
use crate::kernel::{Contour, Region};
use crate::length::MM_PER_INCH;
use crate::shop::{Screw, StockKind};
use crate::style::{Edge, Face, Grain, Purpose};

/// One kind of piece, cut as often as it is placed.
///
/// Coordinates are mm, x right, y up, the origin at the lower left corner of the part's bounds,
/// seen from its show face.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    /// Name within the holder, safe as a file name: lower-case words joined by `-`.
    pub name: String,
    /// Its name in the style: parts that differ by `n` share it.
    pub kind: String,
    /// What it is and does, in a few words.
    pub about: String,
    /// What it is cut from.
    pub stock: Stock,
    /// Outline and openings.
    pub region: Region,
    /// Which way the grain of the wood runs on the part.
    pub grain: Grain,
    /// Holes made with a bit, on the show face unless they say otherwise.
    pub drillings: Vec<Drilling>,
    /// Areas milled to a depth.
    pub pockets: Vec<Pocket>,
    /// Lines to scribe, not to cut.
    pub marks: Vec<Mark>,
    /// Rows of like things worth a dimension.
    pub rows: Vec<Row>,
    /// What an edge is called: "front edge", "against the wall".
    pub edges: Vec<EdgeName>,
    /// A long edge sawn at an angle.
    pub bevel: Option<Bevel>,
    /// Where each piece sits in the finished holder, one entry a piece.
    pub places: Vec<Placement>,
    /// Made by router (inside corners keep the bit's radius) or by hand.
    pub made_by: MadeBy,
}

/// The parts of a kind that have pieces, by their places in `parts`.
pub(super) fn made_of(kind: &str, parts: &[Part]) -> Vec<usize> {
    let made = |at: &usize| parts[*at].kind == kind && !parts[*at].places.is_empty();
    (0..parts.len()).filter(made).collect()
}

impl Part {
    /// How many pieces are cut.
    pub(crate) fn quantity(&self) -> usize {
        self.places.len()
    }

    /// What one of its pieces, counted from 0, is called: with its number where there are several.
    pub(crate) fn piece_name(&self, piece: usize) -> String {
        if self.quantity() > 1 { format!("{} {}", self.name, piece + 1) } else { self.name.clone() }
    }

    /// Bounding size along x, in mm.
    pub(crate) fn length(&self) -> f64 {
        self.region.bounds().width()
    }

    /// Bounding size along y, in mm.
    pub(crate) fn width(&self) -> f64 {
        self.region.bounds().height()
    }

    /// Mass of all its pieces in kg; what is drilled out is not taken off.
    pub(crate) fn mass(&self) -> f64 {
        let thickness = self.stock.thickness;
        let one = if self.is_round() {
            std::f64::consts::PI * thickness * thickness / 4.0 * self.length()
        } else {
            let bevel = self.bevel.map_or(0.0, |b| {
                thickness * thickness * b.angle.to_radians().tan() / 2.0 * self.length()
            });
            let milled: f64 = self.pockets.iter().map(|p| p.wood() * p.depth).sum();
            self.region.area() * thickness - bevel - milled
        };
        one * 1e-9 * self.stock.density * self.quantity() as f64
    }

    /// What to mind where fingers would come too near the blade or bit while it is worked.
    pub(crate) fn caution(&self) -> Option<&'static str> {
        let (length, width) = (self.length(), self.width());
        match (length.max(width) < SMALL.0, length.min(width) < SMALL.1) {
            (false, false) => None,
            _ if self.made_by == MadeBy::Router => Some(caution::SMALL_ROUTED),
            (true, _) => Some(caution::SMALL_PART),
            (false, true) => Some(caution::NARROW_PART),
        }
    }

    /// Whether it is a round rod: drawn from the side, its thickness is its diameter.
    pub(crate) fn is_round(&self) -> bool {
        self.stock.kind == StockKind::Dowel
    }
}

/// Shorter or narrower than this, in mm, a part is too small to be held by hand at a saw or a
/// router. Common practice, no source.
const SMALL: (f64, f64) = (12.0 * MM_PER_INCH, 3.0 * MM_PER_INCH);

/// What a part is cut from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stock {
    /// Its name in the shop file.
    pub name: String,
    pub kind: StockKind,
    /// Actual thickness in mm; a dowel's diameter.
    pub thickness: f64,
    /// The wood's name in the shop file; the stock's own where that says nothing.
    pub wood: String,
    /// How many plies it has, where the shop file says.
    pub plies: Option<usize>,
    /// Density in kg/m³.
    pub density: f64,
}

/// How the shaped parts of a holder are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum MadeBy {
    Hand,
    Router,
}

/// A round hole made with a bit.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drilling {
    pub at: Point,
    /// In mm.
    pub diameter: f64,
    /// In mm from the face it starts on; `None` goes right through.
    pub depth: Option<f64>,
    pub purpose: Purpose,
    pub bit: HoleBit,
    /// Which face the bit enters.
    pub face: Face,
    /// Degrees the bit leans from square to the face, its tip toward smaller y.
    pub lean: f64,
}

/// An area milled to a depth: a pocket, a groove, or a rabbet where it runs out at an edge.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pocket {
    /// What the bit goes round, counter-clockwise; reliefs may bite past `area`, and where that is open at the part's
    /// edge it runs out past it.
    pub contour: Contour,
    /// The area wanted, within the part's bounds.
    pub area: Rect,
    pub open: OpenSides,
    /// Whether square wood is to seat in its corners.
    pub seat: bool,
    /// How much of `contour` lies out past the part's edge, in mm².
    pub run_out: f64,
    /// In mm from the face it is milled from.
    pub depth: f64,
    pub face: Face,
}

/// Something to scribe or to know, not to cut.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mark {
    pub kind: MarkKind,
    /// What it says beside itself, in the style's words; may be empty. A screw tells itself.
    pub label: String,
}

/// The forms of a mark.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum MarkKind {
    /// Where a mating part lands on the show face (`Face::Show`) or the back.
    Footprint { area: Rect, face: Face },
    /// A center line.
    Center { from: Point, to: Point },
    /// Where the saw goes.
    Saw { from: Point, to: Point },
    /// A line to scribe.
    Scribe { from: Point, to: Point },
    /// The way of a screw that enters the part's edge at `from`, hidden in the wood.
    EdgeScrew { from: Point, to: Point, screw: Screw },
}

/// Evenly spaced like things (slots, holes of one screw row), for dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Row {
    /// What each of them is.
    pub feature: Feature,
    /// Their centers in order, at least one.
    pub centers: Vec<Point>,
}

impl Row {
    /// Puts one more `feature` at `center` into the row of its like, which it begins if there is none.
    pub(super) fn add(rows: &mut Vec<Self>, feature: Feature, center: Point) {
        match rows.iter_mut().find(|row| row.feature.is_like(&feature)) {
            Some(row) => row.centers.push(center),
            None => rows.push(Self { feature, centers: vec![center] }),
        }
    }
}

/// A name for one edge of a part's bounds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct EdgeName {
    pub edge: Edge,
    pub label: String,
}

/// A long edge sawn at an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bevel {
    /// Only `Top` and `Bottom` are in use: bevels run along the length.
    pub edge: Edge,
    /// Degrees from square to the face.
    pub angle: f64,
    /// The face that keeps the part's full width; the other one is narrower by
    /// thickness × tan(angle).
    pub full_face: Face,
}
