//! What pulls a wood screw out along its length.

use super::factor::ScrewGrain;
use super::wrong::{Wrong, not_negative, positive};
use crate::length::{MM_PER_INCH, NEWTONS_PER_POUND};
use crate::shop::NdsGravity;

/// Pounds per inch of thread, per inch of diameter, in NDS-2018 eq. 12.2-2.
const NDS: f64 = 2850.0;

/// Reference withdrawal design value of a wood screw in N: 2850 G² D pounds per inch of thread,
/// point included (NDS-2018 12.2.2.1, eq. 12.2-2). `shank` is the nominal diameter and `thread` the
/// length of thread within the wood, in mm. `None` in end grain, for which the NDS has no value:
/// wood screws shall not be loaded in withdrawal from it (12.2.2.2).
///
/// # Errors
/// When gravity or shank are not above 0, or the thread is negative.
pub(crate) fn nds_withdrawal(
    wood: NdsGravity,
    grain: ScrewGrain,
    shank: f64,
    thread: f64,
) -> Result<Option<f64>, Wrong> {
    let gravity = positive("the specific gravity", wood.0)?;
    let inches = positive("the screw's diameter", shank)? / MM_PER_INCH;
    let depth = not_negative("the length of thread", thread)? / MM_PER_INCH;
    let value = NDS * gravity.powi(2) * inches * depth * NEWTONS_PER_POUND;
    Ok((grain == ScrewGrain::Side).then_some(value))
}
