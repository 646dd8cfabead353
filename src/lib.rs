//! Cleatwright: from a few readings off the tools to the pieces of a cleat wall.
//!
//! Texts go in by path, bytes come out by path; there is no disk, no clock and no terminal between:
//!
//! ```
//! use std::collections::BTreeMap;
//! use cleatwright::{Inputs, Options, render, work_out};
//!
//! let holder = r#"
//! style = "slotted-shelf"
//! units = "in"
//! [measures]
//! bar_thickness = "5/16"
//! head_width = "1 1/8"
//! tool_length = "40"
//! tool_mass = "2.1 kg"
//! "#;
//! let worked = work_out(&Inputs::new().with("holders/sash-clamps.toml", holder)).unwrap();
//! let mut files = BTreeMap::new();
//! render(&worked, &Options::default(), &mut files).unwrap();
//! assert!(files["sash-clamps/shelf.svg"].starts_with(b"<svg"));
//! ```

mod carry;
#[cfg(feature = "cli")]
pub mod cli;
mod cutting;
mod document;
#[cfg(any(test, fuzzing))]
pub mod doors;
mod drawing;
mod export;
pub mod formula;
#[cfg(feature = "cli")]
mod guide;
mod holder;
mod inputs;
mod inventory;
pub mod kernel;
pub mod length;
mod limits;
mod milling;
mod motion;
mod page;
#[cfg(feature = "cli")]
mod place;
mod propose;
mod random;
mod reading;
mod record;
mod render;
mod router;
mod schema;
mod settle;
mod shop;
mod solid;
mod strength;
mod style;
pub mod tolerance;
mod tool;
mod trial;
mod wall;
mod work_out;

pub use cutting::least;
pub use export::dxf::{Dialect, Version};
pub use inputs::Inputs;
pub use length::Units;
pub use propose::{Proposed, ProposedFile, propose};
pub use reading::{Beside, Problem, Source};
pub use render::{
    FileError, FileKind, Options, Patterns, Sink, measuring_page, printer_check, render,
    render_only, style_picture,
};
pub use schema::FileSchema;
pub use shop::Paper;
pub use style::Styles;
pub use trial::Trial;
pub use work_out::{Doing, Worked, work_out, work_out_again};

#[cfg(test)]
#[allow(missing_docs, unreachable_pub)]
#[path = "../tests/stages/mod.rs"]
mod stages;
