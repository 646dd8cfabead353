//! What a holder takes besides wood.

use super::bit::HoleBit;
use crate::length::Units;
use crate::shop::Screw;
use crate::tolerance::COORDINATE;

/// Something to buy or have at hand besides wood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Hardware {
    pub what: HardwareKind,
    pub quantity: usize,
    /// What it joins or does.
    pub used_for: String,
}

impl Hardware {
    /// Whether two are bought as one thing: the same item in the same size.
    pub(crate) fn is_like(&self, other: &Self) -> bool {
        match (&self.what, &other.what) {
            (HardwareKind::Screws { size: a, .. }, HardwareKind::Screws { size: b, .. }) => {
                a.screw == b.screw && (a.length - b.length).abs() < COORDINATE
            }
            (
                HardwareKind::Named { item: a, size: b, .. },
                HardwareKind::Named { item: c, size: d, .. },
            ) => (a, b) == (c, d),
            _ => false,
        }
    }

    /// Whether one serves all holders that want it.
    pub(crate) fn is_shared(&self) -> bool {
        matches!(self.what, HardwareKind::Named { shared: true, .. })
    }
}

/// What it is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum HardwareKind {
    /// Wood screws with flat heads.
    Screws { size: ScrewSize, bits: ScrewBits },
    /// What a style names, in the style's own words.
    Named {
        item: String,
        /// May be empty.
        size: String,
        /// One serves all holders that want it.
        shared: bool,
    },
}

/// A screw as it is asked for in a store.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ScrewSize {
    pub screw: Screw,
    /// In mm.
    pub length: f64,
    /// What the shop that buys it measures in.
    pub shop_units: Units,
}

/// What to bore for a screw in the very woods it joins; its head is sunk as wide as it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ScrewBits {
    /// For the shank, in what it passes.
    pub clearance: HoleBit,
    /// For the thread, in what it bites into.
    pub pilot: HoleBit,
}
