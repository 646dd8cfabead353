//! A rod that stands in a hole: what its rim is pressed with.

use super::wrong::{Wrong, not_negative, positive};
use crate::length::MM_PER_INCH;

/// Stress at the rim of a hole in N/mm² where a rigid rod in it carries `force` N, `lever` mm beyond the rim: P (4 t +
/// 6 a) / t² for each mm along the hole, over the rod's diameter. `depth` t and `diameter` in mm.
///
/// The pressure is taken to run straight over the depth: P / t of the force and 6 M / t² of its moment about the
/// middle, M = P (a + t / 2) (elementary mechanics).
///
/// # Errors
/// When a size is not above 0, or the load or its lever is negative.
pub(crate) fn rim_stress(force: f64, lever: f64, depth: f64, diameter: f64) -> Result<f64, Wrong> {
    let force = not_negative("the load on a rod", force)?;
    let lever = not_negative("the lever of the load on a rod", lever)?;
    let depth = positive("the depth of a hole", depth)?;
    let pressed = force * (4.0 * depth + 6.0 * lever) / depth.powi(2);
    Ok(pressed / positive("the diameter of a rod", diameter)?)
}

/// By what crushing across the grain may be raised where wood is pressed on so many mm of its length alone: (l + 3/8 in)
/// / l below 6 in, at most the 1.75 that the table begins with (NDS-2018 3.10.4, from memory).
pub(crate) fn short_bearing(length: f64) -> f64 {
    let more = 0.375 * MM_PER_INCH;
    if length < 6.0 * MM_PER_INCH { ((length + more) / length).min(1.75) } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 90 N, 100 mm out of a hole 20 mm deep, 25 mm wide: 4.5 N/mm of the force, 6 × 90 × 110 / 400 =
    /// 148.5 N/mm of the moment, 153 N/mm at the rim. The sum of that line over the depth is the force again.
    #[test]
    fn the_rim_takes_force_and_moment() {
        let rim = rim_stress(90.0, 100.0, 20.0, 25.0).unwrap() * 25.0;
        assert!((rim - 153.0).abs() < 1e-9, "{rim}");
        let bottom = 4.5 - 148.5;
        assert!((f64::midpoint(rim, bottom) * 20.0 - 90.0).abs() < 1e-9);
        assert!(rim_stress(90.0, 100.0, 0.0, 25.0).is_err());
    }

    /// NDS table 3.10.4, from memory: 1.75, 1.38, 1.25, 1.13, 1.10 on 1/2, 1, 1 1/2, 3 and 4 in.
    #[test]
    fn short_bearings_are_those_of_the_table() {
        for (inches, factor) in [(0.5, 1.75), (1.0, 1.38), (1.5, 1.25), (3.0, 1.13), (4.0, 1.10)] {
            assert!((short_bearing(inches * MM_PER_INCH) - factor).abs() < 0.0065, "{inches}");
        }
        assert_eq!(short_bearing(6.0 * MM_PER_INCH), 1.0);
    }
}
