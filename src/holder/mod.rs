//! Holders: parts in their place, with the screws that join them and what the checks say.

mod build;
pub mod caution;
mod clash;
mod crossing;
mod explain;
mod fasten;
mod finding;
mod fit;
mod joint;
mod landing;
mod load;
mod outline;
mod part;
mod part_of;
mod placement;
mod pocket;
mod repeat;
mod screw_path;
mod screws;
mod trace;
mod values;

use indexmap::IndexMap;

use crate::formula::Value;
use crate::length::Units;
pub use crate::shop::StockKind;
pub use crate::style::{Edge, Face, Grain, Looks, Purpose, Space};
pub use build::build;
pub use explain::Explain;
pub use finding::{Finding, Level, Refusal};
pub use load::{Bearer, Model, Turn, Weight};
pub use part::{Bevel, Drilling, EdgeName, MadeBy, Mark, MarkKind, Part, Pocket, Row, Stock};
pub use part_of::PartOf;
pub use placement::Placement;
pub use screws::{FarPart, ScrewJoint, Seated};
pub use values::Values;

/// One thing made of wood that hangs on the wall and keeps tools.
#[derive(Debug, Clone, PartialEq)]
pub struct Holder {
    /// Its name, safe as a folder name.
    pub name: String,
    /// Name of its style.
    pub style: String,
    /// What a person calls it.
    pub title: String,
    /// What its figures are written in.
    pub units: Units,
    /// Measures, choices and workings, in the order of the style.
    pub values: IndexMap<String, Value>,
    pub parts: Vec<Part>,
    /// Tab joints between its parts.
    pub joints: Vec<Joint>,
    /// Screws, joint by joint.
    pub screws: Vec<ScrewJoint>,
    /// What hangs on it.
    pub weights: Vec<Weight>,
    /// What must bear that.
    pub bearers: Vec<Bearer>,
    pub hardware: Vec<Hardware>,
    /// How it is made, step by step.
    pub steps: Vec<String>,
    /// Worst first.
    pub findings: Vec<Finding>,
    /// Width, height, and how far it stands out from the wall, in mm.
    pub size: Space,
    /// Mass of its wood in kg.
    pub mass: f64,
}

/// Something to buy or have at hand besides wood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hardware {
    pub item: String,
    pub size: String,
    pub quantity: usize,
    pub used_for: String,
    /// One serves all holders that want it.
    pub shared: bool,
    /// The bits for a screw.
    pub bits: Option<ScrewBits>,
}

/// What to bore for a screw in the very woods it joins, as the shop's bits are called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScrewBits {
    /// For the shank, in what it passes.
    pub clearance: String,
    /// For the thread, in what it bites into; empty for a stud, which is the wall's.
    pub pilot: String,
    /// How wide the head is sunk.
    pub countersink: String,
}

/// A tab joint between two parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// Name of the part with the tabs.
    pub tabs: String,
    /// Name of the part they go into.
    pub into: String,
    /// How many tabs there are, over all pieces.
    pub count: usize,
    /// Width of one tab in mm.
    pub width: f64,
    /// Clearance on each side in mm; negative for a press fit.
    pub clearance: f64,
}
