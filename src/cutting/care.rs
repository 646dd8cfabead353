//! Cuts that ask for more than the usual care, by rules of thumb: common practice, no source.

use super::cut::{Cut, Fence, Rules, What};

/// No saw has a stop further from its blade than about 24 in: what is longer is marked. In
/// micrometres.
pub const FARTHEST_STOP: i64 = 609_600;

/// What is smaller than 2 in every way is not sawn at the table; on the mitre gauge there are at
/// least 2 in of wood for a hand or a clamp.
const HAND: i64 = 50_800;

/// On the mitre gauge lies wood at least as wide as the cut is long, divided by this: else it turns
/// as it is pushed.
const STEADY: i64 = 4;

/// What a cut asks beyond the usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Care {
    /// What comes off is too small for the table saw.
    Handsaw,
    /// Hardly any wood on the mitre gauge, or a thin sliver between blade and stop: a backing board
    /// holds it.
    Backing,
    /// With the blade tilted, wood that is too short to run along the fence, or too wide for it.
    Tilted,
}

impl Care {
    /// What `cut`, made at `fence`, asks for.
    pub(super) fn of(fence: Fence, cut: &Cut, rules: &Rules) -> Option<Self> {
        match fence {
            Fence::Stop(_) if is_tiny(cut) => Some(Self::Handsaw),
            Fence::Stop(_) if is_unsteady(cut) => Some(Self::Backing),
            Fence::Bevel { wide, .. } => {
                let room = rules.widest.is_none_or(|widest| wide <= widest);
                (!rules.may_rip(cut.area.size) || !room).then_some(Self::Tilted)
            }
            _ => None,
        }
    }
}

/// Whether a piece that the cut frees is tiny.
fn is_tiny(cut: &Cut) -> bool {
    let freed = std::iter::once(&cut.gives).chain(&cut.rest);
    let mut pieces = freed.filter(|body| matches!(body.what, What::Piece { .. }));
    pieces.any(|body| body.area.size.iter().all(|side| *side < HAND))
}

/// Whether the gauge has too little to hold, or the stop guides a sliver.
fn is_unsteady(cut: &Cut) -> bool {
    let long = cut.area.size[1 - cut.way.axis()];
    let steady = HAND.max(long / STEADY);
    // The mitre gauge holds the larger side.
    let held = cut.at.max(cut.rest_width());
    let sliver = cut.at < HAND && long > STEADY * cut.at;
    held < steady || sliver
}
