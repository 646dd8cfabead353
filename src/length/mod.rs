//! Readings and figures: lengths as a tape reads, masses, angles and counts, and how they are
//! written back.

mod amount;
mod letters;
mod listed;
mod quantity;
mod reading;
mod round;
mod tape;
mod writing;

pub(crate) use amount::Amount;
pub use quantity::{Dimension, Quantity};
pub use reading::{Reading, ReadingError, read, read_unit};
pub use tape::Tape;
pub use writing::Units;

pub(crate) use letters::letters;
pub(crate) use listed::listed;
pub(crate) use reading::{MM_PER_FOOT, UNIT_WORDS, has_vulgar, starts_figure};
pub(crate) use round::in_round_mm;

/// Millimeters in an inch, exactly (SVG 1.1 and the international inch agree).
pub const MM_PER_INCH: f64 = 25.4;

/// Kilograms in a pound, exactly (international avoirdupois pound).
pub const KG_PER_POUND: f64 = 0.453_592_37;

/// Newtons a kilogram weighs, exactly: standard gravity (3rd CGPM, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Newtons in a pound-force.
pub const NEWTONS_PER_POUND: f64 = KG_PER_POUND * STANDARD_GRAVITY;

/// N/mm² in a pound-force per square inch.
pub const MPA_PER_PSI: f64 = NEWTONS_PER_POUND / (MM_PER_INCH * MM_PER_INCH);
