//! Files made from the parts and drawings.

pub mod dxf;
