//! Drawings: the model that every writer renders, and the patterns drawn in it.

mod canvas;
mod dimension;
mod edges;
mod facts;
mod font;
mod hatch;
mod legend;
mod marks;
mod model;
mod near;
mod pattern;
mod sawn;
mod section;
mod sheet;
mod stations;
mod table;
pub(crate) mod words;

pub use font::{cap_height, face_data, glyphs, letter, text_width};
pub use model::{Anchor, Drawing, Item, Line, Path, Text};
pub use pattern::pattern;
pub use sawn::sawn;
pub use sheet::sheet;
