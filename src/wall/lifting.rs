//! The revised NIOSH lifting equation: DHHS (NIOSH) Publication 94-110, section 1.3. For two hands, standing.

/// The load constant in kg.
const LOAD: f64 = 23.0;

/// A lift: lengths in cm as the manual has them.
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
    Good,
    Fair,
    Poor,
}

impl Coupling {
    /// Table 7.
    fn multiplier(self, low: bool) -> f64 {
        match (self, low) {
            (Self::Good, _) | (Self::Fair, false) => 1.0,
            (Self::Fair, true) => 0.95,
            (Self::Poor, _) => 0.90,
        }
    }
}

/// Below this the hands are low, in cm: 30 in.
const LOW: f64 = 75.0;

impl Lift {
    /// A tool taken off the wall now and then (at most one in five minutes: multiplier 1), `depth` mm deep, hands `at` mm
    /// above the floor, and lowered or raised to the height at which it is carried, taken as 75 cm. How far out the hands
    /// are is estimated as in section 1.3.1.1: 20 cm and half the depth, 25 cm and half where they are low.
    pub(crate) fn off_the_wall(at: f64, depth: f64, coupling: Coupling) -> Self {
        let vertical = at / 10.0;
        let before = if vertical < 25.0 { 25.0 } else { 20.0 };
        Self {
            horizontal: before + depth / 20.0,
            vertical,
            travel: (vertical - LOW).abs(),
            asymmetry: 0.0,
            frequency: 1.0,
            coupling,
        }
    }

    /// The recommended weight limit in kg; 0 beyond what the equation covers.
    pub(crate) fn limit(self) -> f64 {
        let (h, v, d) = (self.horizontal.max(25.0), self.vertical, self.travel.max(25.0));
        if h > 63.0 || v > 175.0 || d > 175.0 || self.asymmetry > 135.0 {
            return 0.0;
        }
        let horizontal = 25.0 / h;
        let vertical = 1.0 - 0.003 * (v - 75.0).abs();
        let travel = 0.82 + 4.5 / d;
        let asymmetry = 1.0 - 0.0032 * self.asymmetry;
        LOAD * horizontal
            * vertical
            * travel
            * asymmetry
            * self.frequency
            * self.coupling.multiplier(v < LOW)
    }
}
