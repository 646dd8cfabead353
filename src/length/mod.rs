//! Readings and figures: lengths as a tape reads, masses, angles and counts, and how they are
//! written back.

mod quantity;
mod reading;
mod writing;

pub use quantity::{Dimension, Quantity};
pub use reading::{Reading, ReadingError, read, read_unit};
pub use writing::Units;

/// Millimetres in an inch, exactly (SVG 1.1 and the international inch agree).
pub const MM_PER_INCH: f64 = 25.4;
