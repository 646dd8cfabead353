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
mod picture;
mod sawn;
mod section;
mod sheet;
mod stations;
mod table;
pub(crate) mod words;
mod written;

pub(crate) use font::{cap_height, face_data, glyphs, letter, text_width};
pub(crate) use model::{Anchor, Drawing, Ink, Item, Line, Path, Text};
pub(crate) use pattern::pattern;
pub(crate) use picture::{Pictured, steps, views, whole};
pub(crate) use sawn::sawn;
pub(crate) use sheet::{SCREEN, SheetPlan, sheet};
pub(crate) use written::{TextLine, stacked, written};
