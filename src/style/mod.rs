//! Styles as data: what a style file says, the library of styles at hand, and the holder file
//! that picks one.

mod flat;
mod guide;
mod holder_file;
mod library;
mod load_spec;
mod spec;
mod uses;
mod validate;
mod words;

pub use guide::{guide, list, start};
pub use holder_file::HolderFile;
pub use library::{Layer, Library, Style};
pub use load_spec::*;
pub use spec::*;
pub use words::{Edge, Face, Grain, Level, Looks, Purpose, Space};
