//! What a style file says, as it is written. Every figure is a formula.

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;

use super::asked::{ChoiceSaid, MeasureSaid, Said, listed};
use super::expr::{Expr, Named, Pair, RepeatSpec, Say, each, named, one_line, one_or_more};
use super::flat::{
    FlatCheck, FlatCut, FlatJoint, FlatScrews, FlatSeries, FlatSits, FlatSlot, FlatStep,
};
use super::load_spec::{CarrierKeys, CarrierSpec, WeightSpec};
use super::measuring_spec::MeasuringSpec;
use super::tool_spec::ToolSpec;
use super::words::{Edge, Face, Facing, Grain, Level, Purpose};
use crate::reading::{AsEither, Spanned};

/// A whole style file, or a group of parts that styles include.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct StyleFile {
    /// The style's name in a list.
    #[serde(default)]
    pub title: String,
    /// What it hangs.
    #[serde(default, deserialize_with = "one_line")]
    pub hangs: String,
    /// What it makes.
    #[serde(default, deserialize_with = "one_line")]
    pub makes: String,
    /// Groups of choices, workings, parts, screws, checks and steps to take in.
    #[serde(default)]
    pub include: Vec<Spanned<String>>,
    /// How its shaped parts are made: comes to the word 'hand' or 'router'. By hand where no file of
    /// the style says.
    pub made_by: Option<Expr>,
    /// By what tools' weights are multiplied for knocks and pulls.
    pub live_load: Option<Expr>,
    /// Whether every tool is measured for itself: then each reading is a list, one entry a tool.
    #[serde(default)]
    pub measured: Measured,
    /// What a style that takes this group in must name, with what that is.
    #[serde(default)]
    pub needs: IndexMap<Spanned<String>, String>,
    /// Which choice is the count of tools and which the room for more.
    pub counts: Option<CountsSpec>,
    /// For which tools it suits; one that does not say is never proposed.
    #[serde(default, deserialize_with = "one_or_more")]
    #[schemars(with = "AsEither<SuitsSpec, Vec<SuitsSpec>>")]
    pub suits: Vec<SuitsSpec>,
    /// The part whose pieces are wall cleats, for a style that makes them.
    pub wall_cleats: Option<Spanned<String>>,
    /// What to read off the tool: a question or a table each, or a list of names of the vocabulary.
    #[serde(default, deserialize_with = "listed")]
    #[schemars(with = "AsEither<IndexMap<String, MeasureSaid>, Vec<String>>")]
    pub measures: Said<MeasureSaid>,
    /// What is decided: a default, or a table.
    #[serde(default)]
    pub choices: Said<ChoiceSaid>,
    /// Things side by side along a part.
    #[serde(default)]
    pub series: IndexMap<Spanned<String>, SeriesSpec>,
    /// Values worked out by formula.
    #[serde(default)]
    pub workings: IndexMap<Spanned<String>, Expr>,
    /// The pieces of wood, by their kinds.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, PartKeys>")]
    pub parts: Vec<PartSpec>,
    /// Screws, by what they join.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, ScrewKeys>")]
    pub screws: Vec<ScrewSpec>,
    /// What to have at hand besides wood and screws.
    #[serde(default)]
    pub hardware: Vec<HardwareSpec>,
    /// What must not be, by what it is called when it is.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, CheckKeys>")]
    pub checks: Vec<CheckSpec>,
    /// The steps of making it, each a text or a table.
    #[serde(default, deserialize_with = "each")]
    pub steps: Vec<StepSpec>,
    /// The tools that hang on it.
    #[serde(default, deserialize_with = "one_or_more")]
    #[schemars(with = "AsEither<ToolSpec, Vec<ToolSpec>>")]
    pub tool: Vec<ToolSpec>,
    /// What its measuring sheet shows.
    #[serde(default)]
    pub measuring: MeasuringSpec,
    /// The tools that hang on it, as loads.
    #[serde(default, deserialize_with = "one_or_more")]
    #[schemars(with = "AsEither<WeightSpec, Vec<WeightSpec>>")]
    pub weights: Vec<WeightSpec>,
    /// What bears its load by a model of its own, by what a person would call it.
    #[serde(default, deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, CarrierKeys>")]
    pub carries: Vec<CarrierSpec>,
}

/// How the tools of a style are measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Measured {
    /// All are alike: one reading serves.
    #[default]
    Alike,
    /// Each for itself.
    Each,
}

/// Which choices say how many tools there are.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct CountsSpec {
    /// The tools there are; where each is measured for itself they are as many as are measured.
    pub tools: Option<Spanned<String>>,
    /// Room for more.
    pub room: Option<Spanned<String>>,
}

/// For which tools a style suits.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SuitsSpec {
    /// Only where this holds.
    pub when: Option<Expr>,
    /// How well, from 0 to 1.
    pub merit: Expr,
    /// Why, by the tool's figures.
    pub because: Say,
}

/// Things one beside the other along a part, from the left or from the back.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatSeries")]
#[schemars(with = "FlatSeries")]
pub(crate) struct SeriesSpec {
    pub way: SeriesWay,
    /// From the end to the first: to its side, or to its middle where they are told by pitch.
    pub ends: Option<Expr>,
}

/// How the things of a series follow one another.
#[derive(Debug)]
pub(crate) enum SeriesWay {
    /// Side by side, each as wide as it is.
    Wide {
        /// A list, or one figure for `count`.
        of: Expr,
        count: Option<Expr>,
        gap: Option<Expr>,
    },
    /// From middle to middle.
    Pitched { count: Expr, pitch: Expr },
}

impl SeriesSpec {
    /// Every formula in it.
    pub(crate) fn formulas(&self) -> impl Iterator<Item = &Expr> {
        let way = match &self.way {
            SeriesWay::Wide { of, count, gap } => [Some(of), count.as_ref(), gap.as_ref()],
            SeriesWay::Pitched { count, pitch } => [Some(count), Some(pitch), None],
        };
        way.into_iter().flatten().chain(&self.ends)
    }
}

/// One kind of piece, by its name.
pub(crate) type PartSpec = Named<PartKeys>;

/// What a style says of one kind of piece.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PartKeys {
    /// What it is and does.
    #[serde(default)]
    pub about: String,
    /// A stock choice, or "cleat".
    #[serde(default = "sheet")]
    pub cut_from: Spanned<String>,
    /// Diameter of the dowel it is cut from; only with a dowel.
    pub diameter: Option<Expr>,
    /// Only made when this holds.
    pub when: Option<Expr>,
    /// Which way the grain runs.
    pub grain: Option<Grain>,
    /// So many parts, each made for its own `n`.
    pub repeat: Option<Expr>,
    /// Length and width of a plain rectangle…
    pub size: Option<Pair>,
    /// … or another outline.
    pub outline: Option<OutlineSpec>,
    /// What its edges are called.
    #[serde(default)]
    pub edges: IndexMap<Edge, String>,
    /// A long edge sawn at an angle.
    pub bevel: Option<BevelSpec>,
    /// Wood cut away.
    #[serde(default, deserialize_with = "each")]
    pub cuts: Vec<CutSpec>,
    /// Its tabs, and what they go into.
    #[serde(default)]
    pub tabs: Vec<JointSpec>,
    /// Holes made with a bit.
    #[serde(default)]
    pub drillings: Vec<DrillingSpec>,
    /// Areas milled to a depth.
    #[serde(default)]
    pub pockets: Vec<PocketSpec>,
    /// Lines to scribe.
    #[serde(default)]
    pub marks: Vec<MarkSpec>,
    /// Parts whose footprint is marked on this one where they touch it.
    #[serde(default)]
    pub footprints: FootprintsSpec,
    /// Where the pieces sit, one entry (or repeat) a piece. What sits nowhere adds to the part of that name
    /// that a group makes.
    #[serde(default, deserialize_with = "one_or_more")]
    #[schemars(with = "AsEither<SitsSpec, Vec<SitsSpec>>")]
    pub sits: Vec<SitsSpec>,
}

impl PartKeys {
    /// The choices that name its traced outlines.
    pub(crate) fn traces(&self) -> impl Iterator<Item = &str> {
        let outline = self.outline.iter().filter_map(|outline| match outline {
            OutlineSpec::Svg(trace) => trace.choice(),
            _ => None,
        });
        let cuts = self.cuts.iter().filter_map(|cut| match &cut.shape {
            CutShape::Traced(traced) => traced.svg.choice(),
            _ => None,
        });
        outline.chain(cuts)
    }

    /// Whether it adds to the part of a group, and is none by itself.
    pub(crate) fn adds(&self) -> bool {
        self.sits.is_empty()
    }
}

/// Whose footprints are marked on a part.
#[derive(Debug, JsonSchema)]
#[schemars(untagged)]
pub(crate) enum FootprintsSpec {
    /// Of those that are named.
    Of(Vec<Spanned<String>>),
    /// Of every part that touches it.
    #[schemars(extend("type" = "string", "const" = "all"))]
    All,
}

impl Default for FootprintsSpec {
    fn default() -> Self {
        Self::Of(Vec::new())
    }
}

impl FootprintsSpec {
    /// Those that are named.
    pub(crate) fn named(&self) -> &[Spanned<String>] {
        match self {
            Self::Of(parts) => parts,
            Self::All => &[],
        }
    }
}

/// The stock choice of a part that names none.
fn sheet() -> Spanned<String> {
    Spanned::new(0..0, "sheet".to_owned())
}

/// The outer contour before anything is cut away: a rectangle from the origin, a polygon, or the
/// path of an SVG file with the lower left corner of its bounds put to the origin.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "snake_case")]
pub(crate) enum OutlineSpec {
    /// A rectangle with a radius at each corner.
    Rectangle(Box<RectangleSpec>),
    /// A polygon with a radius at each corner.
    Polygon(PolygonSpec),
    /// The path of an SVG file.
    Svg(TraceSpec),
}

/// The path of an SVG file.
#[derive(Debug, Deserialize, JsonSchema)]
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
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct RectangleSpec {
    /// Length along x and width along y.
    pub size: Pair,
    /// Radius of that corner; sharp when left out.
    pub lower_left: Option<Expr>,
    /// Radius of that corner.
    pub lower_right: Option<Expr>,
    /// Radius of that corner.
    pub upper_right: Option<Expr>,
    /// Radius of that corner.
    pub upper_left: Option<Expr>,
}

/// A polygon with a radius at each corner.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PolygonSpec {
    /// Its corners in their order, each x and y.
    pub corners: Vec<Pair>,
    /// One for each corner; none at all for sharp corners.
    #[serde(default)]
    pub radii: Vec<Expr>,
}

/// A beveled long edge.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct BevelSpec {
    /// The edge that is beveled.
    pub edge: Edge,
    /// How far the blade is tilted.
    pub angle: Expr,
    /// The face that keeps the full width.
    pub full_face: Face,
}

/// Wood cut away.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatCut")]
#[schemars(with = "FlatCut")]
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
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatSlot")]
#[schemars(with = "FlatSlot")]
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
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HoleSpec {
    /// Its center.
    pub at: Pair,
    /// Its diameter.
    pub diameter: Expr,
}

/// A rectangular opening.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct WindowSpec {
    /// Lower left corner.
    pub at: Pair,
    /// Length and width.
    pub size: Pair,
    /// Of all four corners.
    pub radius: Option<Expr>,
    /// Whether a square-cornered part must fit fully into it.
    #[serde(default)]
    pub seat: bool,
}

/// A rectangular notch in an edge.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct NotchSpec {
    /// The edge it is cut into.
    pub edge: Edge,
    /// Where its middle lies along the edge, from the left or bottom.
    pub middle: Expr,
    /// Along the edge.
    pub width: Expr,
    /// From the edge.
    pub depth: Expr,
    /// Of the two inside corners.
    pub radius: Option<Expr>,
    /// Whether a square-cornered part must fit fully into it.
    #[serde(default)]
    pub seat: bool,
}

/// An opening that fits the path of an SVG file.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TracedSpec {
    /// The traced outline.
    pub svg: TraceSpec,
    /// Lower left corner of the path's bounds.
    pub at: Pair,
    /// How much larger the opening is all round.
    pub clearance: Option<Expr>,
}

/// A hole made with a bit.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct DrillingSpec {
    /// Its center.
    pub at: Pair,
    /// Diameter of the bit.
    pub diameter: Expr,
    /// Right through when left out.
    pub depth: Option<Expr>,
    /// What it is for.
    pub purpose: Purpose,
    /// How far the bit leans.
    pub lean: Option<Expr>,
    /// So often, with n counting 1, 2, 3 … in each formula.
    pub repeat: Option<RepeatSpec>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// A rectangular area milled to a depth.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct PocketSpec {
    /// Lower left corner.
    pub at: Pair,
    /// Length and width.
    pub size: Pair,
    /// How deep it is milled.
    pub depth: Expr,
    /// The face it is milled from, the show face when left out.
    pub face: Option<Face>,
    /// Whether a square-cornered part must fit fully into it.
    #[serde(default)]
    pub seat: bool,
    /// So often, with n counting 1, 2, 3 … in each formula.
    pub repeat: Option<RepeatSpec>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// A line to scribe.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct MarkSpec {
    /// A center line, or a line to work to.
    pub kind: MarkWord,
    /// Where it begins.
    pub from: Pair,
    /// Where it ends.
    pub to: Pair,
    /// What is written beside it.
    pub say: Option<Say>,
    /// So often, with n counting 1, 2, 3 … in each formula.
    pub repeat: Option<RepeatSpec>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// The kinds of lines a style may mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum MarkWord {
    Center,
    Scribe,
}

/// Where a piece sits in the finished holder: beside others, and what that leaves open by figures.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatSits")]
#[schemars(with = "FlatSits")]
pub(crate) struct SitsSpec {
    /// Least x, y and z of the box it fills, where they do not follow from other parts.
    pub at: [Option<Expr>; 3],
    /// The parts it sits beside.
    pub beside: Vec<BesideSpec>,
    pub faces: Facing,
    /// Turned half round in its own plane.
    pub half_turn: bool,
    /// How far its far end is lifted.
    pub tilt: Option<Expr>,
    /// The line it is tilted about, by its y and z; its near lower edge when left out. Pieces
    /// tilted about one line keep their places to one another.
    pub hinge: Option<Pair>,
    pub repeat: Option<RepeatSpec>,
    pub when: Option<Expr>,
}

/// Where a piece sits to another part. Along the other axes it is flush with the first part it is
/// beside: at the left, the foot and the back.
#[derive(Debug)]
pub(crate) struct BesideSpec {
    pub part: Spanned<String>,
    pub side: BesideWay,
}

/// On which side of another part a piece sits.
#[derive(Debug)]
pub(crate) enum BesideWay {
    /// On top of it.
    On,
    Under,
    /// In front of it, away from the wall.
    Before,
    Behind,
    RightOf,
    LeftOf,
    /// Two pieces, one flush with either end of it, looking outward.
    EndsOf,
    /// In the middle of the gap between it and this one.
    Between(Spanned<String>),
}

/// Tabs on one part's edge and the mortises they go into.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(from = "FlatJoint")]
#[schemars(with = "FlatJoint")]
pub(crate) struct JointSpec {
    pub when: Expr,
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
    /// How much further they stand out until they are sanded flush; nothing is opened for that.
    pub proud: Expr,
    /// Clearance at each face of a tab; negative for a press fit.
    pub fit: Expr,
    /// The same at each end of its width.
    pub end_fit: Expr,
    /// The word 'corner', 'side' or 'none'; by hand corners are squared with a chisel.
    pub relief: Expr,
    /// Whether a wedge in each tab keeps it from pulling out; else glue alone does.
    pub wedged: Expr,
}

/// Screws through one part into what lies behind it, by what they join.
pub(crate) type ScrewSpec = Named<ScrewKeys>;

/// What a style says of some screws.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatScrews")]
#[schemars(with = "FlatScrews")]
pub(crate) struct ScrewKeys {
    /// The part the screw passes through.
    pub through: Spanned<String>,
    /// "wall" for the studs; left out for whatever part lies behind.
    pub into: Option<Spanned<String>>,
    /// The face its head is sunk in; away from what it goes into when left out.
    pub enters: Option<Face>,
    pub screw: Expr,
    /// Worked out from the wood when left out.
    pub length: Option<Expr>,
    pub course: ScrewCourse,
    pub when: Option<Expr>,
}

/// Where screws stand on the part they pass through, in that part's own x and y.
#[derive(Debug)]
pub(crate) enum ScrewCourse {
    Rows(Vec<ScrewRow>),
    /// Along where the parts touch.
    Footprint(Box<FootprintRow>),
}

/// Rows of screws along where two parts touch, the long way.
#[derive(Debug)]
pub(crate) struct FootprintRow {
    /// From either end of where they touch to the first screw…
    pub ends: Option<Expr>,
    /// … or where on the part the row begins and ends.
    pub from: Option<Expr>,
    pub to: Option<Expr>,
    /// How far from the part's lower or left edge the row runs; in the middle of where they touch when left
    /// out.
    pub line: Option<Expr>,
    /// How many rows, evenly across.
    pub lines: Option<Expr>,
    pub at_most: Option<Expr>,
    pub every: Option<Expr>,
}

impl ScrewKeys {
    /// Whether they go into the studs of the wall.
    pub(crate) fn to_wall(&self) -> bool {
        self.into.as_ref().is_some_and(|into| into.get_ref() == "wall")
    }
}

/// Screws in a straight row, evenly spaced.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ScrewRow {
    /// The first screw.
    pub from: Pair,
    /// The last screw.
    pub to: Pair,
    /// They stand at most this far apart…
    pub at_most: Option<Expr>,
    /// … or exactly this far, as many as fit.
    pub every: Option<Expr>,
    /// The whole row again, moved.
    pub repeat: Option<RepeatSpec>,
}

/// Something to have at hand besides wood and screws.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HardwareSpec {
    /// What it is.
    pub item: String,
    /// How large it is.
    #[serde(default)]
    pub size: String,
    /// What it is for.
    #[serde(default)]
    pub used_for: String,
    /// Whether one serves all holders that want it.
    #[serde(default)]
    pub shared: bool,
    /// How many.
    pub quantity: Expr,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// Something that must not be, by what it is called when it is.
pub(crate) type CheckSpec = Named<CheckKeys>;

/// When a check speaks, and what it says.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatCheck")]
#[schemars(with = "FlatCheck")]
pub(crate) struct CheckKeys {
    pub level: Level,
    pub when: Expr,
    pub say: Say,
    /// Looked at once for each `n`.
    pub repeat: Option<RepeatSpec>,
}

/// One step of making.
#[derive(Debug, JsonSchema)]
#[schemars(with = "AsEither<String, FlatStep>")]
pub(crate) struct StepSpec {
    pub text: Say,
    /// Comes before the steps that are not early, whichever group it stands in.
    pub early: bool,
    /// Comes after all others.
    pub last: bool,
    pub when: Option<Expr>,
    /// The parts that it puts to what stands so far, or puts others on, by their kinds.
    pub adds: Vec<Spanned<String>>,
}
