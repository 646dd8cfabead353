//! Outlines for a router or a laser: one part to a DXF file.
//!
//! The group codes are written here, after the DXF reference, and not by the `dxf` crate: its
//! R2000 files lack the handles of seven tables, its R12 files hold table entries without names,
//! and it stamps every file with the time and random identifiers.
//!
//! What is in a file:
//! - the part's lower left corner at the origin, seen from its show face, as the part itself;
//! - every contour closed, with true arcs (bulges), no piece of zero length;
//! - drillings as circles, whatever face the bit enters from;
//! - layers by what the machine does, see [`Layer`];
//! - words above the part, so that the drawing's lower left corner stays the part's.
//!
//! The same part and options give the same bytes.

mod codes;
mod entity;
mod file;
mod layer;
mod marks;
mod notes;
mod text;

use kurbo::Point;

pub use layer::Layer;

use crate::holder::Part;
use crate::kernel::{Contour, Region};
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
pub struct Options {
    pub version: Version,
    /// The unit of every length in the file, stated in its header and in the notes.
    pub units: Units,
}

impl Default for Options {
    fn default() -> Self {
        Self { version: Version::R2000, units: Units::Millimetres }
    }
}

/// Which lines the machine is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Follow<'a> {
    /// The true edges of the part.
    Edges,
    /// The path of the bit's centre: `region` is the part's region moved out of the wood by half
    /// of `bit` mm.
    BitCentre { region: &'a Region, bit: f64 },
}

/// The DXF file of `part`, ASCII throughout. Every figure of the part must be finite.
pub fn write(part: &Part, follow: Follow<'_>, options: Options) -> String {
    let region = match follow {
        Follow::Edges => &part.region,
        Follow::BitCentre { region, .. } => region,
    };
    let mut entities = cuts(region);
    entities.extend(part.drillings.iter().map(|drilling| Entity {
        layer: Layer::of(drilling),
        shape: Shape::Circle { centre: drilling.at, radius: drilling.diameter / 2.0 },
    }));
    entities.extend(part.pockets.iter().map(|pocket| Entity {
        layer: Layer::of_pocket(pocket),
        shape: Shape::Closed(pocket.contour.clone()),
    }));
    entities.extend(marks::entities(&part.marks));
    entities.extend(notes::entities(part, follow, options.units, region.bounds()));
    file::write(&entities, region.bounds(), options)
}

fn cuts(region: &Region) -> Vec<Entity> {
    let outline = Entity { layer: Layer::Outline, shape: Shape::Closed(region.outline().clone()) };
    let openings = region
        .openings()
        .iter()
        .map(|opening| Entity { layer: Layer::Opening, shape: Shape::Closed(opening.clone()) });
    std::iter::once(outline).chain(openings).collect()
}

/// One thing drawn, in mm.
struct Entity {
    layer: Layer,
    shape: Shape,
}

enum Shape {
    Closed(Contour),
    Circle { centre: Point, radius: f64 },
    Line { from: Point, to: Point },
    Text(Text),
}

/// A line of words.
struct Text {
    at: Point,
    words: String,
    /// Height of a capital letter in mm.
    height: f64,
    /// Degrees counter-clockwise about `at`.
    turn: f64,
    place: Place,
}

/// Which point of the words stands at [`Text::at`].
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    /// The start of the baseline.
    Start,
    /// The middle of the lower edge.
    BottomMiddle,
}
