//! Writers: files from drawings and parts.

pub mod cut_tables;
pub mod dxf;
pub(crate) mod md;
pub mod summary;
pub mod svg;
pub mod tables;
