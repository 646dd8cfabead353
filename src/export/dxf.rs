//! Outlines for a router or a laser: one part, or one sheet of parts, to a DXF file.
//!
//! The group codes are written here, after the DXF reference, and not by the `dxf` crate: its
//! R2000 files lack the handles of seven tables, its R12 files hold table entries without names,
//! and it stamps every file with the time and random identifiers.
//!
//! What is in the file of a part (for sheets see [`write_sheet`]):
//! - the part's lower left corner at the origin, seen from the face that is up;
//! - every contour closed, with true arcs (bulges), no piece of zero length; broken only where bridges stand in the
//!   way of a bit's center;
//! - drillings as circles;
//! - layers by what the machine does, entities in the order it does them, see [`JobLayer`];
//! - words above the part, so that the drawing's lower left corner stays the part's.
//!
//! The same part and options give the same bytes.

mod codes;
mod entity;
mod file;
mod handle;
mod marks;
mod milled;
mod notes;
mod sheet;
mod text;

use kurbo::{Affine, Point};

pub(crate) use sheet::write_sheet;

use crate::holder::{Face, Part};
use crate::kernel::{Contour, Vertex};
use crate::length::Units;
use crate::milling::{JobLayer, MillJob};
use crate::shop::RouterZero;

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

/// The DXF file of `part` as it is worked in `job` with `up` up, ASCII throughout. Every figure of the part must be
/// finite.
pub(crate) fn write_part(
    part: &Part,
    up: Face,
    job: &MillJob,
    zero: RouterZero,
    options: Dialect,
) -> String {
    let home = Affine::translate(-part.region.bounds().origin().to_vec2());
    let mut entities = marks::entities(part, up, home * part.seen_from(up));
    entities.extend(milled::entities(job));
    entities.extend(notes::entities(part, up, job, options.units));
    finish(entities, job, zero, options)
}

/// The file of what is drawn in a job's coordinates, in the order of the layers, moved to its zero.
fn finish(mut entities: Vec<Entity>, job: &MillJob, zero: RouterZero, options: Dialect) -> String {
    entities.sort_by_key(|entity| entity.layer);
    let by = -zero.of(job.area).to_vec2();
    let moved = Affine::translate(by);
    let entities: Vec<Entity> =
        entities.into_iter().map(|entity| entity.transformed(moved)).collect();
    file::write(&entities, job.area + by, options)
}

/// One thing drawn, in mm.
struct Entity {
    layer: JobLayer,
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
    /// A place.
    Spot(Point),
    Text(DxfText),
}

impl Entity {
    /// The entity moved, turned or mirrored by `map`, which must not stretch; words stay readable.
    fn transformed(self, map: Affine) -> Self {
        let [cos, sin, ..] = map.as_coeffs();
        let flip = map.determinant().signum();
        let moved = |v: &Vertex| Vertex { at: map * v.at, bulge: v.bulge * flip + 0.0 };
        let shape = match self.shape {
            Shape::Closed(contour) => Shape::Closed(contour.transformed(map)),
            Shape::Open(line) => Shape::Open(line.iter().map(moved).collect()),
            Shape::Circle { center, radius } => Shape::Circle { center: map * center, radius },
            Shape::Line { from, to } => Shape::Line { from: map * from, to: map * to },
            Shape::Spot(at) => Shape::Spot(map * at),
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
