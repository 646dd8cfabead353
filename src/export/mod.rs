//! Writers: files from drawings and parts.

pub mod svg;
//! Files made from the parts and drawings.
pub mod dxf;
