//! The revised NIOSH lifting equation: DHHS (NIOSH) Publication 94-110, section 1.3, in the inches and pounds that its
//! examples are in. For two hands, standing.

use crate::length::{KG_PER_POUND, MM_PER_INCH};

/// The load constant in lb.
const LOAD: f64 = 51.0;

/// Below this height the hands are low, in inches.
const LOW: f64 = 30.0;

/// How high a tool is carried once it is off the wall, in mm.
pub(crate) const CARRIED_AT: f64 = LOW * MM_PER_INCH;

/// A lift: lengths in inches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lift {
    /// From the middle between the ankles to the hands.
    pub horizontal: f64,
    /// From the floor to the hands.
    pub vertical: f64,
    /// How far up or down it goes.
    pub travel: f64,
    /// How far the body is turned, in degrees.
    pub asymmetry: f64,
    /// The multiplier for how often, from the manual's table 5.
    pub frequency: f64,
    pub coupling: Coupling,
}

/// How well hands hold the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Coupling {
    #[cfg(test)]
    Good,
    Fair,
    #[cfg(test)]
    Poor,
}

impl Coupling {
    /// Table 7.
    fn multiplier(self, low: bool) -> f64 {
        match self {
            Self::Fair => {
                if low {
                    0.95
                } else {
                    1.0
                }
            }
            #[cfg(test)]
            Self::Good => 1.0,
            #[cfg(test)]
            Self::Poor => 0.90,
        }
    }
}

impl Lift {
    /// A tool taken off the wall now and then (at most one in five minutes: multiplier 1), held fairly well, `depth` mm
    /// deep, hands `at` mm above the floor, and lowered or raised to where it is carried, taken as 30 in. How far out the
    /// hands are is estimated as in section 1.3.1.1: 8 in and half the depth, 10 in and half where they are low.
    pub(crate) fn off_the_wall(at: f64, depth: f64) -> Self {
        let (vertical, depth) = (at / MM_PER_INCH, depth / MM_PER_INCH);
        let before = if vertical < 10.0 { 10.0 } else { 8.0 };
        Self {
            horizontal: before + depth / 2.0,
            vertical,
            travel: (vertical - LOW).abs(),
            asymmetry: 0.0,
            frequency: 1.0,
            coupling: Coupling::Fair,
        }
    }

    /// The recommended weight limit in kg; 0 beyond what the equation covers.
    pub(crate) fn limit(self) -> f64 {
        let (h, v, d) = (self.horizontal.max(10.0), self.vertical, self.travel.max(10.0));
        if h > 25.0 || v > 70.0 || d > 70.0 || self.asymmetry > 135.0 {
            return 0.0;
        }
        let multipliers = [
            10.0 / h,
            1.0 - 0.0075 * (v - LOW).abs(),
            0.82 + 1.8 / d,
            1.0 - 0.0032 * self.asymmetry,
            self.frequency,
            self.coupling.multiplier(v < LOW),
        ];
        LOAD * KG_PER_POUND * multipliers.into_iter().product::<f64>()
    }
}
