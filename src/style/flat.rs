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
    /// A slot with a drilled end.
    slot: Option<SlotSpec>,
    /// A round opening.
    hole: Option<HoleSpec>,
    /// A rectangular opening.
    window: Option<WindowSpec>,
    /// A rectangular notch in an edge.
    notch: Option<NotchSpec>,
    /// An opening that fits a traced outline.
    traced: Option<TracedSpec>,
    /// So often, with n counting 1, 2, 3 … in each formula.
    repeat: Option<RepeatSpec>,
    /// Only where this holds.
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
    /// Center of its drilled end.
    end: Pair,
    /// The edge that it opens to.
    toward: Option<Edge>,
    /// The other end of a closed one.
    to: Option<Pair>,
    /// How wide it is.
    width: Expr,
    /// Diameter of its end, where that is larger: a keyhole.
    end_diameter: Option<Expr>,
    /// How wide it is at the edge; it tapers to its end.
    mouth_width: Option<Expr>,
    /// Radius where its sides meet the edge.
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
    /// Only where this holds; as the group tabs says when left out.
    when: Option<Expr>,
    /// The edge they stand on; left out when the whole part is one tab.
    edge: Option<Edge>,
    /// The part they go into.
    into: Spanned<String>,
    /// Where the joint begins along the edge.
    from: Option<Expr>,
    /// Where it ends.
    to: Option<Expr>,
    /// How many tabs; worked out when left out.
    count: Option<Expr>,
    /// How far they stand out past the far face.
    beyond: Option<Expr>,
    /// How much further, to be sanded flush.
    proud: Option<Expr>,
    /// Clearance at each face of a tab, all round where it is said alone.
    fit: Option<Expr>,
    /// Clearance at each end of its width.
    end_fit: Option<Expr>,
    /// The word 'corner', 'side' or 'none'.
    relief: Option<Expr>,
    /// Whether a wedge in each tab keeps it in.
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
    /// It can't be made or is unsafe where this holds.
    stop: Option<Expr>,
    /// It can be made, but look at it, where this holds.
    warn: Option<Expr>,
    /// Good to know where this holds.
    note: Option<Expr>,
    /// What is said then: the figure first, the fix last.
    say: Say,
    /// Looked at for each n.
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
    /// How wide each is: a list, or one figure with count.
    of: Option<Expr>,
    /// How many.
    count: Option<Expr>,
    /// Between two of them.
    gap: Option<Expr>,
    /// From the center of one to the center of the next.
    pitch: Option<Expr>,
    /// From the end to the first.
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
    /// Its least x, y and z in the holder.
    at: Option<Triple>,
    /// Its least x, where that does not follow from other parts.
    x: Option<Expr>,
    /// Its least y.
    y: Option<Expr>,
    /// Its least z.
    z: Option<Expr>,
    /// It sits on top of that part.
    on: Option<Spanned<String>>,
    /// It sits under that part.
    under: Option<Spanned<String>>,
    /// It sits in front of that part, away from the wall.
    in_front_of: Option<Spanned<String>>,
    /// It sits behind that part.
    behind: Option<Spanned<String>>,
    /// It sits to the right of that part.
    right_of: Option<Spanned<String>>,
    /// It sits to the left of that part.
    left_of: Option<Spanned<String>>,
    /// Two pieces, one at each end of that part, looking outward.
    ends_of: Option<Spanned<String>>,
    /// It sits in the middle between two parts.
    between: Option<[Spanned<String>; 2]>,
    /// Which way its show face looks.
    faces: Option<Facing>,
    /// Turned half round in its own plane.
    #[serde(default)]
    half_turn: bool,
    /// How far its far end is lifted.
    tilt: Option<Expr>,
    /// The y and z of the line it is tilted about.
    hinge: Option<Pair>,
    /// So often, with n counting 1, 2, 3 … in each formula.
    repeat: Option<RepeatSpec>,
    /// Only where this holds.
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
    /// The part they pass through.
    through: Spanned<String>,
    /// The part they go into, or "wall" for the studs.
    into: Option<Spanned<String>>,
    /// The face their heads are in.
    enters: Option<Face>,
    /// Called `number` before screws were sold by anything else.
    #[serde(alias = "number")]
    screw: Option<Expr>,
    /// Worked out from the wood when left out.
    length: Option<Expr>,
    /// Straight rows on the part they pass through.
    rows: Option<Vec<ScrewRow>>,
    /// From either end of where the parts touch to the first.
    from_ends: Option<Expr>,
    /// Where the row begins on the part.
    from: Option<Expr>,
    /// Where it ends.
    to: Option<Expr>,
    /// How far the row runs from the part's lower or left edge.
    line: Option<Expr>,
    /// How many rows side by side.
    lines: Option<Expr>,
    /// They stand at most so far apart.
    at_most: Option<Expr>,
    /// They stand exactly so far apart.
    every: Option<Expr>,
    /// Only where this holds.
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
    /// What is done. It may hold formulas in braces.
    #[serde(rename = "do")]
    text: Say,
    /// It comes before the steps that are not early.
    #[serde(default)]
    early: bool,
    /// It comes after all others.
    #[serde(default)]
    last: bool,
    /// Only where this holds.
    when: Option<Expr>,
    /// The kinds of parts that it puts to what stands so far.
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
