//! Factors by which reference design values are adjusted, and the least a screw must go in.

/// The load duration factor of loads that stay for good, as tools on a wall, by which strengths and
/// fastener values are multiplied, stiffness and compression across the grain not (NDS-2018 table
/// 2.3.2 and its footnotes).
pub(crate) const LASTING: f64 = 0.9;

/// A screw must go this many diameters into the far piece, point included (NDS-2018 12.1.5.6).
pub(crate) const LEAST_PENETRATION: f64 = 6.0;

/// Lateral design value in end grain as part of that in side grain (NDS-2018 12.5.2.2).
const END_GRAIN_LATERAL: f64 = 0.67;

/// What a fastener's length lies in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ScrewGrain {
    /// It stands across the grain: through a face or a long edge of a board. A panel's faces.
    Side,
    /// It runs along the grain, as into the end of a board.
    End,
}

impl ScrewGrain {
    /// The end grain factor for lateral loads (NDS-2018 12.5.2.2).
    pub(crate) fn lateral(self) -> f64 {
        match self {
            Self::Side => 1.0,
            Self::End => END_GRAIN_LATERAL,
        }
    }
}
