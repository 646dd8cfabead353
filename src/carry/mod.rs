//! What a holder carries: from its parts, screws and what hangs on it to a table of checks.
//!
//! Estimates for a home shop, never ratings. The formulas are those of [`crate::strength`]; here
//! they are asked of the places that a style names.

mod assess;
mod back;
mod beam;
mod check;
mod close;
mod close_all;
mod close_stud;
mod close_wood;
mod glue;
mod grounds;
mod hook;
mod hung;
mod judge;
mod net;
mod on_tabs;
mod remark;
pub(crate) mod say;
mod screwed;
mod socket;
mod splitting;
mod tabs;
mod wall;
mod weight;

pub(crate) use assess::{Assessment, Checked, assess, check};
pub(crate) use check::{Check, CheckId, LoadQuestion, NEAR};
pub(crate) use grounds::ScrewShare;
pub(crate) use judge::{close_calls, hangs_over_a_stud, load_findings, told};
pub(crate) use wall::{
    StudScrews, WallCase, WallDemand, WallLoad, stud_note, unknown_apart, wall_load,
};

/// What only tests look into.
#[cfg(test)]
pub(crate) use {grounds::Grounds, weight::centers};
