//! What a style says of the tools that hang: the solids that stand for one, and how it comes to its place.

use indexmap::IndexMap;
use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::{Deserializer, Error as _};

use super::expr::{Expr, Named, RepeatSpec, Say, Triple, exactly_one, named};
use crate::reading::{AsFormula, Entry, Spanned};

/// Tools that hang alike.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct ToolSpec {
    /// Where its weight acts, on what it rests: x, y and z in the holder. The solids are told from there.
    pub at: Triple,
    /// So many, with n the tool.
    pub repeat: Option<RepeatSpec>,
    /// Only where this holds.
    pub when: Option<Expr>,
    /// How far it is turned about the line along x through `at`: what lies out goes up.
    pub lean: Option<Expr>,
    /// The solids that stand for it.
    #[serde(deserialize_with = "named")]
    #[schemars(with = "IndexMap<String, SolidKeys>")]
    pub body: Vec<SolidSpec>,
    /// How it comes to its place, leg by leg.
    #[serde(default)]
    pub comes: Vec<LegSpec>,
    /// Whether it holds on by itself: it grips, hooks or is screwed on.
    #[serde(default)]
    pub grips: bool,
    /// What would keep it from sliding off when it is bumped.
    pub steady: Option<Say>,
}

/// A solid by its name: what part of the tool it stands for.
pub(crate) type SolidSpec = Named<SolidKeys>;

/// A level block between two opposite corners; with a diameter a rod between the middles of its ends.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct SolidKeys {
    /// One corner, or the middle of one end of a rod.
    pub from: Triple,
    /// The opposite corner, or the middle of the other end.
    pub to: Triple,
    /// It is a rod, so thick.
    pub diameter: Option<Expr>,
    /// Only where this holds.
    pub when: Option<Expr>,
}

/// One straight leg of the way to its place.
#[derive(Debug, JsonSchema)]
#[schemars(with = "FlatLeg")]
pub(crate) struct LegSpec {
    pub way: LegWay,
    /// How far; `None` from where nothing is in the way.
    pub by: Option<Expr>,
    pub when: Option<Expr>,
}

/// Which way a tool goes to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LegWay {
    /// Toward the wall.
    In,
    /// Away from it.
    Out,
    Up,
    Down,
    Left,
    Right,
}

impl LegWay {
    /// The way as x, y and z, of length 1.
    pub(crate) fn unit(self) -> [f64; 3] {
        match self {
            Self::In => [0.0, 0.0, -1.0],
            Self::Out => [0.0, 0.0, 1.0],
            Self::Up => [0.0, 1.0, 0.0],
            Self::Down => [0.0, -1.0, 0.0],
            Self::Left => [-1.0, 0.0, 0.0],
            Self::Right => [1.0, 0.0, 0.0],
        }
    }
}

/// The word for a leg that begins where nothing is in the way.
const FAR: &str = "far";

const ONE_WAY: &str = "a leg has one of in, out, up, down, left and right: how far, or \"far\"";

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct FlatLeg {
    /// Toward the wall, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    r#in: Option<Spanned<Entry>>,
    /// Away from the wall, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    out: Option<Spanned<Entry>>,
    /// Up, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    up: Option<Spanned<Entry>>,
    /// Down, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    down: Option<Spanned<Entry>>,
    /// To the left, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    left: Option<Spanned<Entry>>,
    /// To the right, by a length or from "far".
    #[schemars(with = "Option<AsFormula>")]
    right: Option<Spanned<Entry>>,
    /// Only where this holds.
    when: Option<Expr>,
}

impl<'de> Deserialize<'de> for LegSpec {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let FlatLeg { r#in, out, up, down, left, right, when } =
            FlatLeg::deserialize(deserializer)?;
        let ways = [
            (LegWay::In, r#in),
            (LegWay::Out, out),
            (LegWay::Up, up),
            (LegWay::Down, down),
            (LegWay::Left, left),
            (LegWay::Right, right),
        ];
        let given = ways.map(|(way, by)| by.map(|by| (way, by)));
        let (way, by) = exactly_one(given, ONE_WAY).map_err(D::Error::custom)?;
        let far = matches!(by.get_ref(), Entry::Text(text) if text == FAR);
        let by = (!far).then(|| Expr::of(&by)).transpose().map_err(D::Error::custom)?;
        Ok(Self { way, by, when })
    }
}
