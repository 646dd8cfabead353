//! Outlines: closed contours of lines and true arcs, what is cut away from them, and whether the
//! result can be made.

mod align;
mod arcs;
mod boolean;
mod contact;
mod contour;
pub(crate) mod convex;
mod cut;
mod distance;
mod join;
mod offset;
mod polyline;
pub(crate) mod prism;
mod region;
mod relief;
mod shape;
mod slot;
mod sound;
mod tidy;
pub(crate) mod vector;

#[cfg(test)]
pub(crate) use arcs::MOST_PIECES;
pub use arcs::{FitError, fit_arcs};
pub use contour::{Arc, Contour, Segment, Vertex};
pub use cut::CutError;
pub use distance::Gap;
pub use join::JoinError;
pub use offset::{BitSide, OffsetError};
pub use region::Region;
pub use relief::{Relief, ReliefError, relieve};
pub use shape::{ShapeError, polygon, rectangle};
pub use slot::{closed_slot, eased_slot, open_slot, tapered_slot};
pub(crate) use sound::cut_edges;
pub use sound::{Rules, Unsound, check};
