//! Writers: files from drawings and parts.

pub mod cut_tables;
pub mod cutting;
pub mod dxf;
pub mod load;
pub mod steps;
pub mod summary;
pub mod svg;
pub mod tables;
mod words;
