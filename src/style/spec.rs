//! What a style file says, as it is written. Every figure is a formula.

use indexmap::IndexMap;
use serde::Deserialize;

use super::expr::{Expr, Pair, RepeatSpec, Say, each};
use super::flat::{FlatCheck, FlatCut, FlatSlot};
use super::load_spec::{CarrierSpec, MendSpec, WeightSpec};
use super::words::{Edge, Face, Facing, Grain, Level, Purpose};
use crate::reading::{Kind, Spanned};

/// A whole style file, or a group of parts that styles include.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct StyleFile {
    /// The style's name in a list.
    #[serde(default)]
    pub title: String,
    /// What it hangs.
    #[serde(default)]
    pub hangs: String,
    /// What it makes.
    #[serde(default)]
    pub makes: String,
    /// Groups of choices, workings, parts, screws, checks and steps to take in.
    #[serde(default)]
    pub include: Vec<Spanned<String>>,
    /// How its shaped parts are made: comes to the word 'hand' or 'router'. By hand where no file of
    /// the style says.
    pub made_by: Option<Expr>,
    /// By what tools' weights are multiplied for knocks and pulls.
    pub live_load: Option<Expr>,
    #[serde(default)]
    pub measures: IndexMap<Spanned<String>, Measure>,
    #[serde(default)]
    pub choices: IndexMap<Spanned<String>, Choice>,
    #[serde(default)]
    pub workings: IndexMap<Spanned<String>, Expr>,
    #[serde(default)]
    pub parts: Vec<PartSpec>,
    #[serde(default)]
    pub joints: Vec<JointSpec>,
    #[serde(default)]
    pub screws: Vec<ScrewSpec>,
    #[serde(default)]
    pub hardware: Vec<HardwareSpec>,
    #[serde(default, deserialize_with = "each")]
    pub checks: Vec<CheckSpec>,
    #[serde(default)]
    pub steps: Vec<StepSpec>,
    #[serde(default)]
    pub weights: Vec<WeightSpec>,
    #[serde(default, deserialize_with = "each")]
    pub carries: Vec<CarrierSpec>,
    #[serde(default)]
    pub may_change: Vec<MendSpec>,
}

/// A reading taken off the tool.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Measure {
    /// The question to the person with the tool in hand.
    pub ask: String,
    /// What to measure with.
    pub with: String,
    pub kind: Kind,
    /// Least and most; of each entry, for a list.
    pub range: [Expr; 2],
    /// Whether it is a list, one entry a tool.
    #[serde(default)]
    pub list: bool,
    /// The list that sets how many entries this one has; it may then be given as one figure for
    /// all of them.
    pub per: Option<Spanned<String>>,
    /// What it serves beyond the formulas that use it.
    #[serde(rename = "for")]
    pub serves: Option<Serves>,
}

/// What a measure may serve when no formula uses it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Serves {
    /// It says how large the tool's body is.
    Body,
}

/// A design decision.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Choice {
    pub ask: String,
    pub kind: ChoiceKind,
    /// What holds when the holder file does not say. Stock choices have none: the shop's first
    /// stock of the kind serves.
    pub default: Option<Expr>,
    /// Least and most, for figures.
    pub range: Option<[Expr; 2]>,
    /// The words to choose from.
    #[serde(default)]
    pub options: Vec<String>,
    /// Whether it is a list.
    #[serde(default)]
    pub list: bool,
    /// The list that sets how many entries this one has.
    pub per: Option<Spanned<String>>,
    /// Whether a new holder file begins with it stated.
    #[serde(default)]
    pub stated: bool,
}

/// How many values a measure or choice has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Many<'a> {
    One,
    /// A list of any length.
    Any,
    /// As many as the list of this name.
    Per(&'a str),
}

impl<'a> Many<'a> {
    fn new(list: bool, per: Option<&'a Spanned<String>>) -> Self {
        match per {
            Some(name) => Self::Per(name.get_ref()),
            None if list => Self::Any,
            None => Self::One,
        }
    }
}

impl Measure {
    /// How many values it has.
    pub(crate) fn many(&self) -> Many<'_> {
        Many::new(self.list, self.per.as_ref())
    }
}

impl Choice {
    /// How many values it has.
    pub(crate) fn many(&self) -> Many<'_> {
        Many::new(self.list, self.per.as_ref())
    }
}

/// What a choice is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum ChoiceKind {
    Length,
    Mass,
    Angle,
    Count,
    Number,
    /// One of the `options`.
    Word,
    /// A sheet, board or dowel of the shop by name.
    Sheet,
    Board,
    Dowel,
    /// A file beside the one that names it. Without a default the holder file must name it.
    File,
}

/// One kind of piece.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PartSpec {
    pub name: Spanned<String>,
    /// What it is and does.
    pub about: String,
    /// A stock choice, or "cleat".
    pub from: Spanned<String>,
    /// Diameter of the dowel it is cut from; only with a dowel.
    pub diameter: Option<Expr>,
    /// Only made when this holds.
    pub when: Option<Expr>,
    #[serde(default)]
    pub grain: Grain,
    pub outline: OutlineSpec,
    #[serde(default)]
    pub edges: IndexMap<Edge, String>,
    pub bevel: Option<BevelSpec>,
    #[serde(default, deserialize_with = "each")]
    pub cuts: Vec<CutSpec>,
    #[serde(default)]
    pub drillings: Vec<DrillingSpec>,
    #[serde(default)]
    pub pockets: Vec<PocketSpec>,
    #[serde(default)]
    pub marks: Vec<MarkSpec>,
    /// Parts whose footprint is marked on this one where they touch it.
    #[serde(default)]
    pub footprints: Vec<Spanned<String>>,
    /// Where the pieces sit, one entry (or repeat) a piece.
    pub sits: Vec<SitsSpec>,
}

/// The outer contour before anything is cut away: a rectangle from the origin, a polygon, or the
/// path of an SVG file with the lower left corner of its bounds put to the origin.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub(crate) enum OutlineSpec {
    Rectangle(Box<RectangleSpec>),
    Polygon(PolygonSpec),
    Svg(TraceSpec),
}

/// The path of an SVG file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TraceSpec {
    /// A file's name, ending in ".svg", or the name of a choice of the kind `file`.
    pub file: Spanned<String>,
    /// Which path, where there are several.
    pub id: Option<String>,
    /// How far it is turned, counter-clockwise.
    pub turn: Option<Expr>,
}

impl TraceSpec {
    /// The choice that names the file; `None` when this is the name of the file itself.
    pub(crate) fn choice(&self) -> Option<&str> {
        let file = self.file.get_ref();
        (!file.to_ascii_lowercase().ends_with(".svg")).then_some(file)
    }
}

/// A rectangle with a radius at each corner.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RectangleSpec {
    /// Length along x and width along y.
    pub size: Pair,
    pub lower_left: Option<Expr>,
    pub lower_right: Option<Expr>,
    pub upper_right: Option<Expr>,
    pub upper_left: Option<Expr>,
}

/// A polygon with a radius at each corner.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PolygonSpec {
    pub corners: Vec<Pair>,
    /// One for each corner; none at all for sharp corners.
    #[serde(default)]
    pub radii: Vec<Expr>,
}

/// A beveled long edge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct BevelSpec {
    pub edge: Edge,
    pub angle: Expr,
    /// The face that keeps the full width.
    pub full_face: Face,
}

/// Wood cut away.
#[derive(Debug, Deserialize)]
#[serde(try_from = "FlatCut")]
pub(crate) struct CutSpec {
    pub shape: CutShape,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// The shapes of a cut.
#[derive(Debug)]
pub(crate) enum CutShape {
    Slot(SlotSpec),
    Hole(HoleSpec),
    Window(WindowSpec),
    Notch(NotchSpec),
    Traced(TracedSpec),
}

/// A slot with a drilled end.
#[derive(Debug, Deserialize)]
#[serde(try_from = "FlatSlot")]
pub(crate) struct SlotSpec {
    /// Center of the drilled end.
    pub end: Pair,
    pub width: Expr,
    pub course: SlotCourse,
}

/// Where a slot leads from its end.
#[derive(Debug)]
pub(crate) enum SlotCourse {
    /// Out of the part, square to an edge.
    Open { toward: Edge, mouth: SlotMouth },
    /// To a point. A diameter of the end larger than the width makes a keyhole.
    Closed { to: Pair, end_diameter: Option<Expr> },
}

/// How a slot meets the edge.
#[derive(Debug)]
pub(crate) enum SlotMouth {
    /// As wide as it is all along. A diameter of the end larger than that makes a keyhole.
    Straight { end_diameter: Option<Expr> },
    /// So wide at the edge; it tapers to its end.
    Tapered { width: Expr },
    /// With this radius where its sides meet the edge.
    Eased { radius: Expr },
}

/// A round opening.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HoleSpec {
    pub at: Pair,
    pub diameter: Expr,
}

/// A rectangular opening.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WindowSpec {
    /// Lower left corner.
    pub at: Pair,
    pub size: Pair,
    /// Of all four corners.
    pub radius: Option<Expr>,
    /// Whether a square-cornered part must fit fully into it.
    #[serde(default)]
    pub seat: bool,
}

/// A rectangular notch in an edge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct NotchSpec {
    pub edge: Edge,
    /// Where its middle lies along the edge, from the left or bottom.
    pub middle: Expr,
    pub width: Expr,
    pub depth: Expr,
    /// Of the two inside corners.
    pub radius: Option<Expr>,
    #[serde(default)]
    pub seat: bool,
}

/// An opening that fits the path of an SVG file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct TracedSpec {
    pub svg: TraceSpec,
    /// Lower left corner of the path's bounds.
    pub at: Pair,
    /// How much larger the opening is all round.
    pub clearance: Option<Expr>,
}

/// A hole made with a bit.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct DrillingSpec {
    pub at: Pair,
    pub diameter: Expr,
    /// Right through when left out.
    pub depth: Option<Expr>,
    pub purpose: Purpose,
    /// How far the bit leans.
    pub lean: Option<Expr>,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// A rectangular area milled to a depth.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PocketSpec {
    /// Lower left corner.
    pub at: Pair,
    pub size: Pair,
    pub depth: Expr,
    /// The face it is milled from, the show face when left out.
    pub face: Option<Face>,
    /// Whether a square-cornered part must fit fully into it.
    #[serde(default)]
    pub seat: bool,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// A line to scribe.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct MarkSpec {
    pub kind: MarkWord,
    pub from: Pair,
    pub to: Pair,
    #[serde(default)]
    pub say: String,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// The kinds of lines a style may mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum MarkWord {
    Center,
    Scribe,
}

/// Where a piece sits in the finished holder.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SitsSpec {
    /// Least x, y and z of the box it fills.
    pub at: [Expr; 3],
    pub faces: Facing,
    /// Turned half round in its own plane.
    #[serde(default)]
    pub half_turn: bool,
    /// How far its far end is lifted.
    pub tilt: Option<Expr>,
    /// The line it is tilted about, by its y and z; its near lower edge when left out. Pieces
    /// tilted about one line keep their places to one another.
    pub hinge: Option<Pair>,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// Tabs on one part's edge and the mortises they go into.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct JointSpec {
    pub when: Option<Expr>,
    /// The part with the tabs.
    pub tabs: Spanned<String>,
    /// The edge they stand on; left out when the whole part is one tab, a loose key.
    pub edge: Option<Edge>,
    /// The part they go into, face on. Every other part in their way is opened too.
    pub into: Spanned<String>,
    /// Where the joint begins and ends along the edge; the whole edge when left out.
    pub from: Option<Expr>,
    pub to: Option<Expr>,
    /// How many tabs; worked out from the joint's length when left out.
    pub count: Option<Expr>,
    /// How far they stand out past the far face.
    pub beyond: Option<Expr>,
    /// Clearance on each side; negative for a press fit.
    pub fit: Expr,
    /// The word 'corner', 'side' or 'none'; by hand corners are squared with a chisel.
    pub relief: Expr,
}

/// Rows of screws through one part into what lies behind it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ScrewSpec {
    pub about: String,
    /// The part the screw passes through.
    pub through: Spanned<String>,
    /// "wall" for the studs; left out for whatever part lies behind.
    pub into: Option<Spanned<String>>,
    /// The face its head is sunk in.
    pub enters: Face,
    pub number: Expr,
    /// Worked out from the wood when left out.
    pub length: Option<Expr>,
    /// On the part it passes through, in that part's own x and y.
    pub rows: Vec<ScrewRow>,
    pub when: Option<Expr>,
}

impl ScrewSpec {
    /// Whether they go into the studs of the wall.
    pub(crate) fn to_wall(&self) -> bool {
        self.into.as_ref().is_some_and(|into| into.get_ref() == "wall")
    }
}

/// Screws in a straight row, evenly spaced.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ScrewRow {
    pub from: Pair,
    pub to: Pair,
    /// They stand at most this far apart…
    pub at_most: Option<Expr>,
    /// … or exactly this far, as many as fit.
    pub every: Option<Expr>,
    /// The whole row again, moved.
    pub repeat: Option<RepeatSpec>,
}

/// Something to have at hand besides wood and screws.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct HardwareSpec {
    pub item: String,
    #[serde(default)]
    pub size: String,
    #[serde(default)]
    pub used_for: String,
    /// Whether one serves all holders that want it.
    #[serde(default)]
    pub shared: bool,
    pub quantity: Expr,
    pub when: Option<Expr>,
}

/// Something that must not be, and what it is called when it is.
#[derive(Debug, Deserialize)]
#[serde(try_from = "FlatCheck")]
pub(crate) struct CheckSpec {
    pub level: Level,
    pub when: Expr,
    /// A short name for it.
    pub code: Spanned<String>,
    pub say: Say,
    /// Looked at once for each `n`.
    pub repeat: Option<RepeatSpec>,
}

/// One step of making.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct StepSpec {
    #[serde(rename = "do")]
    pub text: Say,
    /// Comes before the steps that are not early, whichever group it stands in.
    #[serde(default)]
    pub early: bool,
    pub when: Option<Expr>,
}
