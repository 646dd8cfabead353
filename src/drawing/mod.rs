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
mod measuring;
mod model;
mod near;
mod opening_figures;
mod pattern;
mod picture;
mod printed;
mod sawn;
mod seam_mark;
mod section;
mod sheet;
mod slope;
mod stations;
mod strip;
mod table;
mod tool_marks;
mod wall;
pub(crate) mod words;
mod written;

pub(crate) use font::{
    FaceFigures, cap_height, face_data, glyphs, letter, letter_count, sort, text_end, text_width,
};
pub(crate) use measuring::{MeasuringSheet, measuring_sheet};
pub(crate) use model::{Anchor, Drawing, Item, Line, Path, SHADE, Text, box_corners};
pub(crate) use pattern::{PatternNotes, pattern};
pub(crate) use picture::{Pictured, assembled_alone, steps, views, whole};
pub(crate) use printed::{LetteredPart, PageView, PatternKey, Printed, ink, keys, printed};
pub(crate) use sawn::sawn;
pub(crate) use seam_mark::{DIAMOND, seam_mark};
pub(crate) use sheet::{SCREEN, SheetPlan, sheet};
pub(crate) use strip::{MarkedStrips, PrintedStrip, StripSpan, marked_strips};
pub(crate) use wall::{WallElevation, WallScene};
pub(crate) use written::{TextLine, stacked, written};
