//! Handles that other objects refer to; all others are counted up from `FIRST`. And the text style
//! that all words refer to.

pub(super) const NONE: u32 = 0;
pub(super) const BLOCK_RECORDS: u32 = 0x1;
pub(super) const MODEL_SPACE: u32 = 0x2;
pub(super) const PAPER_SPACE: u32 = 0x3;
pub(super) const ROOT: u32 = 0x4;
pub(super) const GROUPS: u32 = 0x5;
pub(super) const FIRST: u32 = 0x10;

/// The only text style in use.
pub(super) const STANDARD: &str = "STANDARD";
