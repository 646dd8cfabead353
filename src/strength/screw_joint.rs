//! One screw through a near piece into a far one: all that it bears, adjusted.

use super::factor::{LoadDuration, ScrewGrain};
use super::lateral::{LateralJoint, Mode};
use super::pull_through::pull_through;
use super::withdrawal::nds_withdrawal;
use super::wrong::Wrong;
use crate::shop::{NdsGravity, Screw};

/// A flat-head wood screw, its head flush with the near piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneScrew {
    pub screw: Screw,
    /// Of the screw, head included, in mm.
    pub length: f64,
    /// Thickness of the near piece, under the head, in mm.
    pub thickness: f64,
    /// The near piece's gravity.
    pub near: NdsGravity,
    /// What bears nothing between the two, as wallboard, in mm.
    pub gap: f64,
    /// The far piece's gravity.
    pub far: NdsGravity,
    /// What the screw goes into there.
    pub grain: ScrewGrain,
    pub duration: LoadDuration,
}

/// What one screw bears, in N: NDS-2018 reference design values with duration and grain counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScrewValues {
    /// How deep it goes into the far piece, point included, in mm.
    pub penetration: f64,
    /// The thread's hold in the far piece; `None` in end grain.
    pub withdrawal: Option<f64>,
    /// The head's hold in the near piece, counted below its cone.
    pub pull_through: f64,
    /// Across the screw.
    pub lateral: f64,
    /// How it gives way across.
    pub mode: Mode,
}

impl ScrewValues {
    /// What it bears along its length: the lesser of thread and head. `None` in end grain.
    pub fn pull(&self) -> Option<f64> {
        self.withdrawal.map(|thread| thread.min(self.pull_through))
    }
}

impl OneScrew {
    /// All values of one screw: [`nds_withdrawal`], [`pull_through`] and [`LateralJoint::yields`]
    /// times the load duration factor, the last times the end grain factor too. Factors for
    /// moisture and heat are 1: a dry shop below 38 °C (NDS-2018 tables 11.3.3 and 11.3.4).
    ///
    /// # Errors
    /// [`Wrong::TooShallow`] when it goes less than 6 diameters deep, [`Wrong::NotPositive`] when a
    /// figure is no size or the head's cone goes through the near piece.
    pub fn values(&self) -> Result<ScrewValues, Wrong> {
        let Self { screw, length, thickness, near, gap, far, grain, duration } = *self;
        let penetration = length - thickness - gap;
        let joint = LateralJoint::of_screw(screw, (thickness, near), (penetration, far), gap)?;
        let found = joint.yields()?;
        let thread = screw.thread(length).min(penetration);
        let withdrawal = nds_withdrawal(far, grain, screw.shank(), thread)?;
        let under_cone = thickness - screw.head_depth();
        Ok(ScrewValues {
            penetration,
            withdrawal: withdrawal.map(|value| value * duration.factor()),
            pull_through: pull_through(near, screw.head(), under_cone)? * duration.factor(),
            lateral: found.value * duration.factor() * grain.lateral(),
            mode: found.mode,
        })
    }
}
