//! Figures put into words: what bits, screws and the things on a part are called.

use std::borrow::Cow;

use crate::holder::{Face, Feature, HoleBit, Mark, MarkKind, ScrewSize, SlotForm};
use crate::length::Units;
use crate::shop::SizedScrew;

/// `1/2 in forstner`; one that the shop does not have is told in `units`.
pub(crate) fn bit(bit: HoleBit, units: Units) -> String {
    match bit {
        HoleBit::AtHand(bit) => format!("{} {}", bit.units.length(bit.diameter), bit.kind.word()),
        HoleBit::Wanting(diameter) => format!("{} (not in the shop)", units.length(diameter)),
        HoleBit::Countersink => "countersink".to_owned(),
        HoleBit::ForPlug => "masonry bit, as the plug asks".to_owned(),
    }
}

/// What to ask for in a store; a screw that is sold by number has its size in mm beside it in a metric
/// shop.
pub(crate) fn screw_size(ScrewSize { screw, length, shop_units }: ScrewSize) -> String {
    let size = SizedScrew { screw, length }.to_string();
    match shop_units {
        Units::Millimeters if screw.by_number() => {
            format!("{size} ({:.1} × {length:.0} mm)", screw.shank())
        }
        _ => size,
    }
}

/// What a mark says beside itself; empty where it says nothing.
pub(crate) fn mark(mark: &Mark) -> Cow<'_, str> {
    match mark.kind {
        MarkKind::EdgeScrew { screw, .. } => Cow::Owned(screw.to_string()),
        _ => Cow::Borrowed(mark.label.trim()),
    }
}

/// `slot 1/2 in wide`
pub(super) fn feature(feature: Feature, units: Units) -> String {
    let write = |mm: f64| units.length(mm);
    let area = |length, width| format!("{} × {}", write(length), write(width));
    match feature {
        Feature::Hole { purpose, .. } => purpose.word().to_owned(),
        Feature::Slot { width, form } => format!("slot {} wide{}", write(width), slot(form, units)),
        Feature::RoundOpening { diameter } => format!("round opening {}", write(diameter)),
        Feature::TracedOpening { length, width } => {
            format!("traced opening {}", area(length, width))
        }
        Feature::Window { length, width } => format!("window {}", area(length, width)),
        Feature::Notch { width, depth } => format!("notch {}", area(width, depth)),
        Feature::Tab { length, width } => format!("tab {}", area(length, width)),
        Feature::Mortise { length, width } => format!("mortise {}", area(length, width)),
        Feature::Pocket { length, width, depth, face } => {
            let face = if face == Face::Back { " from the back" } else { "" };
            format!("pocket {}, {} deep{face}", area(length, width), write(depth))
        }
    }
}

fn slot(form: SlotForm, units: Units) -> String {
    match form {
        SlotForm::Straight => String::new(),
        SlotForm::Keyhole { end_diameter } => format!(", end {}", units.length(end_diameter)),
        SlotForm::Tapered { mouth_width } => {
            format!(" at its end, {} at the mouth", units.length(mouth_width))
        }
        SlotForm::Eased { mouth_radius } => {
            format!(", mouth rounded R {}", units.length(mouth_radius))
        }
    }
}
