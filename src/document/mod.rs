//! What is told to a person in words, as plain data: documents of chapters, paragraphs, lists and
//! tables, and what makes them of holders and plans. Nothing in them is marked up or escaped, and
//! figures are not written yet: that is for the writers in [`crate::export`].

mod book;
mod finding;
mod hardware;
mod job;
mod load;
mod parting;
mod plan;
mod saw;
mod steps;
mod tree;
mod wall;
pub(crate) mod words;

pub(crate) use book::{Pictures, SMALL, book, picture_name};
pub(crate) use hardware::totals;
pub(crate) use job::{JobFiles, job};
pub(crate) use load::load;
pub(crate) use plan::plan;
pub(crate) use steps::{VIEWS, WHOLE, step_file, steps};
#[cfg(test)]
pub(crate) use tree::Chapter;
pub(crate) use tree::{
    Block, Document, Inline, Listing, PartNumber, Phrase, PictureFile, PictureSize, Shown,
};
pub(crate) use wall::{WallTold, wall_file, wall_sheet};
