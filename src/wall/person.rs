//! Who reaches for the tools: heights of a standing person, by body height.

/// Body height of the middle of men and women together, in mm: halfway between both medians of ANSUR II (1755 and 1626).
const MIDDLE: f64 = 1690.0;

/// Shoes, in mm: Pheasant, Bodyspace, correction for shod heights.
const SHOES: f64 = 25.0;

/// Heights over body height, both medians of ANSUR II (Potvin et al. 2021, table 3: 50th percentile of ANSUR II, women
/// and men): knuckle 0.73 of 1.63 and 0.78 of 1.76 m, elbow 1.02 and 1.10, shoulder 1.33 and 1.44, grip reach overhead 1.96 and 2.14.
const KNUCKLE: f64 = (0.73 / 1.63 + 0.78 / 1.76) / 2.0;
const ELBOW: f64 = (1.02 / 1.63 + 1.10 / 1.76) / 2.0;
const SHOULDER: f64 = (1.33 / 1.63 + 1.44 / 1.76) / 2.0;
const REACH: f64 = (1.96 / 1.63 + 2.14 / 1.76) / 2.0;

/// The heights of a standing person in shoes, above the floor in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Person {
    /// Of a fist beside the body.
    pub knuckle: f64,
    pub elbow: f64,
    pub shoulder: f64,
    /// The highest that a hand grips at.
    pub reach: f64,
}

impl Person {
    /// By body height without shoes, in mm.
    pub(crate) fn of_height(height: f64) -> Self {
        let at = |share: f64| height * share + SHOES;
        Self { knuckle: at(KNUCKLE), elbow: at(ELBOW), shoulder: at(SHOULDER), reach: at(REACH) }
    }

    /// By the highest that a hand grips at, in mm, shoes on.
    pub(crate) fn of_reach(reach: f64) -> Self {
        Self::of_height((reach - SHOES) / REACH)
    }
}

impl Default for Person {
    /// Of middle height.
    fn default() -> Self {
        Self::of_height(MIDDLE)
    }
}
