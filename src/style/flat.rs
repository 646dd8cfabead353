//! Tables as they stand in a style file, where keys exclude or ask for one another, turned into
//! what they can mean.

use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::{Deserializer, Error as _};

use super::expr::{Expr, Pair, PlainOr, RepeatSpec, Say, Triple, exactly_one};
use super::spec::{
    BesideSpec, BesideWay, CheckKeys, CutShape, CutSpec, FootprintRow, FootprintsSpec, HoleSpec,
    JointSpec, NotchSpec, ScrewCourse, ScrewKeys, ScrewRow, SeriesSpec, SeriesWay, SitsSpec,
    SlotCourse, SlotMouth, SlotSpec, StepSpec, TracedSpec, WindowSpec,
};
use super::words::{Edge, Face, Facing, Level};
use crate::reading::{Entry, Spanned, formerly};

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatCut {
    slot: Option<SlotSpec>,
    hole: Option<HoleSpec>,
    window: Option<WindowSpec>,
    notch: Option<NotchSpec>,
    traced: Option<TracedSpec>,
    repeat: Option<RepeatSpec>,
    when: Option<Expr>,
}

impl TryFrom<FlatCut> for CutSpec {
    type Error = &'static str;

    fn try_from(flat: FlatCut) -> Result<Self, Self::Error> {
        let shapes = [
            flat.slot.map(CutShape::Slot),
            flat.hole.map(CutShape::Hole),
            flat.window.map(CutShape::Window),
            flat.notch.map(CutShape::Notch),
            flat.traced.map(CutShape::Traced),
        ];
        let rule = "a cut has exactly one of slot, hole, window, notch and traced";
        Ok(Self { shape: exactly_one(shapes, rule)?, repeat: flat.repeat, when: flat.when })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatSlot {
    end: Pair,
    toward: Option<Edge>,
    to: Option<Pair>,
    width: Expr,
    end_diameter: Option<Expr>,
    mouth_width: Option<Expr>,
    mouth_radius: Option<Expr>,
}

impl TryFrom<FlatSlot> for SlotSpec {
    type Error = &'static str;

    fn try_from(flat: FlatSlot) -> Result<Self, Self::Error> {
        let FlatSlot { end, toward, to, width, end_diameter, mouth_width, mouth_radius } = flat;
        let mouth = match (mouth_width, mouth_radius, end_diameter) {
            (None, None, end_diameter) => SlotMouth::Straight { end_diameter },
            (Some(width), None, None) => SlotMouth::Tapered { width },
            (None, Some(radius), None) => SlotMouth::Eased { radius },
            _ => {
                return Err("a slot has at most one of end_diameter, mouth_width and mouth_radius");
            }
        };
        let course = match (toward, to, mouth) {
            (Some(toward), None, mouth) => SlotCourse::Open { toward, mouth },
            (None, Some(to), SlotMouth::Straight { end_diameter }) => {
                SlotCourse::Closed { to, end_diameter }
            }
            (None, Some(_), _) => {
                return Err(
                    "a slot has mouth_width or mouth_radius only when it leads toward an edge",
                );
            }
            _ => return Err("a slot needs either toward (an edge) or to (a point)"),
        };
        Ok(Self { end, width, course })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatJoint {
    when: Option<Expr>,
    edge: Option<Edge>,
    into: Spanned<String>,
    from: Option<Expr>,
    to: Option<Expr>,
    count: Option<Expr>,
    beyond: Option<Expr>,
    proud: Option<Expr>,
    fit: Option<Expr>,
    end_fit: Option<Expr>,
    relief: Option<Expr>,
    wedged: Option<Expr>,
}

/// What is left out is as the group tabs names it; one clearance that is given holds all round.
impl From<FlatJoint> for JointSpec {
    fn from(flat: FlatJoint) -> Self {
        let or = |given: Option<Expr>, name| given.unwrap_or_else(|| Expr::named(name));
        Self {
            when: or(flat.when, "tabbed"),
            edge: flat.edge,
            into: flat.into,
            from: flat.from,
            to: flat.to,
            count: flat.count,
            beyond: flat.beyond,
            proud: or(flat.proud, "tab_proud"),
            end_fit: or(flat.end_fit.or_else(|| flat.fit.clone()), "tab_end_fit"),
            fit: or(flat.fit, "tab_fit"),
            relief: or(flat.relief, "relief"),
            wedged: or(flat.wedged, "wedged"),
        }
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatCheck {
    stop: Option<Expr>,
    warn: Option<Expr>,
    note: Option<Expr>,
    say: Say,
    repeat: Option<RepeatSpec>,
}

impl TryFrom<FlatCheck> for CheckKeys {
    type Error = &'static str;

    fn try_from(flat: FlatCheck) -> Result<Self, Self::Error> {
        let levels = [
            flat.stop.map(|when| (Level::Stop, when)),
            flat.warn.map(|when| (Level::Warn, when)),
            flat.note.map(|when| (Level::Note, when)),
        ];
        let rule = "a check has exactly one of stop, warn and note";
        let (level, when) = exactly_one(levels, rule)?;
        Ok(Self { level, when, say: flat.say, repeat: flat.repeat })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatSeries {
    of: Option<Expr>,
    count: Option<Expr>,
    gap: Option<Expr>,
    pitch: Option<Expr>,
    ends: Option<Expr>,
}

impl TryFrom<FlatSeries> for SeriesSpec {
    type Error = &'static str;

    fn try_from(flat: FlatSeries) -> Result<Self, Self::Error> {
        let FlatSeries { of, count, gap, pitch, ends } = flat;
        let way = match (of, count, gap, pitch) {
            (Some(of), count, gap, None) => SeriesWay::Wide { of, count, gap },
            (None, Some(count), None, Some(pitch)) => SeriesWay::Pitched { count, pitch },
            _ => {
                return Err(
                    "a series has of (how wide each is) and perhaps count and gap, or count and pitch",
                );
            }
        };
        Ok(Self { way, ends })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatSits {
    at: Option<Triple>,
    x: Option<Expr>,
    y: Option<Expr>,
    z: Option<Expr>,
    on: Option<Spanned<String>>,
    under: Option<Spanned<String>>,
    in_front_of: Option<Spanned<String>>,
    behind: Option<Spanned<String>>,
    right_of: Option<Spanned<String>>,
    left_of: Option<Spanned<String>>,
    ends_of: Option<Spanned<String>>,
    between: Option<[Spanned<String>; 2]>,
    faces: Option<Facing>,
    #[serde(default)]
    half_turn: bool,
    tilt: Option<Expr>,
    hinge: Option<Pair>,
    repeat: Option<RepeatSpec>,
    when: Option<Expr>,
}

impl TryFrom<FlatSits> for SitsSpec {
    type Error = &'static str;

    fn try_from(flat: FlatSits) -> Result<Self, Self::Error> {
        let FlatSits {
            at,
            x,
            y,
            z,
            on,
            under,
            in_front_of,
            behind,
            right_of,
            left_of,
            ends_of,
            ..
        } = flat;
        let by_figures = [x, y, z];
        let at = match at {
            Some(_) if by_figures.iter().any(Option::is_some) => {
                return Err("a piece sits at x, y and z one by one, or at all three together");
            }
            Some(at) => at.map(Some),
            None => by_figures,
        };
        if ends_of.is_some() && flat.faces.is_some() {
            return Err("pieces at both ends look outward: leave faces out");
        }
        let between = flat.between.map(|[one, other]| (one, BesideWay::Between(other)));
        let named = |part: Option<Spanned<String>>, side| part.map(|part| (part, side));
        let beside = [
            exclusive([named(on, BesideWay::On), named(under, BesideWay::Under)])?,
            exclusive([named(in_front_of, BesideWay::Before), named(behind, BesideWay::Behind)])?,
            exclusive([
                named(right_of, BesideWay::RightOf),
                named(left_of, BesideWay::LeftOf),
                named(ends_of, BesideWay::EndsOf),
            ])?,
            between,
        ];
        let beside = beside.into_iter().flatten().map(|(part, side)| BesideSpec { part, side });
        Ok(Self {
            at,
            beside: beside.collect(),
            faces: flat.faces.unwrap_or(Facing::Front),
            half_turn: flat.half_turn,
            tilt: flat.tilt,
            hinge: flat.hinge,
            repeat: flat.repeat,
            when: flat.when,
        })
    }
}

/// At most one of them.
fn exclusive<T, const OPTIONS: usize>(
    options: [Option<T>; OPTIONS],
) -> Result<Option<T>, &'static str> {
    let mut given = options.into_iter().flatten();
    match (given.next(), given.next()) {
        (one, None) => Ok(one),
        _ => Err(
            "on and under, in_front_of and behind, right_of, left_of and ends_of exclude each other",
        ),
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = formerly("screw", "number"))]
pub(super) struct FlatScrews {
    through: Spanned<String>,
    into: Option<Spanned<String>>,
    enters: Option<Face>,
    /// Called `number` before screws were sold by anything else.
    #[serde(alias = "number")]
    screw: Option<Expr>,
    length: Option<Expr>,
    rows: Option<Vec<ScrewRow>>,
    from_ends: Option<Expr>,
    from: Option<Expr>,
    to: Option<Expr>,
    line: Option<Expr>,
    lines: Option<Expr>,
    at_most: Option<Expr>,
    every: Option<Expr>,
    when: Option<Expr>,
}

impl TryFrom<FlatScrews> for ScrewKeys {
    type Error = &'static str;

    fn try_from(flat: FlatScrews) -> Result<Self, Self::Error> {
        let FlatScrews { from_ends: ends, from, to, line, lines, at_most, every, .. } = flat;
        let along = [&ends, &from, &to, &line, &lines, &at_most, &every];
        let course = match flat.rows {
            Some(_) if along.iter().any(|key| key.is_some()) => {
                return Err(
                    "screws stand in rows, or along where the parts touch (from_ends, from, to, \
                            line, lines, at_most, every): leave one out",
                );
            }
            Some(rows) if flat.enters.is_none() => {
                drop(rows);
                return Err(
                    "screws in rows need enters: the face their heads are in, show or back",
                );
            }
            Some(rows) => ScrewCourse::Rows(rows),
            None if line.is_some() && lines.is_some() => {
                return Err("screws stand on one line, or on so many lines side by side");
            }
            None if ends.is_some() && (from.is_some() || to.is_some()) => {
                return Err("a row has from_ends, or from and to");
            }
            None => ScrewCourse::Footprint(Box::new(FootprintRow {
                ends,
                from,
                to,
                line,
                lines,
                at_most,
                every,
            })),
        };
        let to_wall = flat.into.as_ref().is_some_and(|into| into.get_ref() == "wall");
        let usual = if to_wall { "wall_screw" } else { "screw" };
        Ok(Self {
            through: flat.through,
            into: flat.into,
            enters: flat.enters,
            screw: flat.screw.unwrap_or_else(|| Expr::named(usual)),
            length: flat.length,
            course,
            when: flat.when,
        })
    }
}

#[derive(Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatStep {
    #[serde(rename = "do")]
    text: Say,
    #[serde(default)]
    early: bool,
    #[serde(default)]
    last: bool,
    when: Option<Expr>,
    #[serde(default)]
    adds: Vec<Spanned<String>>,
}

impl<'de> Deserialize<'de> for StepSpec {
    /// A text alone, or a table with `do`.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let said = Spanned::<PlainOr<FlatStep>>::deserialize(deserializer)?;
        let span = said.span();
        match said.into_inner() {
            PlainOr::Plain(Entry::Text(text)) => {
                let text = Say::of(&text, span).map_err(D::Error::custom)?;
                Ok(Self { text, early: false, last: false, when: None, adds: Vec::new() })
            }
            PlainOr::Plain(_) => {
                Err(D::Error::custom("a step is a text, or a table with do = \"…\""))
            }
            PlainOr::Table(FlatStep { text, early, last, when, adds }) => {
                Ok(Self { text, early, last, when, adds })
            }
        }
    }
}

impl<'de> Deserialize<'de> for FootprintsSpec {
    /// A list of parts, or the word all.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let entry = Spanned::<Entry>::deserialize(deserializer)?;
        match entry.get_ref() {
            Entry::Text(word) if word == "all" => Ok(Self::All),
            Entry::List(entries) => {
                let named = entries.iter().map(|entry| match entry.get_ref() {
                    Entry::Text(part) => Ok(Spanned::new(entry.span(), part.clone())),
                    other => Err(D::Error::custom(format!("{other} is no name of a part"))),
                });
                named.collect::<Result<_, _>>().map(Self::Of)
            }
            other => Err(D::Error::custom(format!(
                "{other} is neither a list of parts nor the word \"all\""
            ))),
        }
    }
}
