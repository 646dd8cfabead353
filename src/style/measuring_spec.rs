//! What a style says of its measuring sheet: what the tool looks like there, and where each reading is taken.

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;

use super::expr::{Expr, Named, Pair, Say, Triple, each, named};
use super::tool_spec::{SolidKeys, SolidSpec};

/// A measuring sheet. Places are told from where the tool hangs, as its body is.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct MeasuringSpec {
    /// What the view from the front is called, where that is not front.
    pub front: Option<String>,
    /// The same of the view from the right.
    pub side: Option<String>,
    /// Solids in the place of the tool's body.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, SolidKeys>")]
    pub body: Vec<SolidSpec>,
    /// Outlines in the place of the solids of their view.
    #[serde(default, deserialize_with = "each")]
    pub shapes: Vec<SeenShapeSpec>,
    /// Where readings are taken, by their names.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, ReadingLineKeys>")]
    pub lines: Vec<ReadingLineSpec>,
    /// A remark at the foot of the sheet.
    pub say: Option<Say>,
}

/// An outline in one view.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SeenShapeSpec {
    /// Which view shows it.
    pub view: SketchView,
    /// From the front x and y, from the side z and y.
    pub corners: Vec<Pair>,
    /// Whether its corners are rounded.
    #[serde(default)]
    pub round: bool,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// Where a reading or choice is measured.
pub(crate) type ReadingLineSpec = Named<ReadingLineKeys>;

/// A dimension line: across the tool along one axis; beside it, what counts is how far its ends are apart along the line.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ReadingLineKeys {
    /// Where it begins.
    pub from: Triple,
    /// Where it ends.
    pub to: Triple,
    /// The view that shows it; the one that it lies in, or the front, when left out.
    pub view: Option<SketchView>,
    /// On which side of the tool it stands; across the tool where it is left out.
    pub beside: Option<LineSide>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// Which way a tool is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum SketchView {
    /// With the wall behind it.
    Front,
    /// From its right, with the wall at the right.
    Side,
}

/// On which side of a tool a dimension line stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum LineSide {
    Left,
    Right,
    Above,
    Below,
}
