//! Scales that walls are drawn at.

use std::fmt;

use kurbo::Point;

use crate::length::Units;

/// How many times smaller than it is a wall is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct WallScale {
    times: f64,
    /// Inches to the foot, as they are written; a ratio where there is none.
    to_the_foot: Option<&'static str>,
}

impl WallScale {
    /// From mm on the wall to mm on paper.
    pub(super) fn shrink(self) -> f64 {
        1.0 / self.times
    }

    pub(super) fn at(self, place: Point) -> Point {
        (place.to_vec2() * self.shrink()).to_point()
    }
}

impl fmt::Display for WallScale {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.to_the_foot {
            Some(inches) => write!(to, "{inches} in = 1 ft"),
            None => write!(to, "1 : {}", self.times),
        }
    }
}

/// Scales of the architect's rule. Common practice, no source.
const INCHES: [(f64, &str); 11] = [
    (4.0, "3"),
    (8.0, "1 1/2"),
    (12.0, "1"),
    (16.0, "3/4"),
    (24.0, "1/2"),
    (32.0, "3/8"),
    (48.0, "1/4"),
    (64.0, "3/16"),
    (96.0, "1/8"),
    (128.0, "3/32"),
    (192.0, "1/16"),
];

/// Those of ISO 5455, and between them others that rules have. Common practice, no source.
const METRIC: [f64; 11] = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 200.0];

/// For a wall that no usual scale brings onto a page.
pub(super) const LEAST: WallScale = WallScale { times: 500.0, to_the_foot: None };

/// The usual scales, the largest first.
pub(super) fn usual(units: Units) -> Vec<WallScale> {
    let ratio = |times| WallScale { times, to_the_foot: None };
    let foot = |(times, inches)| WallScale { times, to_the_foot: Some(inches) };
    match units {
        Units::Inches => INCHES.map(foot).to_vec(),
        Units::Millimeters => METRIC.map(ratio).to_vec(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn so_many_inches_are_a_foot() {
        for scale in usual(Units::Inches) {
            let inches = crate::length::read(scale.to_the_foot.unwrap()).unwrap().value;
            assert!((inches * scale.times - 12.0).abs() < 1e-9, "{scale}");
        }
    }
}
