//! Drawings: the model that every writer renders, and the patterns drawn in it.

mod angle;
mod canvas;
mod dimension;
mod edges;
mod facts;
mod font;
mod hatch;
mod legend;
mod letters;
mod marks;
mod model;
mod near;
mod opening_figures;
mod pattern;
mod picture;
mod sawn;
mod section;
mod sheet;
mod slope;
mod stations;
mod table;
mod tool_marks;
pub(crate) mod words;
mod written;

pub(crate) use font::{cap_height, face_data, glyphs, letter, letter_count, text_width};
pub(crate) use model::{Anchor, Drawing, Ink, Item, Line, Path, Text};
pub(crate) use pattern::{PatternNotes, pattern};
pub(crate) use picture::{Pictured, steps, views, whole};
pub(crate) use sawn::sawn;
pub(crate) use sheet::{SCREEN, SheetPlan, sheet};
pub(crate) use written::{TextLine, stacked, written};
