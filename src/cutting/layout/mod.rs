//! How the pieces of one stock lie on its panels: least new stock first, then few setups.

mod kept;
mod lay;
mod merit;
mod panels;
mod search;
mod strategy;
mod strip_packer;

pub(super) use kept::is_kept;
pub(super) use lay::{LaidGroup, lay};
pub(super) use panels::{LaidPanel, Panels};
