//! Outlines: closed contours of lines and true arcs, what is cut away from them, and whether the
//! result can be made.

mod contour;
mod region;

pub use contour::{Arc, Contour, Segment, Vertex};
pub use region::Region;
