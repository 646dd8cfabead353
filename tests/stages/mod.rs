//! The stages one by one, tested as the crate sees them: `src/lib.rs` takes this folder in when it is built for tests.

mod arcs;
mod built;
mod cutting;
mod documents;
mod dxf;
mod dxf_parts;
mod flat_parts;
mod folder;
mod kernel;
mod metric;
mod motion;
mod odd;
mod pages;
mod parts;
mod pattern;
mod pictures;
mod plain_part;
mod plan;
mod reading;
mod router;
mod settled;
mod strength;
mod styles;
mod svg_path;
mod traced;
mod words;
