//! Reading the user's files: text with its name, TOML with positions kept, the path of an
//! SVG file, and one clear message where something is wrong.

mod beside;
mod bounded;
mod entry;
mod excerpt;
mod file_name;
mod parse;
mod problem;
mod shown;
mod source;
mod svg_path;
mod syntax;

pub use beside::Beside;
pub(crate) use beside::Noted;
pub use entry::{Entry, Kind, figure};
pub use file_name::{alike, file_name, folder_name};
pub use parse::{FORMULA, TEXT};
pub use problem::{Problem, Problems, nearest, nearest_name};
pub use shown::shown;
pub use source::{Source, Spanned};
#[cfg(test)]
pub use svg_path::SvgError;
pub use svg_path::svg_path;
