//! Writers: files from drawings and parts.

pub(crate) mod cut_svg;
pub(crate) mod cut_tables;
pub(crate) mod dxf;
pub(crate) mod fixed;
pub(crate) mod glb;
pub(crate) mod html;
mod inline_svg;
pub(crate) mod md;
pub(crate) mod plain;
pub(crate) mod summary;
pub(crate) mod svg;
pub(crate) mod tables;
mod wall_summary;
pub(crate) mod xml;
