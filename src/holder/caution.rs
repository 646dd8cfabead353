//! The usual cautions, written once.

use super::Holder;
use super::part::MadeBy;

/// Small parts on the saw, drill or router. Common practice, no source.
pub(super) const SMALL_PART: &str =
    "Small part: hold it with a clamp, not fingers; keep guards on.";

/// Small or narrow parts in a sheet on the CNC router. Common practice, no source.
pub(super) const SMALL_ROUTED: &str =
    "Small part: leave bridges, or hold it with tape, so that the bit can't throw it.";

/// Common practice, no source.
const ROUTER: &str = "CNC router: clamp the sheet down well, keep hands and sleeves clear of the bit, and never leave it running alone.";

/// Long parts that are narrow. Common practice, no source.
pub(super) const NARROW_PART: &str = "Narrow part: use a push stick or push block; keep guards on.";

/// Common practice, no source.
const BEARING_BIT: &str = "Bearing bit: hold a small part in a jig, or by tape to a larger board. Feed against the turning of the bit, and pull the plug before you change it.";

/// Common practice, no source.
const SAW: &str = "Keep the guards on. Use a push stick for narrow pieces, never rip freehand, and keep hands well clear of blade and bit. Clamp the work before you drill.";

/// The dust limit: NIOSH recommended exposure limit for wood dust, 1 mg/m³.
const EYES_EARS_LUNGS: &str = "Wear eye and ear protection and a dust mask, and collect the dust: NIOSH recommends at most 1 mg of wood dust in a cubic meter of air.";

/// Common practice, no source.
const BEHIND_THE_WALL: &str = "Before you drive a screw into a wall, check for wires and pipes behind it. Find every stud and confirm it with a thin nail: drywall alone holds nothing. In masonry use plugs made for it.";

/// Common practice, no source.
const PULL_TEST: &str = "Before you trust a holder, load it straight down, standing clear, with more than it will carry. Hang nothing heavy above head height where people stand.";

/// Common practice, no source.
const ESTIMATE: &str = "The load figures are estimates, not ratings. Local codes come first; where anyone's safety depends on it, ask a licensed professional.";

/// Cautions for cutting, drilling, gluing and hanging a holder.
pub(crate) fn for_making(holder: &Holder) -> impl Iterator<Item = &'static str> {
    let parts = &holder.parts;
    let sizes = [SMALL_PART, NARROW_PART, SMALL_ROUTED].into_iter();
    let sizes = sizes.filter(|told| parts.iter().any(|part| part.caution() == Some(*told)));
    let usual = [EYES_EARS_LUNGS, BEHIND_THE_WALL, PULL_TEST, ESTIMATE];
    let routed = parts.iter().any(|part| part.made_by == MadeBy::Router).then_some(ROUTER);
    let trimmed = holder.flush_trimmed.then_some(BEARING_BIT);
    std::iter::once(SAW).chain(routed).chain(trimmed).chain(sizes).chain(usual)
}

/// Cautions for what a holder carries.
pub(crate) fn for_loads() -> impl Iterator<Item = &'static str> {
    [BEHIND_THE_WALL, PULL_TEST, ESTIMATE].into_iter()
}

/// Cautions for the CNC router. Common practice, no source.
pub(crate) fn for_routing() -> impl Iterator<Item = &'static str> {
    [
        ROUTER,
        "Know where the stop button is, and try the way of the bit in the air first, above the wood.",
        "Keep screws and clamps out of the bit's way: none inside the line along the sheet's edges, none in a part.",
        "Stop the spindle and wait before you reach for a loose piece or change a bit. Vacuum up the dust; do not blow it.",
        EYES_EARS_LUNGS,
    ]
    .into_iter()
}

/// Cautions for drilling. Common practice, no source.
pub(crate) fn for_drilling() -> impl Iterator<Item = &'static str> {
    [
        "Clamp the work, small pieces in a vise: a bit that catches spins them. Put scrap under it where a hole goes through.",
        "On a drill press take off gloves, tie back hair and sleeves, and take out the chuck key. Bore large holes slowly, with a forstner bit only on the press.",
        "For a leaning hole tilt the table or make a wedge-shaped guide block, and start the bit slowly.",
        EYES_EARS_LUNGS,
    ]
    .into_iter()
}

/// Cautions for the table saw. Common practice, no source.
pub(crate) fn for_sawing() -> impl Iterator<Item = &'static str> {
    [
        "Keep the guard, riving knife and anti-kickback pawls on. Unplug the saw before you change the blade or reach near it.",
        "Stand beside the line of the cut, not behind it. Use a push stick wherever a hand would come within a hand's width of the blade.",
        "Let a narrow strip fall off on the side away from the fence; never rip it between fence and blade without a push block. Let the blade stop before you pick it up.",
        "Never crosscut with the wood against the fence and the miter gauge at once: use a stop block that ends well before the blade.",
        "A full sheet needs a helper, or outfeed and side supports. Without them, break it down on the floor with a hand-held saw along a straightedge.",
        EYES_EARS_LUNGS,
        "Measure the first piece of each setup before you saw the others.",
    ]
    .into_iter()
}
