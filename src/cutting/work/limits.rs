//! What the saw can do.

use super::super::measure::micrometers;
use crate::shop::Shop;

/// What the saw can do and what it takes, in whole micrometers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct SawLimits {
    pub kerf: i64,
    /// The narrowest strip that may run between fence and blade.
    pub narrowest: i64,
    /// The widest that fits between fence and blade.
    pub widest: Option<i64>,
    /// The longest crosscut.
    pub longest: Option<i64>,
    /// A panel shorter than this along the cut is not run along the fence: the miter gauge holds it.
    pub shortest: i64,
}

impl SawLimits {
    /// What the shop file says of the saw.
    pub(crate) fn new(shop: &Shop) -> Self {
        Self {
            kerf: micrometers(shop.kerf),
            narrowest: micrometers(shop.saw.narrowest_rip),
            widest: shop.saw.widest_rip.map(micrometers),
            longest: shop.saw.longest_crosscut.map(micrometers),
            shortest: micrometers(shop.saw.shortest_rip),
        }
    }

    /// Whether wood of this `length` along the fence and `width` across it may run along the fence:
    /// with the short edge on the fence it turns and is thrown back (common practice, no source).
    pub(crate) fn may_rip(&self, [length, width]: [i64; 2]) -> bool {
        length >= self.shortest && length >= width
    }

    /// Whether so long a cut is too long for the miter gauge.
    pub(crate) fn is_too_long(&self, cut: i64) -> bool {
        self.longest.is_some_and(|longest| cut > longest)
    }
}
