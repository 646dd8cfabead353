//! Styles as data: what a style file says, the library of styles at hand, and the holder file
//! that picks one.

mod asked;
mod expr;
mod flat;
mod guide;
mod holder_file;
mod library;
mod load_spec;
mod measuring_spec;
mod readings;
mod spec;
mod tool_spec;
mod uses;
mod validate;
mod words;

pub(crate) use asked::{Choice, ChoiceKind, Gives, Many, Measure, Serves};
pub(crate) use expr::{Expr, Pair, RepeatSpec, Say, Triple};
pub use guide::Styles;
pub(crate) use guide::{choice_told, measure_told};
#[cfg(test)]
pub(crate) use guide::{guide, start};
#[cfg(feature = "cli")]
pub(crate) use holder_file::says_built;
pub(crate) use holder_file::{AsMade, Entries, HolderFile, HolderKeys, HungTools, Taken, units_of};
pub(crate) use library::{Layer, Library, Style};
pub(crate) use load_spec::*;
pub(crate) use measuring_spec::{LineSide, ReadingLineSpec, SeenShapeSpec, SketchView};
pub(crate) use readings::{AskedCount, AskedFigure, AskedOf, asked_figures};
pub(crate) use spec::*;
pub(crate) use tool_spec::{LegSpec, SolidSpec, ToolSpec};
pub(crate) use words::{Edge, Face, Facing, Grain, Level, Purpose, Space};
