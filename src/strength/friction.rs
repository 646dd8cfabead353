//! Friction of wood on wood, as far as it may keep a holder on its cleat.

/// The lowest that was measured at rest: pine, radial faces, along the grain (Aira, Arriaga, Iniguez-Gonzalez and
/// Crespo, Static and kinetic friction coefficients of Scots pine, Materiales de Construccion 64, 2014, summary).
pub(crate) const LOWEST_FRICTION: f64 = 0.12;

/// Smooth dry wood at rest. Common practice, no source.
pub(crate) const DRY_FRICTION: f64 = 0.4;
