//! Cutting shapes away from a piece of wood.

use kurbo::Point;

use super::align::aligned;
use super::boolean::{common, difference, union};
use super::contact::{contacts, self_contact};
use super::{Contour, Region};
use crate::tolerance::COORDINATE;

/// Why a cut can't be made. Places and areas in mm and mm².
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum CutError {
    #[error("the cut round ({:.1}, {:.1}) misses the wood", .at.x, .at.y)]
    Misses { at: Point },
    #[error("the cut leaves nothing of the part")]
    RemovesAll,
    #[error(
        "the cut splits the part into {pieces} pieces, which takes {loose:.0} mm² off the largest"
    )]
    Splits { pieces: usize, loose: f64 },
    #[error(
        "the cut frees an island of {area:.0} mm² round ({:.1}, {:.1}) from the part", .at.x, .at.y
    )]
    FreesIsland { at: Point, area: f64 },
    #[error("the cut leaves edges that touch at ({:.1}, {:.1})", .at.x, .at.y)]
    LeavesNoWood { at: Point },
    #[error("the shape to cut crosses or touches itself at ({:.1}, {:.1})", .at.x, .at.y)]
    SelfCrossing { at: Point },
    #[error("the shape to cut reaches further than 100 m")]
    OutOfReach,
    #[error("the cut round ({:.1}, {:.1}) and the part's edges can't be told apart", .at.x, .at.y)]
    Unclear { at: Point },
}

impl Region {
    /// The region without what lies within `cutter` (either winding).
    ///
    /// A cutter that crosses the outline reshapes it, one inside makes an opening, and openings
    /// it overlaps become one with it. Arcs stay arcs; the result has no segment shorter than a
    /// coordinate is exact, and no vertex that is not a corner.
    ///
    /// # Errors
    /// When the cut removes no wood, removes all of it, leaves more than one piece, or leaves
    /// edges that touch; see [`CutError`].
    ///
    /// ```
    /// use cleatwright::kernel::{Contour, Region, open_slot, rectangle};
    /// use kurbo::Point;
    /// let board = Region::new(rectangle(Point::ORIGIN, 100.0, 80.0, [0.0; 4]).unwrap(), vec![]);
    /// let slot = open_slot(Point::new(50.0, 60.0), Point::new(50.0, -1.0), 12.0, 12.0).unwrap();
    /// let shelf = board.cut(&slot).unwrap().cut(&Contour::circle(Point::new(20.0, 20.0), 5.0)).unwrap();
    /// assert_eq!(shelf.openings().len(), 1);
    /// // Four corners of the board and four of the slot; its round end is one true arc.
    /// assert_eq!(shelf.outline().vertices().len(), 8);
    /// assert_eq!(shelf.outline().segments().filter(|s| !s.is_line()).count(), 1);
    /// ```
    pub fn cut(&self, cutter: &Contour) -> Result<Self, CutError> {
        if !cutter.in_reach() {
            return Err(CutError::OutOfReach);
        }
        if let Some(at) = self_contact(cutter) {
            return Err(CutError::SelfCrossing { at });
        }
        let unclear = || CutError::Unclear { at: cutter.bounds().center() };
        let aligned = aligned(cutter, self.contours()).ok_or_else(unclear)?;
        let hole = Hole::merge(&aligned, self.openings()).ok_or_else(unclear)?;
        for island in &hole.islands {
            free_island(island, self.outline()).ok_or_else(unclear)??;
        }
        let pieces = difference(self.outline(), &hole.edge).ok_or_else(unclear)?;
        let outline = only_piece(pieces.solid)?;
        let openings = pieces.hollow.into_iter().chain(hole.untouched).collect();
        let region = Self::new(outline, openings);
        if self.area() - region.area() <= sliver_area(cutter) {
            return Err(CutError::Misses { at: cutter.bounds().center() });
        }
        match contacts(region.contours(), hole.edge.bounds()).first() {
            Some(contact) => Err(CutError::LeavesNoWood { at: contact.at }),
            None => Ok(region),
        }
    }
}

/// A cutter grown together with the openings it overlaps.
struct Hole {
    edge: Contour,
    /// Rings of wood that stand free within it.
    islands: Vec<Contour>,
    /// The openings it keeps clear of.
    untouched: Vec<Contour>,
}

impl Hole {
    /// One pass over the openings will do: they do not overlap each other, so that growing by
    /// one never brings the hole to another that it has passed.
    fn merge(cutter: &Contour, openings: &[Contour]) -> Option<Self> {
        let mut hole = Self { edge: cutter.clone(), islands: Vec::new(), untouched: Vec::new() };
        for opening in openings {
            if are_apart(&hole.edge, opening) {
                hole.untouched.push(opening.clone());
                continue;
            }
            let pieces = union(&hole.edge, opening)?;
            let [edge] = pieces.solid.as_slice() else {
                hole.untouched.push(opening.clone());
                continue;
            };
            hole.edge = edge.clone();
            let mut islands = pieces.hollow;
            for island in &hole.islands {
                islands.extend(difference(island, opening)?.solid);
            }
            hole.islands = islands;
        }
        Some(hole)
    }
}

/// Whether the boxes round two contours do not even touch.
fn are_apart(a: &Contour, b: &Contour) -> bool {
    let (a, b) = (a.bounds().inflate(COORDINATE, COORDINATE), b.bounds());
    a.x1 < b.x0 || b.x1 < a.x0 || a.y1 < b.y0 || b.y1 < a.y0
}

/// An error if the ring holds wood of the part; `None` if that can't be told.
fn free_island(ring: &Contour, outline: &Contour) -> Option<Result<(), CutError>> {
    let wood = common(ring, outline)?;
    let free = wood.solid.first().map(|piece| CutError::FreesIsland {
        at: piece.bounds().center(),
        area: wood.solid.iter().map(|p| p.area().abs()).sum(),
    });
    Some(free.map_or(Ok(()), Err))
}

fn only_piece(mut solid: Vec<Contour>) -> Result<Contour, CutError> {
    solid.sort_by(|a, b| b.area().abs().total_cmp(&a.area().abs()));
    let loose = solid.iter().skip(1).map(|p| p.area().abs()).sum();
    match solid.len() {
        0 | 1 => solid.pop().ok_or(CutError::RemovesAll),
        pieces => Err(CutError::Splits { pieces, loose }),
    }
}

/// The area of a strip along half the cutter as wide as a coordinate is exact.
pub(super) fn sliver_area(cutter: &Contour) -> f64 {
    COORDINATE * cutter.perimeter() / 2.0
}
