//! What pulls a fastener's head through the piece it holds.

use std::f64::consts::PI;

use super::allowable::OF_CLASS;
use super::wrong::{Wrong, positive};
use crate::length::{MM_PER_INCH, NEWTONS_PER_POUND};
use crate::shop::NdsGravity;

/// Reference head pull-through design value in N (NDS-2018 12.2.5, eq. 12.2-6a and b):
/// 690 π D G² t pounds up to a thickness of 2.5 head diameters, 1725 π D² G² beyond.
///
/// `head` is the head's diameter and `thickness` that of the piece under it, in mm. For round and
/// flat-bearing heads; a countersunk head leaves less wood under it: pass the thickness below
/// the head's cone to be careful (common practice, no source).
///
/// # Errors
/// When a figure is not above 0.
pub(crate) fn pull_through(wood: NdsGravity, head: f64, thickness: f64) -> Result<f64, Wrong> {
    let gravity = positive("the specific gravity", wood.0)?;
    let head = positive("the head's diameter", head)? / MM_PER_INCH;
    let thickness = positive("the thickness under the head", thickness)? / MM_PER_INCH;
    let counted = thickness.min(2.5 * head);
    Ok(690.0 * PI * head * gravity.powi(2) * counted * NEWTONS_PER_POUND)
}

/// What a head of 1 mm² holds in wood of [`OF_DENSITY`], in N: a typical value of the assessments that EN
/// 1995-1-1 leaves it to.
const TYPICAL: f64 = 10.5;

/// The characteristic density that [`TYPICAL`] is for, in kg/m³.
const OF_DENSITY: f64 = 350.0;

/// Average over characteristic density (EN 338, from memory).
const AVERAGE: f64 = 1.2;

/// What the head of a metric screw may bear under a load that stays, in N: 10.5 D² (density / 350)^0.8
/// (EN 1995-1-1 8.7.2, (8.40b)), by [`OF_CLASS`]. `head` in mm; the characteristic density is taken as the
/// ovendry gravity by 1.2, which is careful, for moisture only raises it.
///
/// # Errors
/// When a figure is not above 0.
pub(crate) fn head_of_metric_screw(wood: NdsGravity, head: f64) -> Result<f64, Wrong> {
    let density = positive("the specific gravity", wood.0)? * 1000.0 / AVERAGE;
    let head = positive("the head's diameter", head)?;
    Ok(TYPICAL * head.powi(2) * (density / OF_DENSITY).powf(0.8) * OF_CLASS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::Screw;
    use crate::strength::{LASTING, ScrewGrain, nds_withdrawal};

    /// `reference/handbook.toml`, eurocode5.screw_axial: 10.5 N/mm² and a head of 8 mm hold 672.00 N at
    /// 350 kg/m³ and 777.52 N at 420.
    #[test]
    fn heads_hold_what_the_code_says() {
        for (density, newtons) in [(350.0, 672.00), (420.0, 777.52)] {
            let gravity = NdsGravity(density * AVERAGE / 1000.0);
            let held = head_of_metric_screw(gravity, 8.0).unwrap() / OF_CLASS;
            assert!((held - newtons).abs() < 0.01, "{held}");
        }
    }

    /// EN 1995-1-1 (8.38) to (8.40), same place: f_ax = 0.52 d^-0.5 l^-0.1 rho^0.8 is 16.0898 N/mm² for 6 mm,
    /// 36 mm of thread and 350 kg/m³, and with k_d the screw holds 2606.56 N. By the NDS ours is counted with
    /// less in C24, the class of that density.
    #[test]
    fn threads_are_counted_with_no_more_than_the_code_says() {
        let held = |d: f64, thread: f64, density: f64| {
            let f_ax = 0.52 * d.powf(-0.5) * thread.powf(-0.1) * density.powf(0.8);
            f_ax * d * thread * (d / 8.0).min(1.0)
        };
        assert!((held(6.0, 36.0, 350.0) - 2606.56).abs() < 0.01);
        assert!((held(8.0, 80.0, 380.0) - 8793.39).abs() < 0.01);
        let c24 = crate::shop::find_wood("C24").wood.screw_gravity();
        for (d, thread) in [(6.0, 20.0), (6.0, 36.0), (6.0, 60.0), (8.0, 80.0)] {
            let shank = Screw::threaded(d).unwrap().shank();
            let ours = nds_withdrawal(c24, ScrewGrain::Side, shank, thread).unwrap().unwrap();
            let code = held(d, thread, 350.0) * OF_CLASS;
            assert!(ours * LASTING <= code, "{d} × {thread}: {ours} against {code}");
        }
    }
}
