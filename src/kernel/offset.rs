//! Offset outlines: the way of a bit's center beside the line it cuts.

use cavalier_contours::polyline::{PlineOffsetOptions, PlineSource};
use kurbo::Point;

use super::Contour;
use super::polyline::{to_contour, to_polyline};
use crate::tolerance::{COORDINATE, REACH};

/// Why an offset can't be drawn. All figures in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[expect(missing_docs, reason = "the messages say it")]
pub enum OffsetError {
    #[error("an offset of {by} mm, or the contour, reaches further than 100 m")]
    TooLarge { by: f64 },
    #[error("a bit of {bit:.2} mm can't cut an outline")]
    NoBit { bit: f64 },
    #[error(
        "nothing is left of the contour round ({:.1}, {:.1}), {width:.2} by {height:.2} mm, at an \
         offset of {by:.2} mm",
        .at.x, .at.y
    )]
    Vanishes { at: Point, width: f64, height: f64, by: f64 },
    #[error(
        "the contour round ({:.1}, {:.1}) falls into {pieces} pieces at an offset of {by:.2} mm",
        .at.x, .at.y
    )]
    Splits { at: Point, pieces: usize, by: f64 },
    #[error(
        "a bit of {bit:.2} mm does not reach the edge at ({:.1}, {:.1}): its middle stays \
         {distance:.2} mm away",
        .at.x, .at.y
    )]
    OutOfReach { at: Point, bit: f64, distance: f64 },
}

impl Contour {
    /// The contour `by` mm further out all round (inward when negative), winding kept; round at
    /// corners it leaves behind. Grown by `d`, a convex contour of area A and perimeter P encloses
    /// A + P d + pi d² (Steiner's formula).
    ///
    /// # Errors
    /// When nothing or more than one contour is left.
    ///
    /// ```
    /// use cleatwright::kernel::rectangle;
    /// use kurbo::Point;
    /// let grown = rectangle(Point::ORIGIN, 100.0, 60.0, [0.0; 4]).unwrap().grown(3.0).unwrap();
    /// let steiner = 6000.0 + 320.0 * 3.0 + std::f64::consts::PI * 9.0;
    /// assert!((grown.area() - steiner).abs() < 1e-6);
    /// ```
    pub fn grown(&self, by: f64) -> Result<Self, OffsetError> {
        if !(by.abs() <= REACH && self.in_reach()) {
            return Err(OffsetError::TooLarge { by });
        }
        if by == 0.0 {
            return Ok(self.clone());
        }
        // The crate offsets to the left, which is inward for a counter-clockwise contour.
        let leftward = -by * self.area().signum();
        let paths = to_polyline(self).parallel_offset_opt(leftward, &PlineOffsetOptions::new());
        let mut paths: Vec<Self> =
            paths.iter().filter_map(to_contour).filter(|c| !c.is_sliver()).collect();
        let bounds = self.bounds();
        let at = bounds.center();
        match (paths.pop(), paths.len()) {
            (Some(path), 0) => Ok(path),
            (Some(_), more) => Err(OffsetError::Splits { at, pieces: more + 1, by }),
            (None, _) => {
                let (width, height) = (bounds.width(), bounds.height());
                Err(OffsetError::Vanishes { at, width, height, by })
            }
        }
    }
}

/// On which side of a contour a bit goes round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BitSide {
    /// Round a part.
    Outside,
    /// In an opening or a pocket.
    Inside,
}

impl Contour {
    /// The path for the middle of a bit of diameter `bit` (mm) that cuts along this contour: half a bit further out,
    /// or further in; winding kept.
    ///
    /// # Errors
    /// When an opening is too small, when the path falls into pieces, and when the bit stays away from the middle of
    /// some edge (a notch narrower than the bit, an arc rounder than it).
    pub fn path_of_bit(&self, bit: f64, side: BitSide) -> Result<Self, OffsetError> {
        if !(bit.is_finite() && bit > 0.0) {
            return Err(OffsetError::NoBit { bit });
        }
        let by = match side {
            BitSide::Outside => bit / 2.0,
            BitSide::Inside => -bit / 2.0,
        };
        let path = self.grown(by)?;
        for at in self.segments().map(|segment| segment.middle()) {
            let distance = path.distance_to(at);
            if distance > bit / 2.0 + COORDINATE {
                return Err(OffsetError::OutOfReach { at, bit, distance });
            }
        }
        Ok(path)
    }
}
