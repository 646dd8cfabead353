//! The marks of a tape, which free sizes come on.

use super::Units;
use crate::tolerance::COORDINATE;

/// A tape with its finest marks this far apart, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tape {
    /// How far apart they are, above 0.
    pub grid: f64,
}

impl Tape {
    /// The marks that people read without a second look: 1/16 in, 1 mm. Common practice, no source.
    pub fn usual(units: Units) -> Self {
        Self { grid: units.either(1.0 / 16.0, 1.0) }
    }

    /// The next mark up, in mm; the one that it is on within the tolerance of a coordinate.
    pub fn up(self, mm: f64) -> f64 {
        ((mm - COORDINATE) / self.grid).ceil() * self.grid
    }

    /// The last mark down to it, in mm; the one that it is on within the tolerance of a coordinate.
    pub fn down(self, mm: f64) -> f64 {
        ((mm + COORDINATE) / self.grid).floor() * self.grid
    }

    /// The nearest mark, in mm. Midway goes up, whatever the last binary digit says.
    pub fn nearest(self, mm: f64) -> f64 {
        self.mark(self.marks(mm))
    }

    /// How many marks from nought the nearest one is.
    pub fn marks(self, mm: f64) -> i64 {
        (mm / self.grid + 1e-6).round() as i64
    }

    /// The mark so many from nought, in mm.
    pub fn mark(self, marks: i64) -> f64 {
        marks as f64 * self.grid
    }
}

#[cfg(test)]
mod tests {
    use super::Tape;
    use crate::length::Units;

    #[test]
    fn a_place_comes_on_the_mark_above_below_or_nearest() {
        let tape = Tape::usual(Units::Inches);
        let sixteenths =
            |mm: f64| [tape.up(mm), tape.down(mm), tape.nearest(mm)].map(|mm| mm / 25.4 * 16.0);
        assert_eq!(sixteenths(25.4), [16.0; 3]);
        assert_eq!(sixteenths(25.4 + 1e-7), [16.0; 3]);
        assert_eq!(sixteenths(25.4 - 1e-7), [16.0; 3]);
        assert_eq!(sixteenths(25.5), [17.0, 16.0, 16.0]);
        assert_eq!(sixteenths(25.4 * 33.0 / 32.0), [17.0, 16.0, 17.0]);
        assert_eq!(sixteenths(-1.0), [0.0, -1.0, -1.0]);
    }
}
