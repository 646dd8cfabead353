//! Whether a holder can be hooked on from the front, and how high it has to be lifted.

use super::scene::{HungView, InTheWay, Scene};
use super::search::{Aim, FoundWay, Slices, best_way};
use super::slice::HeldPose;
use crate::length::MM_PER_INCH;

/// What is kept on the way from all that is not touched at rest, in mm. Common practice, no source.
pub(crate) const CLEARANCE: f64 = MM_PER_INCH / 32.0;

/// The most a holder is tilted, in degrees. Common practice, no source.
const MOST_TILT: f64 = 30.0;

/// Slices of tilt to one degree.
const TO_A_DEGREE: u32 = 4;

/// How often the slices around the highest place are halved.
const HALVINGS: usize = 3;

/// Slices beside the highest place that are halved.
const BESIDE: usize = 3;

/// Lift in mm that no tilt is worth.
const UNFELT_LIFT: f64 = 0.1;

/// How a holder comes on its cleat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Hooking {
    /// From the front.
    FromFront(WayOff),
    /// Only by sliding it on from the end of the cleat.
    FromEnd,
    /// Not at all.
    Never(InTheWay),
}

impl Hooking {
    /// The word used in summary.json.
    pub(crate) fn word(&self) -> &'static str {
        match self {
            Self::FromFront(_) => "from the front",
            Self::FromEnd => "from the end",
            Self::Never(_) => "never",
        }
    }

    /// The way off it to the front.
    pub(crate) fn way(&self) -> Option<&WayOff> {
        match self {
            Self::FromFront(way) => Some(way),
            Self::FromEnd | Self::Never(_) => None,
        }
    }
}

/// A way off the cleat; backward it is the way on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WayOff {
    /// How much higher its highest point comes than where it hangs, in mm.
    pub lift: f64,
    /// The greatest tilt, in degrees either way.
    pub tilt: f64,
    /// From where it hangs to where it is free; between two poses shift and tilt go on evenly.
    pub poses: Vec<HeldPose>,
}

impl From<FoundWay> for WayOff {
    fn from(found: FoundWay) -> Self {
        Self { lift: found.rise, tilt: found.tilt, poses: found.poses }
    }
}

/// How it comes on without any tilt. The lift is exact.
pub(crate) fn straight(view: &HungView) -> Hooking {
    within(view, level)
}

/// How it comes on with as little tilt as any way takes: sooner told than the least lift.
pub(crate) fn least_tilt(view: &HungView) -> Hooking {
    within(view, |scene| {
        let upright = || best_way(&mut slices(scene), Aim::LeastTilt(f64::INFINITY));
        level(scene).or_else(upright)
    })
}

/// How it comes on with the least lift that up to [`MOST_TILT`] degrees of tilt allow.
///
/// Of the ways that rise no more than [`UNFELT_LIFT`] above the least the one that tilts least is taken.
pub(crate) fn least_lift(view: &HungView) -> Hooking {
    within(view, |scene| {
        let level = level(scene);
        let most = level.as_ref().map_or(f64::INFINITY, |way| way.rise);
        tilted(scene, most).or(level)
    })
}

fn within(view: &HungView, search: impl Fn(&Scene) -> Option<FoundWay>) -> Hooking {
    match Scene::new(view) {
        Ok(scene) => search(&scene).map_or(Hooking::FromEnd, |way| Hooking::FromFront(way.into())),
        Err(Some(in_the_way)) => Hooking::Never(in_the_way),
        Err(None) => Hooking::FromFront(WayOff { lift: 0.0, tilt: 0.0, poses: Vec::new() }),
    }
}

fn level(scene: &Scene) -> Option<FoundWay> {
    best_way(&mut Slices::new(scene, vec![0.0]), Aim::LeastRise(f64::INFINITY))
}

fn slices(scene: &Scene) -> Slices<'_> {
    let steps = (MOST_TILT * f64::from(TO_A_DEGREE)) as i32;
    let tilts = (-steps..=steps).map(|step| f64::from(step) / f64::from(TO_A_DEGREE));
    Slices::new(scene, tilts.collect())
}

/// The best way that rises no more than `most`.
fn tilted(scene: &Scene, most: f64) -> Option<FoundWay> {
    let mut slices = slices(scene);
    let mut best = best_way(&mut slices, Aim::LeastRise(most))?;
    for _ in 0..HALVINGS {
        let [low, high] = best.highest;
        slices.refine(low.saturating_sub(BESIDE), high + BESIDE);
        let aim = Aim::LeastRise(best.rise + UNFELT_LIFT);
        let before = best.rise;
        best = best_way(&mut slices, aim).unwrap_or(best);
        if before - best.rise < UNFELT_LIFT / 4.0 {
            break;
        }
    }
    let least = best_way(&mut slices, Aim::LeastTilt(best.rise + UNFELT_LIFT));
    Some(least.unwrap_or(best))
}
