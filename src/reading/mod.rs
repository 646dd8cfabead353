//! Reading the user's files: text with its name, TOML with positions kept, the path of an
//! SVG file, and one clear message where something is wrong.

mod beside;
mod bounded;
mod entry;
mod excerpt;
mod file_name;
mod parse;
mod problem;
mod shape;
mod shown;
mod source;
mod spanned;
mod svg_path;
mod syntax;

pub use beside::Beside;
pub(crate) use beside::Noted;
pub(crate) use entry::{Entry, Kind, figure, quoted};
pub(crate) use file_name::{alike, file_name, folder_name};
pub(crate) use parse::{FORMULA, TEXT};
pub use problem::Problem;
pub(crate) use problem::{Problems, nearest, nearest_name};
pub(crate) use shape::{
    AsAngle, AsCount, AsEither, AsFigures, AsFormula, AsLength, AsNumber, AsPlain, AsScrew,
    AsValue, formerly, in_any_case, shape_of,
};
pub(crate) use shown::shown;
pub use source::Source;
pub(crate) use spanned::Spanned;
#[cfg(test)]
pub(crate) use svg_path::SvgError;
pub(crate) use svg_path::svg_path;
