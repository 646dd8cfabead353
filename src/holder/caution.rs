//! The usual cautions, written once.

/// Small parts on the saw, drill or router. Common practice, no source.
pub const SMALL_PART: &str =
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
pub fn for_making() -> impl Iterator<Item = &'static str> {
    [SAW, SMALL_PART, EYES_EARS_LUNGS, BEHIND_THE_WALL, PULL_TEST, ESTIMATE].into_iter()
}

/// Cautions for what a holder carries.
pub fn for_loads() -> impl Iterator<Item = &'static str> {
    [BEHIND_THE_WALL, PULL_TEST, ESTIMATE].into_iter()
}
