//! Putting the files of a run into a folder.

mod place;

pub use place::place;
