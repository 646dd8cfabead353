//! Reading the user's files: text with its name, TOML with positions kept, the path of an
//! SVG file, and one clear message where something is wrong.

mod beside;
mod bounded;
mod entry;
mod excerpt;
mod file_name;
mod problem;
mod source;
mod svg_path;

pub use beside::Beside;
pub(crate) use beside::Noted;
pub use entry::{Entry, Kind, figure};
pub use file_name::file_name;
pub use problem::{Problem, nearest};
pub use source::{Source, Spanned};
pub use svg_path::{SvgError, svg_path};
