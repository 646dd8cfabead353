//! Parts that lie in the openings of others, which are cut before these are.

use kurbo::Point;

use crate::kernel::{Contour, Region};
use crate::router::{RoutedPiece, RoutedSheet};

/// In how many openings of other pieces each piece of the sheet lies.
pub(super) fn levels(sheet: &RoutedSheet) -> Vec<usize> {
    let regions: Vec<Region> = sheet.parts.iter().map(RoutedPiece::region).collect();
    let level = |inner: &Region| {
        let Some(at) = inner.outline().vertices().first().map(|vertex| vertex.at) else { return 0 };
        let around = |opening: &&Contour| holds(opening, at);
        regions.iter().flat_map(Region::openings).filter(around).count()
    };
    regions.iter().map(level).collect()
}

fn holds(opening: &Contour, at: Point) -> bool {
    opening.bounds().contains(at) && opening.contains(at)
}
