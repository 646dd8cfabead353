use thiserror::Error;

use super::factor::LEAST_PENETRATION;

/// A figure no formula here can be worked out for.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub(crate) enum Wrong {
    /// A size, load or gravity that must be above 0 is not, or is no number.
    #[error("{what} must be above 0 and is {value}")]
    NotPositive { what: &'static str, value: f64 },
    /// A figure that must be 0 or more is not, or is no number.
    #[error("{what} must be 0 or more and is {value}")]
    Negative { what: &'static str, value: f64 },
    /// A figure is no number or has grown beyond all numbers.
    #[error("{what} is {value}: no figure to reckon with")]
    NotFinite { what: &'static str, value: f64 },
    /// A screw too short in the far piece to count at all. In mm.
    #[error(
        "the screw goes {penetration} mm deep, and nothing can be counted below {least} mm ({LEAST_PENETRATION} diameters)"
    )]
    TooShallow { penetration: f64, least: f64 },
    /// A load or stretch lies off the beam. In mm.
    #[error("{what} at {at} mm lies off a beam {length} mm long")]
    OffBeam { what: &'static str, at: f64, length: f64 },
    /// Some of the beam's length, from this place on, in mm, has no wood named.
    #[error("nothing is said of the beam's section at {at} mm")]
    NoSection { at: f64 },
}

/// `value` if it is above 0 and finite.
pub(super) fn positive(what: &'static str, value: f64) -> Result<f64, Wrong> {
    let sound = value > 0.0 && value.is_finite();
    sound.then_some(value).ok_or(Wrong::NotPositive { what, value })
}

/// `value` if it is 0 or more and finite.
pub(super) fn not_negative(what: &'static str, value: f64) -> Result<f64, Wrong> {
    let sound = value >= 0.0 && value.is_finite();
    sound.then_some(value).ok_or(Wrong::Negative { what, value })
}

/// `value` if it is finite.
pub(super) fn finite(what: &'static str, value: f64) -> Result<f64, Wrong> {
    value.is_finite().then_some(value).ok_or(Wrong::NotFinite { what, value })
}
