//! Screws pulled and loaded across at once.

use super::wrong::{Wrong, not_negative, positive};

/// Design value in N of a wood screw under a load at `angle` degrees to the wood's surface:
/// 0 is purely across the screw, 90 purely along it (NDS-2018 eq. 12.4-1):
/// W Z / (W cos² α + Z sin² α).
///
/// `withdrawal` is the adjusted withdrawal value for the whole penetration (the W'p of the NDS),
/// `lateral` the adjusted lateral value Z', both in N and of the same screw or group.
///
/// # Errors
/// When a value is not above 0.
pub(crate) fn combined(withdrawal: f64, lateral: f64, angle: f64) -> Result<f64, Wrong> {
    let pull = positive("the withdrawal value", withdrawal)?;
    let across = positive("the lateral value", lateral)?;
    let (sin, cos) = angle.to_radians().sin_cos();
    Ok(pull * across / (pull * cos * cos + across * sin * sin))
}

/// How much of a screw's strength a pull of `pull` N along it and a load of `shear` N across it
/// take together, 1.0 being all: the load over [`combined`] at the angle the two make.
/// `withdrawal` is `None` where none may be counted (end grain): then any pull is
/// too much, `f64::INFINITY`.
///
/// # Errors
/// When a value is not above 0 or a load is negative.
pub(crate) fn fastener_ratio(
    pull: f64,
    shear: f64,
    withdrawal: Option<f64>,
    lateral: f64,
) -> Result<f64, Wrong> {
    let pull = not_negative("the pull", pull)?;
    let shear = not_negative("the load across the screw", shear)?;
    let lateral = positive("the lateral value", lateral)?;
    match withdrawal {
        _ if pull == 0.0 => Ok(shear / lateral),
        Some(withdrawal) => {
            let angle = pull.atan2(shear).to_degrees();
            Ok(pull.hypot(shear) / combined(withdrawal, lateral, angle)?)
        }
        None => Ok(f64::INFINITY),
    }
}
