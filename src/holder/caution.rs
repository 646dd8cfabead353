//! The usual cautions, written once.

/// Small parts on the saw, drill or router. Common practice, no source.
pub(crate) const SMALL_PART: &str =
    "Small part: hold it with a clamp or push stick, not fingers; keep guards on.";

/// Common practice, no source.
const SAW: &str = "Guards on; a push stick for narrow pieces, and never rip freehand or closer to the blade than your hand can stay clear.";

/// The dust limit: NIOSH recommended exposure limit for wood dust, 1 mg/m³.
const EYES_EARS_LUNGS: &str = "Eyes, ears and lungs: goggles, ear protection, and dust drawn off (NIOSH recommends at most 1 mg of wood dust in a cubic metre of air).";

/// Common practice, no source.
const BEHIND_THE_WALL: &str = "Before a screw goes into a wall, look for wires and pipes behind it; find every stud and prove it. Wallboard alone holds nothing.";

/// Common practice, no source.
const PULL_TEST: &str = "Before you trust a holder, pull on it from a safe place with more than it will carry. Nothing heavy above head height where people stand.";

/// Common practice, no source.
const ESTIMATE: &str = "What is said here of loads is an estimate, not a rating. Local codes come first; where anyone's safety depends on it, ask a licensed professional.";

/// Cautions for cutting, drilling, gluing and hanging.
pub(crate) fn for_making() -> impl Iterator<Item = &'static str> {
    [SAW, SMALL_PART, EYES_EARS_LUNGS, BEHIND_THE_WALL, PULL_TEST, ESTIMATE].into_iter()
}

/// Cautions for what a holder carries.
pub(crate) fn for_loads() -> impl Iterator<Item = &'static str> {
    [BEHIND_THE_WALL, PULL_TEST, ESTIMATE].into_iter()
}

/// Cautions for the table saw. Common practice, no source.
pub(crate) fn for_sawing() -> impl Iterator<Item = &'static str> {
    [
        "Guard, riving knife and anti-kickback pawls on. Unplug the saw before the blade is changed or tilted by hand.",
        "Stand beside the line of the cut, not behind it. A push stick wherever a hand would come within a hand's breadth of the blade.",
        "A narrow strip falls off on the free side of the blade: never between fence and blade without a push block. Let the blade stop before you pick it up.",
        "Never crosscut with the wood against the fence and the mitre gauge at once: the stop ends well before the blade.",
        "A full sheet needs a second person or stands on the far side and beside the saw; where that is not to be had, break it down on the floor with a hand-held saw along a straightedge.",
        EYES_EARS_LUNGS,
        "Measure the first piece of each setting before you saw the others.",
    ]
    .into_iter()
}
