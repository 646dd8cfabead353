//! A project: the folder (or single file) a person works in, read and worked out.

mod open;
mod place;

pub use open::{Project, open};
pub use place::{SUMMARY, place};
