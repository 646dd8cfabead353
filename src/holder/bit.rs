//! What holes are bored with.

use super::finding::Finding;
use crate::length::Units;
use crate::shop::Bit;

/// What a hole is bored with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum HoleBit {
    /// A bit of the shop.
    AtHand(Bit),
    /// One that the shop does not have, this wide in mm.
    Wanting(f64),
    /// A countersink, for any flat head.
    Countersink,
    /// What the plug in a wall of masonry asks for.
    ForPlug,
}

/// What to say where the shop has no bit for a hole of `whose`: a part, or a joint where that is
/// empty.
pub(super) fn wanting(bit: HoleBit, whose: &str, units: Units) -> Option<Finding> {
    let HoleBit::Wanting(diameter) = bit else { return None };
    let shop = if whose.is_empty() { "The shop".to_owned() } else { format!("{whose}: the shop") };
    let wanted = units.length(diameter);
    let message =
        format!("{shop} has no {wanted} bit: get one, and add it to [bits] in shop.toml.");
    Some(Finding::warn("no-bit", message))
}
