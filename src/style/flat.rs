//! Tables as they stand in a style file, where keys exclude or ask for one another, turned into
//! what they can mean.

use serde::Deserialize;

use super::expr::{Expr, Pair, RepeatSpec, Say, exactly_one};
use super::spec::{
    CheckSpec, CutShape, CutSpec, HoleSpec, NotchSpec, SlotCourse, SlotMouth, SlotSpec, TracedSpec,
    WindowSpec,
};
use super::words::{Edge, Level};
use crate::reading::Spanned;

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
