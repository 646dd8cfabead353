//! What wood and fasteners bear, as formulas with their sources: pure functions of plain figures.
//!
//! Inside: N, mm, N/mm² (MPa) and degrees; y up, z out of the wall. Values of fasteners are design
//! values after the NDS, never loads that broke test pieces. Everything is an estimate for a home
//! shop, never a rating.

mod allowable;
mod beam;
mod combined;
mod factor;
mod free_body;
mod friction;
mod lateral;
mod plies;
mod pull_through;
mod service;
mod socket;
mod withdrawal;
mod wrong;

pub(crate) use allowable::{Allowable, across, allowable, creep};
pub(crate) use beam::{Beam, BeamPiece, CrossSection, PointLoad, Stretch, Support};
pub(crate) use combined::fastener_ratio;
pub(crate) use factor::{LASTING, LEAST_PENETRATION, ScrewGrain};
pub(crate) use free_body::{Hook, Load, Rest, Unrest, farthest, rest};
pub(crate) use friction::{DRY_FRICTION, LOWEST_FRICTION};
pub(crate) use lateral::LateralJoint;
pub(crate) use pull_through::{head_of_metric_screw, pull_through};
pub(crate) use service::{kept_by_screws, kept_by_wood};
pub(crate) use socket::{rim_stress, short_bearing};
pub(crate) use withdrawal::nds_withdrawal;
pub(crate) use wrong::Wrong;

/// What only tests look into.
#[cfg(test)]
pub(crate) use {
    combined::combined,
    free_body::Contacts,
    lateral::{BearingWood, Mode, Yield, dowel_bearing},
};
