//! Drawings: the model that every writer renders, and the patterns drawn in it.

mod font;
mod model;

pub use font::{Glyph, cap_height, face_data, glyphs, letter, text_width};
pub use model::{Anchor, Drawing, Item, Line, LineStyle, Path, Text};
