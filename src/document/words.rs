//! What a holder takes besides wood, put into words for tables and lists.

use crate::drawing::words;
use crate::holder::{Hardware, HardwareKind};
use crate::length::Units;

/// An item and its size, which may be empty.
pub(crate) fn item(hardware: &Hardware) -> [String; 2] {
    match &hardware.what {
        HardwareKind::Screws { size, .. } => {
            ["wood screw, flat head".to_owned(), words::screw_size(*size)]
        }
        HardwareKind::Named { item, size, .. } => [item.clone(), size.clone()],
    }
}

/// What a screw is bored for with: clearance, pilot and countersink; `None` for what is no screw. A
/// bit that the shop does not have is told in `units`.
pub(crate) fn bits(hardware: &Hardware, units: Units) -> Option<[String; 3]> {
    let HardwareKind::Screws { size, bits } = &hardware.what else { return None };
    let countersink = size.shop_units.length(size.screw.head());
    Some([words::bit(bits.clearance, units), words::bit(bits.pilot, units), countersink])
}
