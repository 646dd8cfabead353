//! What pulls a fastener's head through the piece it holds.

use std::f64::consts::PI;

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
