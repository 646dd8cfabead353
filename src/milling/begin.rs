//! Where a cut begins: in the middle of a long straight side, where the mark that the bit leaves going down is
//! planed off, and nothing has to fit.

use kurbo::Rect;

use super::bridge::{EdgeSide, by_choice};
use crate::kernel::Contour;

/// An outline from the middle of its longest straight side that is in no slot and no joint; of a part with nothing else,
/// of a shoulder, or a tab.
pub(super) fn outline(contour: &Contour, tabs: &[Rect]) -> Contour {
    let sides = by_choice(contour, tabs).into_iter().find(|sides| !sides.is_empty());
    from(contour, sides.unwrap_or_default())
}

/// An opening from the middle of its longest straight side.
pub(super) fn opening(contour: &Contour) -> Contour {
    from(contour, EdgeSide::all(contour).into_iter().filter(|side| side.segment.is_line()))
}

/// The contour as it is, but from the middle of the longest of these of its sides; of those as long to a micrometer
/// the first.
fn from(contour: &Contour, sides: impl IntoIterator<Item = EdgeSide>) -> Contour {
    let length = |side: &EdgeSide| (side.length() * 1e3).round() as i64;
    let longest = sides.into_iter().enumerate();
    let longest = longest.max_by_key(|(place, side)| (length(side), usize::MAX - place));
    let begin = longest.and_then(|(_, side)| contour.segments().position(|s| s == side.segment));
    begin.map_or_else(|| contour.clone(), |side| contour.begun_at(side, 0.5))
}
