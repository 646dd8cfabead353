//! What wood and fasteners bear, as formulas with their sources: pure functions of plain figures.
//!
//! Inside: N, mm, N/mm² (MPa) and degrees; y up, z out of the wall. Two kinds of figures never
//! meet: design values after the NDS are plain newtons, loads that broke test pieces (Wood
//! Handbook) are [`UltimateLoad`]. Everything is an estimate for a home shop, never a rating.

mod allowable;
mod beam;
mod combined;
mod factor;
mod free_body;
mod lateral;
mod pull_through;
mod screw_joint;
mod withdrawal;
mod wrong;

pub use allowable::{Across, Allowable, across, allowable, creep};
pub use beam::{
    Beam, CrossSection, PointLoad, SHEAR_OF_STIFFNESS, Stretch, Support, Worst, bearing_stress,
    hankinson,
};
pub use combined::{combined, fastener_ratio};
pub use factor::{END_GRAIN_LATERAL, LoadDuration, ScrewGrain};
pub use free_body::{Contacts, Hook, Load, Rest, Unrest, rest};
pub use lateral::{
    BearingWood, LEAST_PENETRATION, LateralJoint, Mode, Yield, dowel_bearing, dowel_bearing_large,
    group, small_reduction, table_penetration_factor,
};
pub use pull_through::pull_through;
pub use screw_joint::{OneScrew, ScrewValues};
pub use withdrawal::{UltimateLoad, nds_withdrawal, ultimate_withdrawal};
pub use wrong::Wrong;
