//! From what clear test pieces bore on average to what a careful person lets a piece bear.
//!
//! Averages become allowable stresses as structural grading makes them (ASTM D245; Wood Handbook
//! ch. 7), figures from memory:
//!
//! | step | bending | shear | crushing across the grain |
//! | --- | --- | --- | --- |
//! | weakest of 20 pieces: 1 - 1.645 × coefficient of variation (FPL-GTR-190 table 5-6) | 0.737 | 0.770 | none |
//! | divided by, for safety and ten years of load (ASTM D245 table 8) | 2.1, hardwood 2.3 | 2.1, hardwood 2.3 | 1.67, hardwood 1.67 |
//! | grain that runs out up to 1 in 12, sawn wood only (ASTM D245) | 0.69 | 1 | 1 |
//! | load that stays (NDS-2018 table 2.3.2) | 0.9 | 0.9 | none |
//!
//! Tension across the grain goes as shear does, with 0.589 for the weakest of 20. Structural grading gives it no
//! allowable at all, for the least check takes it: what is counted here is for a cleat without one.

use super::factor::LASTING;
use super::plies::across_plies;
use super::service::kept_by_wood;
use crate::shop::{Service, Wood, WoodKind};

/// How many standard deviations below the average one in twenty lies.
const ONE_IN_TWENTY: f64 = 1.645;

/// Coefficients of variation of bending strength, shear and tension across the grain (FPL-GTR-190 table 5-6, from
/// memory).
const SCATTER_BENDING: f64 = 0.16;
const SCATTER_SHEAR: f64 = 0.14;
const SCATTER_TENSION: f64 = 0.25;

/// Divisors for safety and normal duration (ASTM D245 table 8, from memory).
const SAFETY_SOFTWOOD: f64 = 2.1;
const SAFETY_HARDWOOD: f64 = 2.3;
const SAFETY_CRUSHING: f64 = 1.67;

/// What fiberboard keeps of its short-time strength under a load that stays, beside the duration
/// factor of wood: 0.20 to wood's 0.60 (Eurocode 5 table 3.1, dry, permanent; from memory).
const FIBERBOARD_LASTING: f64 = 1.0 / 3.0;

/// Strength ratio in bending of grain that runs out 1 in 12 (ASTM D245, from memory).
const SLOPING_GRAIN: f64 = 0.69;

/// What part of a characteristic strength may be used, of a strength class or a screw in wood: 0.60 for a load that stays, dry
/// (EN 1995-1-1 table 3.1), by 1.3 for the material (table 2.3) and 1.35 for the load (EN 1990, from memory).
pub(super) const OF_CLASS: f64 = 0.6 / 1.3 / 1.35;

/// What cracks leave of the width that a strength class is sheared on (EN 1995-1-1 6.1.7, from memory).
const CRACKED: f64 = 0.67;

/// Allowable stresses in N/mm², and the stiffness to work sag out with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Allowable {
    /// Bending, with the fibers or the strong way of a panel along the piece.
    pub bending: f64,
    /// Shear along the grain; between the layers of a panel.
    pub shear: f64,
    /// Bearing across the grain.
    pub crushing: f64,
    /// Tension across the grain; no figure for panels, whose layers cross.
    pub tension_across: f64,
    /// Modulus of elasticity in N/mm²: the average, for the sag of a usual piece.
    pub stiffness: f64,
}

/// What a wood may bear under a load that stays: its averages lowered as the table at the head of
/// this file says. For a piece free of knots where it is stressed most.
pub(crate) fn allowable(wood: &Wood, service: Service) -> Allowable {
    let (dry, kept) = (dry(wood), kept_by_wood(wood.kind, service));
    Allowable {
        bending: dry.bending * kept.bending,
        shear: dry.shear * kept.shear,
        crushing: dry.crushing * kept.crushing,
        tension_across: dry.tension_across * kept.tension_across,
        stiffness: dry.stiffness * kept.stiffness,
    }
}

/// The same where it stays dry.
fn dry(wood: &Wood) -> Allowable {
    if wood.graded {
        return Allowable {
            bending: wood.bending_strength * OF_CLASS,
            shear: wood.shear * CRACKED * OF_CLASS,
            crushing: wood.crushing * OF_CLASS,
            tension_across: wood.splitting_strength() * OF_CLASS,
            stiffness: wood.stiffness,
        };
    }
    let safety = match wood.kind {
        WoodKind::Hardwood => SAFETY_HARDWOOD,
        _ => SAFETY_SOFTWOOD,
    };
    let grain = if wood.kind.is_panel() { 1.0 } else { SLOPING_GRAIN };
    let lasting = if wood.kind == WoodKind::Fiberboard { FIBERBOARD_LASTING } else { 1.0 };
    let low = |scatter: f64| (1.0 - ONE_IN_TWENTY * scatter) / safety * LASTING * lasting;
    Allowable {
        bending: wood.bending_strength * low(SCATTER_BENDING) * grain,
        shear: wood.shear * low(SCATTER_SHEAR),
        crushing: wood.crushing / SAFETY_CRUSHING,
        tension_across: wood.splitting_strength() * low(SCATTER_TENSION),
        stiffness: wood.stiffness,
    }
}

/// What part of a piece's strength and stiffness is left when it is bent across the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Across {
    /// Of bending strength.
    pub bending: f64,
    /// Of stiffness.
    pub stiffness: f64,
}

/// How much a kind of wood keeps when the grain (of a panel: of its faces) runs across the piece
/// instead of along it.
///
/// Sawn wood: 0.04 of both, the low end that the Wood Handbook gives beside Hankinson's formula
/// (FPL-GTR-190 ch. 5, from memory). Plywood and strand board: just under the lowest ratios of weak
/// to strong axis in the APA Panel Design Specification D510C, 0.299 (span rating 24/16) and 0.183
/// (24/0); they are strand board's, and too kind to thin plywood: where the number of its `plies` is known it
/// counts by that. Fiberboard has no grain.
pub(crate) fn across(kind: WoodKind, plies: Option<usize>) -> Across {
    match (kind, plies) {
        (WoodKind::Hardwood | WoodKind::Softwood, _) => Across { bending: 0.04, stiffness: 0.04 },
        (WoodKind::Plywood, Some(plies)) => across_plies(plies),
        (WoodKind::Plywood | WoodKind::Strandboard, _) => Across { bending: 0.29, stiffness: 0.18 },
        (WoodKind::Fiberboard, _) => Across { bending: 1.0, stiffness: 1.0 },
    }
}

/// By what the sag under a load that stays is multiplied for creep: 1.5 for seasoned sawn wood, 2.0
/// for panels and for sawn wood in the damp (NDS-2018 3.5.2, from memory); for fiberboard 1 + 2.25 (Eurocode 5 table 3.2, dry, from
/// memory).
pub(crate) fn creep(kind: WoodKind, service: Service) -> f64 {
    match kind {
        WoodKind::Hardwood | WoodKind::Softwood if service == Service::Dry => 1.5,
        WoodKind::Hardwood | WoodKind::Softwood => 2.0,
        WoodKind::Plywood | WoodKind::Strandboard => 2.0,
        WoodKind::Fiberboard => 3.25,
    }
}
