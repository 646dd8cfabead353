//! The kernel's faults in the user's units, each with the way out.

use kurbo::Point;

use crate::kernel::{CutError, JoinError, OffsetError, ReliefError, ShapeError, Unsound};
use crate::length::Units;
use crate::tolerance::{COORDINATE, REACH};

/// A fault that can be told to a woodworker.
pub(crate) trait Explain {
    /// What is wrong by how much, and what to change; a sentence or two.
    fn explain(&self, units: Units) -> String;
}

fn place(at: Point, units: Units) -> String {
    format!("{} from the left, {} from the bottom", units.length(at.x), units.length(at.y))
}

impl Explain for ShapeError {
    fn explain(&self, units: Units) -> String {
        let length = |mm: &f64| units.length(*mm);
        match self {
            Self::NotPositive { what, value } | Self::Negative { what, value } => format!(
                "{what} comes to {}. Check the measures and choices it is worked out from.",
                length(value)
            ),
            Self::RadiusTooLarge { needs, side, .. } => format!(
                "its rounded corners need a side of {}, and the side between them is only {} long. Make \
                 the radius smaller or the part larger by {}.",
                length(needs),
                length(side),
                units.length(needs - side)
            ),
            Self::EndSmallerThanSlot { end_diameter, width } => format!(
                "the slot is {} wide, wider than its end of {}. Make the end at least as wide.",
                length(width),
                length(end_diameter)
            ),
            Self::MouthNarrowerThanEnd { mouth_width, end_diameter } => format!(
                "the slot's mouth is {} wide, narrower than its end of {}. Make the mouth wider by {}.",
                length(mouth_width),
                length(end_diameter),
                units.length(end_diameter - mouth_width)
            ),
            Self::SlotTooShort { length: long, needs } => format!(
                "the slot is {} long and its drilled end alone takes up {}. Make the part deeper by {}.",
                length(long),
                length(needs),
                units.length(needs - long)
            ),
            Self::SelfCrossing { at } => format!(
                "its outline crosses or touches itself at {}. Check the measures and choices that \
                 its corners are worked out from.",
                place(*at, units)
            ),
            Self::OutOfReach { what, value } => format!(
                "{what} comes to {}; everything must lie within {}. Check the measures and choices it \
                 is worked out from.",
                length(value),
                length(&REACH)
            ),
            Self::TooFewCorners { count } => {
                format!("its outline has {count} corners and needs three. Give it more corners.")
            }
            Self::Flat => "its outline encloses nothing. Check the measures and choices its \
                           corners are worked out from."
                .to_owned(),
        }
    }
}

impl Explain for CutError {
    fn explain(&self, units: Units) -> String {
        match self {
            Self::Misses { at } => format!(
                "the cut at {} misses the wood. Make the part larger or move the cut inward.",
                place(*at, units)
            ),
            Self::RemovesAll => {
                "a cut leaves nothing of it. Make the part larger or the cut smaller.".to_owned()
            }
            Self::Splits { pieces, .. } => format!(
                "a cut splits it into {pieces} pieces. Make the part larger or the cut shallower."
            ),
            Self::FreesIsland { at, .. } => format!(
                "a cut frees the wood at {}, which would fall out. Set the cuts farther apart.",
                place(*at, units)
            ),
            Self::LeavesNoWood { at } | Self::SelfCrossing { at } | Self::Unclear { at } => {
                format!(
                    "two cuts or edges touch at {} and leave no wood between. Set them farther apart.",
                    place(*at, units)
                )
            }
            Self::OutOfReach => format!(
                "a cut lies more than {} away. Check the measures and choices it is worked out \
                 from.",
                units.length(REACH)
            ),
        }
    }
}

impl Explain for JoinError {
    fn explain(&self, units: Units) -> String {
        let (Self::Apart { at } | Self::Unclear { at }) = self;
        format!(
            "a tab at {} does not stand on a straight edge. Keep rounded corners and cuts clear of \
             the joint.",
            place(*at, units)
        )
    }
}

impl Explain for ReliefError {
    fn explain(&self, units: Units) -> String {
        let length = |mm: &f64| units.length(*mm);
        match self {
            Self::BitTooLarge { at, bit, room } => format!(
                "a bit of {} does not fit the corner at {}: there is room for {}. Use a smaller bit \
                 or a larger opening.",
                length(bit),
                place(*at, units),
                length(room)
            ),
            Self::SideTooShort { needs, side, .. } => format!(
                "the reliefs at both ends of a side of {} need {}. Use a smaller bit or a larger opening.",
                length(side),
                length(needs)
            ),
            Self::BreaksOut { at, diameter } => format!(
                "the relief at {}, {} across, breaks out into another cut or edge. Use a smaller bit \
                 or set the cuts farther apart.",
                place(*at, units),
                length(diameter)
            ),
            Self::Cut { error, .. } => error.explain(units),
            Self::NoBit { bit } => {
                format!(
                    "{} is no diameter of a router bit. Write the diameter of yours.",
                    length(bit)
                )
            }
            Self::TooAcute { at, degrees } => format!(
                "the inside corner at {} has {degrees:.0}°: no round bit clears less than 60°. Make \
                 it by hand, or the corner wider.",
                place(*at, units)
            ),
            Self::NotOpened { at, depth } => format!(
                "the corner at {} lies {} inside the wood, where no relief reaches. Make it by hand, or \
                 the cut deeper.",
                place(*at, units),
                length(depth)
            ),
        }
    }
}

impl Explain for OffsetError {
    fn explain(&self, units: Units) -> String {
        let length = |mm: &f64| units.length(*mm);
        match self {
            Self::Vanishes { at, width, height, .. } => format!(
                "the opening of {} × {} at {} is too small for the bit. Use a smaller bit.",
                length(width),
                length(height),
                place(*at, units)
            ),
            Self::Splits { at, .. } => format!(
                "the cut at {} has a neck too narrow for the bit. Use a smaller bit or widen it.",
                place(*at, units)
            ),
            Self::OutOfReach { at, bit, .. } => format!(
                "a bit of {} does not reach into the corner at {}. Use a smaller bit.",
                length(bit),
                place(*at, units)
            ),
            Self::NoBit { bit } => {
                format!(
                    "{} is no diameter of a router bit. Write the diameter of yours.",
                    length(bit)
                )
            }
            Self::TooLarge { .. } => {
                format!(
                    "the path of the bit lies more than {} away. Use a smaller bit.",
                    length(&REACH)
                )
            }
        }
    }
}

impl Explain for Unsound {
    fn explain(&self, units: Units) -> String {
        let length = |mm: &f64| units.length(*mm);
        match self {
            Self::ThinWeb { at, width, least } => format!(
                "only {} of wood is left between two cuts at {}; at least {} must stay. Widen the \
                 pitch or the margin by {}.",
                length(width),
                place(*at, units),
                length(least),
                units.length(least - width)
            ),
            Self::TightRadius { at, radius, bit } if *radius < COORDINATE => format!(
                "a bit of {} leaves the sharp inside corner at {} round. Relieve it, round it, or \
                 make it by hand.",
                length(bit),
                place(*at, units)
            ),
            Self::TightRadius { at, radius, bit } => format!(
                "the inside radius of {} at {} is tighter than the router bit of {}. Use a bit of \
                 {} or less, or make it by hand.",
                length(radius),
                place(*at, units),
                length(bit),
                units.length(radius * 2.0)
            ),
            Self::DrillingOutside { at, diameter, room } => format!(
                "the {} hole at {} breaks out of the wood by {}. Move it inward or make the part larger.",
                length(diameter),
                place(*at, units),
                units.length(diameter / 2.0 - room)
            ),
            Self::SelfCrossing { at, .. } => format!(
                "an edge crosses or touches itself at {}. Widen the pitch or the margins.",
                place(*at, units)
            ),
            Self::Crossing { at, .. } => format!(
                "two cuts or edges cross or touch at {}. Widen the pitch or the margins.",
                place(*at, units)
            ),
            Self::OpeningOutside { at, .. } => format!(
                "an opening at {} lies outside the outline. Move it inward or make the part larger.",
                place(*at, units)
            ),
            Self::Flat { .. } => {
                "an opening encloses next to nothing. Make the opening larger, or leave it out."
                    .to_owned()
            }
            Self::OpeningInOpening { .. } => {
                "one opening lies inside another. Widen the pitch, or leave one out.".to_owned()
            }
        }
    }
}
