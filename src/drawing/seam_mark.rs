//! The mark by which two pieces of paper are laid true.

use kurbo::{Point, Vec2};

use super::{Item, Line, Path};
use crate::kernel::{Contour, Vertex};

/// Half a diamond's diagonal, in mm.
pub(crate) const DIAMOND: f64 = 2.5;

/// A diamond with two opposite quarters filled: its middle is a point, and half of it on each
/// page tells at a glance whether the halves belong together.
pub(crate) fn seam_mark(at: Point) -> Vec<Item> {
    let corner = |x: f64, y: f64| Vertex { at: at + Vec2::new(x, y) * DIAMOND, bulge: 0.0 };
    let (right, top, left, bottom) =
        (corner(1.0, 0.0), corner(0.0, 1.0), corner(-1.0, 0.0), corner(0.0, -1.0));
    let middle = corner(0.0, 0.0);
    let quarters = [[middle, top, left], [middle, bottom, right]];
    let edge = Contour::new([right, top, left, bottom])
        .map(|c| Item::Stroke { line: Line::Furniture, path: Path::Closed(c) });
    quarters.into_iter().filter_map(Contour::new).map(Item::Fill).chain(edge).collect()
}
