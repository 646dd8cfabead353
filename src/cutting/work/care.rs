//! Cuts that ask for more than the usual care, by rules of thumb: common practice, no source.

use super::cut::{Cut, Fence, Precaution};
use super::limits::SawLimits;

/// No saw has a stop further from its blade than about 24 in: what is longer is marked. In
/// micrometers.
pub(crate) const FARTHEST_STOP: i64 = 609_600;

/// What is smaller than 2 in every way is not sawn at the table; on the miter gauge there are at
/// least 2 in of wood for a hand or a clamp.
const HAND: i64 = 50_800;

/// On the miter gauge lies wood at least as wide as the cut is long, divided by this: else it turns
/// as it is pushed.
const STEADY: i64 = 4;

/// What `cut`, made at `fence`, asks beyond the usual.
pub(super) fn care<B>(fence: Fence, cut: &Cut<B>, limits: &SawLimits) -> Option<Precaution> {
    match fence {
        Fence::Stop(_) if is_tiny(cut) => Some(Precaution::Handsaw),
        Fence::Stop(_) if is_unsteady(cut) => Some(Precaution::Backing),
        Fence::Bevel { wide, .. } => {
            let room = limits.widest.is_none_or(|widest| wide <= widest);
            (!limits.may_rip(cut.area.size) || !room).then_some(Precaution::Tilted)
        }
        _ => None,
    }
}

/// Whether a blank that the cut frees is tiny.
fn is_tiny<B>(cut: &Cut<B>) -> bool {
    let mut blanks = cut.both().filter(|work| work.blank().is_some());
    blanks.any(|work| work.area.size.iter().all(|side| *side < HAND))
}

/// Whether the gauge has too little to hold, or the stop guides a sliver.
fn is_unsteady<B>(cut: &Cut<B>) -> bool {
    let long = cut.area.size[1 - cut.way.axis()];
    let steady = HAND.max(long / STEADY);
    // The miter gauge holds the larger side.
    let held = cut.at.max(cut.rest_width());
    let sliver = cut.at < HAND && long > STEADY * cut.at;
    held < steady || sliver
}
