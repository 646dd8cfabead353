//! Tables as they stand in a style file, where keys exclude or ask for one another, turned into
//! what they can mean.

use serde::Deserialize;

use super::load_spec::{
    BearerModel, BearerSpec, CantileverSpec, HookSpec, ScrewedSpec, SpanSpec, TurnSpec,
};
use super::spec::{
    CheckSpec, CutShape, CutSpec, Expr, HoleSpec, NotchSpec, Pair, RepeatSpec, Say, SlotCourse,
    SlotMouth, SlotSpec, TracedSpec, WindowSpec,
};
use super::words::{Edge, Level};
use crate::reading::Spanned;

/// The one option that is given, or what to say where there is none or more than one.
fn exactly_one<T, const OPTIONS: usize>(
    options: [Option<T>; OPTIONS],
    rule: &'static str,
) -> Result<T, &'static str> {
    let mut given = options.into_iter().flatten();
    match (given.next(), given.next()) {
        (Some(one), None) => Ok(one),
        _ => Err(rule),
    }
}

#[derive(Deserialize)]
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

#[derive(Deserialize)]
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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatCheck {
    stop: Option<Expr>,
    warn: Option<Expr>,
    note: Option<Expr>,
    code: Spanned<String>,
    say: Say,
    repeat: Option<RepeatSpec>,
}

impl TryFrom<FlatCheck> for CheckSpec {
    type Error = &'static str;

    fn try_from(flat: FlatCheck) -> Result<Self, Self::Error> {
        let levels = [
            flat.stop.map(|when| (Level::Stop, when)),
            flat.warn.map(|when| (Level::Warn, when)),
            flat.note.map(|when| (Level::Note, when)),
        ];
        let rule = "a check has exactly one of stop, warn and note";
        let (level, when) = exactly_one(levels, rule)?;
        Ok(Self { level, when, code: flat.code, say: flat.say, repeat: flat.repeat })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatBearer {
    what: Spanned<String>,
    when: Option<Expr>,
    repeat: Option<RepeatSpec>,
    cantilever: Option<CantileverSpec>,
    span: Option<SpanSpec>,
    screws: Option<ScrewedSpec>,
    hook: Option<HookSpec>,
}

impl TryFrom<FlatBearer> for BearerSpec {
    type Error = &'static str;

    fn try_from(flat: FlatBearer) -> Result<Self, Self::Error> {
        let models = [
            flat.cantilever.map(BearerModel::Cantilever),
            flat.span.map(BearerModel::Span),
            flat.screws.map(BearerModel::Screws),
            flat.hook.map(BearerModel::Hook),
        ];
        let rule = "what bears has exactly one of cantilever, span, screws and hook";
        let model = exactly_one(models, rule)?;
        Ok(Self { what: flat.what, when: flat.when, repeat: flat.repeat, model })
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FlatScrewed {
    joints: Vec<Spanned<String>>,
    mass: Expr,
    out: Option<Expr>,
    middle: Option<Expr>,
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
