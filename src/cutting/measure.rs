//! Whole micrometers, in which all cuts are reckoned, and the mm of everything else.

/// Whole micrometers of a length in mm.
pub(super) fn micrometers(mm: f64) -> i64 {
    (mm * 1000.0).round() as i64
}

/// A length in mm.
pub(crate) fn millimeters(micrometers: i64) -> f64 {
    micrometers as f64 / 1000.0
}
