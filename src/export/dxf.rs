//! Outlines for a router or a laser: one part, or one sheet of parts, to a DXF file.
//!
//! The group codes are written here, after the DXF reference, and not by the `dxf` crate: its
//! R2000 files lack the handles of seven tables, its R12 files hold table entries without names,
//! and it stamps every file with the time and random identifiers.
//!
//! What is in the file of a part (for sheets see [`write_sheet`]):
//! - the part's lower left corner at the origin, seen from its show face, as the part itself;
//! - every contour closed, with true arcs (bulges), no piece of zero length;
//! - drillings as circles, whatever face the bit enters from;
//! - layers by what the machine does, see [`DxfLayer`];
//! - words above the part, so that the drawing's lower left corner stays the part's.
//!
//! The same part and options give the same bytes.

mod codes;
mod entity;
mod file;
mod handle;
mod layer;
mod marks;
mod notes;
mod sheet;
mod text;

use kurbo::{Affine, Point};

pub(crate) use layer::DxfLayer;
pub(crate) use sheet::{SheetFollow, write_sheet};

use crate::holder::Part;
use crate::kernel::{Contour, Region, Vertex};
use crate::length::Units;

/// The two versions of the format a router's program may ask for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Version {
    /// AC1015: contours are LWPOLYLINEs.
    #[default]
    R2000,
    /// AC1009, for old machines: contours are POLYLINEs with VERTEXes.
    R12,
}

/// How a file is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dialect {
    /// Of the format.
    pub version: Version,
    /// The unit of every length in the file, stated in its header and in the notes.
    pub units: Units,
}

impl Default for Dialect {
    fn default() -> Self {
        Self { version: Version::R2000, units: Units::Millimeters }
    }
}

/// Which lines the machine is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Follow<'a> {
    /// The true edges of the part.
    Edges,
    /// The path of the bit's center: `region` is the part's region moved out of the wood by half
    /// of `bit` mm.
    BitCenter { region: &'a Region, bit: f64 },
}

/// The DXF file of `part`, ASCII throughout. Every figure of the part must be finite.
pub(crate) fn write(part: &Part, follow: Follow<'_>, options: Dialect) -> String {
    let region = follow.region(part);
    let mut entities = vec![outline(region)];
    entities.extend(openings(region));
    entities.extend(drillings(part));
    entities.extend(pockets(part));
    entities.extend(marks::entities(&part.marks));
    entities.extend(notes::entities(part, follow, options.units, region.bounds()));
    file::write(&entities, region.bounds(), options)
}

impl<'a> Follow<'a> {
    /// What is cut of `part`.
    fn region(self, part: &'a Part) -> &'a Region {
        match self {
            Self::Edges => &part.region,
            Self::BitCenter { region, .. } => region,
        }
    }
}

fn outline(region: &Region) -> Entity {
    Entity { layer: DxfLayer::Outline, shape: Shape::Closed(region.outline().clone()) }
}

fn openings(region: &Region) -> impl Iterator<Item = Entity> {
    let openings = region.openings().iter();
    openings.map(|o| Entity { layer: DxfLayer::Opening, shape: Shape::Closed(o.clone()) })
}

fn drillings(part: &Part) -> impl Iterator<Item = Entity> {
    part.drillings.iter().map(|drilling| Entity {
        layer: DxfLayer::of(drilling),
        shape: Shape::Circle { center: drilling.at, radius: drilling.diameter / 2.0 },
    })
}

fn pockets(part: &Part) -> impl Iterator<Item = Entity> {
    part.pockets.iter().map(|pocket| Entity {
        layer: DxfLayer::of_pocket(pocket),
        shape: Shape::Closed(pocket.contour.clone()),
    })
}

/// One thing drawn, in mm.
struct Entity {
    layer: DxfLayer,
    shape: Shape,
}

enum Shape {
    Closed(Contour),
    /// From the first vertex to the last, whose bulge is 0.
    Open(Vec<Vertex>),
    Circle {
        center: Point,
        radius: f64,
    },
    Line {
        from: Point,
        to: Point,
    },
    Text(DxfText),
}

impl Entity {
    /// The entity moved and turned by `map`, which must neither stretch nor mirror.
    fn transformed(self, map: Affine) -> Self {
        let [cos, sin, ..] = map.as_coeffs();
        let moved = |v: &Vertex| Vertex { at: map * v.at, bulge: v.bulge };
        let shape = match self.shape {
            Shape::Closed(contour) => Shape::Closed(contour.transformed(map)),
            Shape::Open(line) => Shape::Open(line.iter().map(moved).collect()),
            Shape::Circle { center, radius } => Shape::Circle { center: map * center, radius },
            Shape::Line { from, to } => Shape::Line { from: map * from, to: map * to },
            Shape::Text(text) => {
                let turn = text.turn + sin.atan2(cos).to_degrees();
                Shape::Text(DxfText { at: map * text.at, turn, ..text })
            }
        };
        Self { layer: self.layer, shape }
    }
}

/// A line of words.
struct DxfText {
    at: Point,
    words: String,
    /// Height of a capital letter in mm.
    height: f64,
    /// Degrees counter-clockwise about `at`.
    turn: f64,
    place: WordsAt,
}

/// Which point of the words stands at [`DxfText::at`].
#[derive(Clone, Copy, PartialEq, Eq)]
enum WordsAt {
    /// The start of the baseline.
    Start,
    /// The middle of the lower edge.
    BottomMiddle,
    /// The middle of their height and length.
    Middle,
}
