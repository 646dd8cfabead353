//! Writers: files from drawings and parts.

pub mod svg;
