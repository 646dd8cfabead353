//! Adding wood to a region: the tabs that stand out from an edge.

use kurbo::Point;

use super::boolean::union;
use super::contact::contacts;
use super::{Contour, Region};

/// Why two shapes can't become one. Places in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum JoinError {
    #[error("the piece round ({:.1}, {:.1}) does not reach the part", .at.x, .at.y)]
    Apart { at: Point },
    #[error("the piece round ({:.1}, {:.1}) and the part's edges can't be told apart", .at.x, .at.y)]
    Unclear { at: Point },
}

impl Region {
    /// The region together with what lies within `piece` (either winding), which must overlap it.
    /// Openings stay as they are; where `piece` lies over one, nothing is filled.
    ///
    /// # Errors
    /// When the two do not overlap, or enclose a hollow between them.
    ///
    /// ```
    /// use cleatwright::kernel::{Region, rectangle};
    /// use kurbo::Point;
    /// let arm = Region::new(rectangle(Point::ORIGIN, 100.0, 80.0, [0.0; 4]).unwrap(), vec![]);
    /// let tab = rectangle(Point::new(-18.0, 30.0), 20.0, 20.0, [0.0; 4]).unwrap();
    /// let tabbed = arm.join(&tab).unwrap();
    /// assert!((tabbed.area() - arm.area() - 18.0 * 20.0).abs() < 1e-9);
    /// ```
    pub fn join(&self, piece: &Contour) -> Result<Self, JoinError> {
        let at = piece.bounds().center();
        let pieces = union(self.outline(), piece).ok_or(JoinError::Unclear { at })?;
        let [outline] = pieces.solid.as_slice() else { return Err(JoinError::Apart { at }) };
        if !pieces.hollow.is_empty() {
            return Err(JoinError::Unclear { at });
        }
        let region = Self::new(outline.clone(), self.openings().to_vec());
        match contacts(region.contours(), piece.bounds()).first() {
            Some(_) => Err(JoinError::Unclear { at }),
            None => Ok(region),
        }
    }
}
