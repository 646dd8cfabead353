//! What damp air takes from wood and screws.

use crate::shop::{Service, WoodKind};

/// By what strengths and stiffness are multiplied; 1 where nothing is lost.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ServiceFactors {
    pub bending: f64,
    pub shear: f64,
    pub crushing: f64,
    pub tension_across: f64,
    pub stiffness: f64,
}

const ALL: ServiceFactors =
    ServiceFactors { bending: 1.0, shear: 1.0, crushing: 1.0, tension_across: 1.0, stiffness: 1.0 };

/// Wet service factors of sawn wood (NDS Supplement table 4A, from memory); tension across the grain, which has none, as
/// crushing. Common practice, no source.
const SAWN: ServiceFactors = ServiceFactors {
    bending: 0.85,
    shear: 0.97,
    crushing: 0.67,
    tension_across: 0.67,
    stiffness: 0.9,
};

/// Of panels (NDS ch. 9, from memory); fiberboard, which the NDS does not rate, is taken as one.
const PANEL: ServiceFactors = ServiceFactors {
    bending: 0.75,
    shear: 0.75,
    crushing: 0.75,
    tension_across: 0.75,
    stiffness: 0.85,
};

/// Wet service factor of screws, pulled and loaded across (NDS-2018 table 11.3.3); that their heads are lowered as
/// they are is from memory.
const SCREWS: f64 = 0.7;

/// What a kind of wood keeps.
pub(crate) fn kept_by_wood(kind: WoodKind, service: Service) -> ServiceFactors {
    match (service, kind.is_panel()) {
        (Service::Dry, _) => ALL,
        (Service::Damp, false) => SAWN,
        (Service::Damp, true) => PANEL,
    }
}

/// What screws keep.
pub(crate) fn kept_by_screws(service: Service) -> f64 {
    match service {
        Service::Dry => 1.0,
        Service::Damp => SCREWS,
    }
}
