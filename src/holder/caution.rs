//! The usual cautions, written once.

/// Small parts on the saw, drill or router. Common practice, no source.
pub const SMALL_PART: &str =
    "Small part: hold it with a clamp or push stick, not fingers; keep guards on.";

/// Cautions for cutting, drilling and gluing. Common practice, no source, but for the dust limit.
pub fn for_making() -> impl Iterator<Item = &'static str> {
    [
        "Guards on; a push stick for narrow pieces, and never rip freehand or closer to the blade than your hand can stay clear.",
        SMALL_PART,
        "Eyes, ears and lungs: goggles, ear protection, and dust drawn off (NIOSH recommends at most 1 mg of wood dust in a cubic metre of air).",
        "Before a screw goes into a wall, look for wires and pipes behind it; find every stud and prove it.",
        "Before you trust a holder, pull on it from a safe place with more than it will carry. Nothing heavy above head height where people stand.",
        "What is said here of loads is an estimate, not a rating. Local codes come first; where anyone's safety depends on it, ask a licensed professional.",
    ]
    .into_iter()
}
