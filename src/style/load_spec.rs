//! What a style says of the loads its holder carries.

use schemars::JsonSchema;
use serde::Deserialize;

use super::expr::{Expr, Named, RepeatSpec, exactly_one};
use crate::reading::Spanned;

/// Tools that hang on the holder.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct WeightSpec {
    /// How heavy they are together.
    pub mass: Expr,
    /// How far out from the wall their weight acts.
    #[serde(default = "acts_out")]
    pub out: Expr,
    /// The parts that carry it, from what it lies on to what hangs on the wall: how each is bent and
    /// its screws are loaded follows.
    #[serde(default)]
    pub path: Vec<Spanned<String>>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

fn acts_out() -> Expr {
    Expr::named("acts_out")
}

/// Something that must bear its load, by what a person would call it that points at it.
pub(crate) type CarrierSpec = Named<CarrierKeys>;

/// How something bears its load, by one model.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatCarrier")]
#[schemars(with = "FlatCarrier")]
pub(crate) struct CarrierKeys {
    pub when: Option<Expr>,
    pub repeat: Option<RepeatSpec>,
    pub model: CarrierModel,
}

/// How a load is borne.
#[derive(Debug)]
pub(crate) enum CarrierModel {
    Cantilever(CantileverSpec),
    Span(SpanSpec),
    Screws(ScrewedSpec),
    Tabs(TabbedSpec),
    Hook(HookSpec),
}

/// A part held at one end. It runs out from the wall and is loaded down, or runs up and is loaded
/// outward.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct CantileverSpec {
    /// The part that is held at one end.
    pub part: Spanned<String>,
    /// Out from the wall, or up.
    #[serde(default)]
    pub runs: Runs,
    /// Where it is held, in the holder: out from the wall, or up from the foot.
    pub root: Expr,
    /// Carried by one piece of the part.
    pub mass: Expr,
    /// Where the mass acts, measured as the root is; spread from root to tip when left out.
    pub at: Option<Expr>,
}

/// Which way a part that is held at one end runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Runs {
    #[default]
    Out,
    Up,
}

/// A part that rests on two places, side by side on the wall.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatSpan")]
#[schemars(with = "FlatSpan")]
pub(crate) struct SpanSpec {
    pub part: Spanned<String>,
    /// From the left end of the holder.
    pub from: Expr,
    pub to: Expr,
    pub loads: Vec<SpanLoadSpec>,
}

/// One of the loads on such a part.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SpanLoadSpec {
    /// How heavy it is.
    pub mass: Expr,
    /// From the left end of the holder; spread between the two places when left out.
    pub at: Option<Expr>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FlatSpan {
    /// The part that rests on two places.
    part: Spanned<String>,
    /// The left place, from the left end of the holder.
    from: Expr,
    /// The right place.
    to: Expr,
    /// One load, spread between them.
    mass: Option<Expr>,
    /// Several loads.
    loads: Option<Vec<SpanLoadSpec>>,
}

impl TryFrom<FlatSpan> for SpanSpec {
    type Error = &'static str;

    fn try_from(flat: FlatSpan) -> Result<Self, Self::Error> {
        let one = flat.mass.map(|mass| vec![SpanLoadSpec { mass, at: None }]);
        let loads = exactly_one([one, flat.loads], "a span has one mass, or a list of loads")?;
        Ok(Self { part: flat.part, from: flat.from, to: flat.to, loads })
    }
}

/// Screws that hold one part on another.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(try_from = "FlatScrewed")]
#[schemars(with = "FlatScrewed")]
pub(crate) struct ScrewedSpec {
    /// What the `[[screws]]` that share the load are said to join (`about`).
    pub joints: Vec<Spanned<String>>,
    /// Carried by all of them.
    pub mass: Expr,
    /// How far from the left end of the holder it acts, where the screws do not share it evenly, as
    /// those in the studs.
    pub middle: Option<Expr>,
    /// Left out where the load only shears.
    pub turn: Option<TurnSpec>,
}

/// A part that lies on the tabs that it has in another.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct TabbedSpec {
    /// The part that lies on its tabs.
    pub part: Spanned<String>,
    /// What the tabs go into.
    pub into: Spanned<String>,
    /// Carried by all of them.
    pub mass: Expr,
}

/// What turns screws open.
#[derive(Debug)]
pub(crate) struct TurnSpec {
    /// How far out from the wall the mass acts.
    pub out: Expr,
    /// The line the load would turn the joint open about, from the low corner of the part that the
    /// screws pass through: up from its foot where they point out from the wall, out from its
    /// back where they point down.
    pub pivot: Expr,
}

/// The whole holder, hooked on the wall cleat.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct HookSpec {
    /// The part with the bevel.
    pub cleat: Spanned<String>,
    /// What its screws are said to join.
    pub screws: Spanned<String>,
    /// How high above the holder's foot the wall pushes on what bears there.
    pub bearing: Expr,
    /// What the screws of a keeper strip are said to join; it is counted where the holder has them.
    pub kept_by: Option<Spanned<String>>,
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FlatCarrier {
    /// Only where this holds.
    when: Option<Expr>,
    /// So often, with n counting 1, 2, 3 … in each formula.
    repeat: Option<RepeatSpec>,
    /// A part held at one end.
    cantilever: Option<CantileverSpec>,
    /// A part that rests on two places.
    span: Option<SpanSpec>,
    /// Screws that hold one part on another.
    screws: Option<ScrewedSpec>,
    /// A part that lies on its tabs.
    tabs: Option<TabbedSpec>,
    /// The whole holder, hooked on the wall cleat.
    hook: Option<HookSpec>,
}

impl TryFrom<FlatCarrier> for CarrierKeys {
    type Error = &'static str;

    fn try_from(flat: FlatCarrier) -> Result<Self, Self::Error> {
        let models = [
            flat.cantilever.map(CarrierModel::Cantilever),
            flat.span.map(CarrierModel::Span),
            flat.screws.map(CarrierModel::Screws),
            flat.tabs.map(CarrierModel::Tabs),
            flat.hook.map(CarrierModel::Hook),
        ];
        let rule = "what bears has exactly one of cantilever, span, screws, tabs and hook";
        let model = exactly_one(models, rule)?;
        Ok(Self { when: flat.when, repeat: flat.repeat, model })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FlatScrewed {
    /// The rows of screws that share the load.
    joints: Vec<Spanned<String>>,
    /// Carried by all of them.
    mass: Expr,
    /// How far out from the wall the mass acts.
    out: Option<Expr>,
    /// How far from the left end of the holder it acts.
    middle: Option<Expr>,
    /// The line that the load would turn the joint open about.
    pivot: Option<Expr>,
}

impl TryFrom<FlatScrewed> for ScrewedSpec {
    type Error = &'static str;

    fn try_from(flat: FlatScrewed) -> Result<Self, Self::Error> {
        let turn = match (flat.out, flat.pivot) {
            (Some(out), Some(pivot)) => Some(TurnSpec { out, pivot }),
            (None, None) => None,
            _ => return Err("screws are turned by out and pivot together, or by neither"),
        };
        Ok(Self { joints: flat.joints, mass: flat.mass, middle: flat.middle, turn })
    }
}
