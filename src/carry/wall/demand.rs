//! What a holder brings to the studs behind it, wherever it hangs.

use super::super::assess::bearers;
use super::super::grounds::ScrewShare;
use super::super::hung::Hung;
use super::super::weight::{Loading, wood};
use super::hung_up::in_stud;
use crate::holder::Holder;
use crate::shop::Shop;

/// What a holder on a wall cleat brings to the screws behind it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WallDemand {
    /// On each screw of a stud that bore all of it alone: at rest, and with knocks counted.
    pub still: ScrewShare,
    pub knocked: ScrewShare,
    /// All that comes down, at rest, in N.
    pub down: f64,
    /// Where along the holder it comes down, in mm from the holder's left end, and which share of it.
    pub along: Vec<[f64; 2]>,
}

impl WallDemand {
    /// `None` for a holder that hangs otherwise, or comes off its cleat.
    pub(crate) fn of(holder: &Holder, shop: &Shop) -> Option<Self> {
        let knocked = Loading::of(holder);
        let (cleat, bearers, wood) = (holder.hook_cleat()?, bearers(holder, shop), wood(holder));
        let hung = |loading| Hung::of((holder, &wood), shop, cleat, loading);
        let whole = |loading| Some(in_stud(&bearers, loading)?.times(hung(loading).shared));
        let along = Hung::along((holder, &wood), cleat, knocked.at_rest());
        let down: f64 = along.iter().map(|[_, down]| down).sum();
        let along = along.into_iter().map(|[x, n]| [x, n / down.max(f64::MIN_POSITIVE)]).collect();
        Some(Self { still: whole(knocked.at_rest())?, knocked: whole(knocked)?, down, along })
    }
}
