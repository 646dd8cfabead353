//! The layers of a file for the machine and their names, nowhere else.

use std::cmp::Reverse;

use super::job::{JobBit, MillCut, MillJob, MillWork};
use crate::shop::RouterBits;

/// What the machine does with what lies on a layer. The order of the layers is the order of the work.
///
/// | layer | what lies on it |
/// | --- | --- |
/// | `MARK_SHEET` | the edge of the sheet that parts lie on; not cut |
/// | `MARK`, `MARK_BACK` | lines to scribe on the face that is up, on the one below; not cut |
/// | `DOWEL_D635` | holes of 6.35 mm in the waste, through the sheet into the board under it; on the side that is up first |
/// | `MARK_DOWEL` | the same holes on the other side, where dowels stand in them; not cut |
/// | `DRILL_D1270_THRU` | holes of 12.70 mm right through |
/// | `DRILL_D437_Z2000` | holes of 4.37 mm, 20.00 mm deep |
/// | `SINK_D900_Z450` | countersinks of 9.00 mm, 4.50 mm deep |
/// | `POCKET_Z600` | areas milled 6.00 mm deep |
/// | `CUT_INNER_OPENING`, `CUT_INNER_OUTLINE` | contours of parts that lie in an opening of another; `INNER2` in one of those |
/// | `CUT_OPENING` | the contours of openings, cut right through |
/// | `CUT_OUTLINE` | the outer contours, cut right through |
/// | `…_B318` | by the bit of 3.18 mm, not by the one for outlines |
/// | `CUT_…_Z1750` | cut 17.50 mm deep: a skin is left |
/// | `BRIDGE`, `BRIDGE_Z1500` | where bridges stand; with paths of the bit's center, what is cut only 15.00 mm deep over them |
/// | `NOTE` | words and the ways of hidden screws; nothing for the machine |
///
/// B, D and Z are in 1/100 mm, in files in inches too. Names have at most 31 of the signs `A–Z 0–9 _ - $`, as R12
/// asks (DXF reference, "symbol table names").
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum JobLayer {
    /// The edge of a sheet.
    Sheet,
    /// Lines to scribe on the face that is up.
    Mark,
    /// Lines to scribe on the face below.
    MarkBelow,
    /// Holes with dowels in them.
    MarkDowel,
    /// In 1/100 mm.
    Dowel {
        diameter: u32,
    },
    Drilling {
        /// Made by a countersink, not by a drill.
        sink: bool,
        /// In 1/100 mm.
        diameter: u32,
        /// In 1/100 mm; `None` goes right through.
        depth: Option<u32>,
    },
    /// Areas milled to a depth.
    Pocket {
        /// In 1/100 mm.
        depth: u32,
        /// In 1/100 mm, where it is not the usual one.
        bit: Option<u32>,
    },
    Contour {
        /// In how many openings of other parts: those furthest in come first.
        inner: Reverse<usize>,
        kind: ContourKind,
        /// As of a pocket.
        bit: Option<u32>,
        /// In 1/100 mm; `None` goes right through.
        depth: Option<u32>,
    },
    Bridge {
        /// How deep the bit goes over it, in 1/100 mm; `None` where the wood is left as it is.
        depth: Option<u32>,
    },
    Note,
}

/// Contours that are cut through, in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum ContourKind {
    Opening,
    Outline,
}

impl JobLayer {
    /// The layer of a cut, made with one of `bits`.
    pub(crate) fn of(cut: &MillCut, bits: Option<RouterBits>) -> Self {
        let other = bits.filter(|_| cut.bit == JobBit::Joint).map(|bits| hundredths(bits.joint));
        let depth = cut.depth.map(hundredths);
        let contour =
            |inner, kind| Self::Contour { inner: Reverse(inner), kind, bit: other, depth };
        let drilling =
            |sink, diameter| Self::Drilling { sink, diameter: hundredths(diameter), depth };
        match cut.work {
            MillWork::Dowel { diameter } => Self::Dowel { diameter: hundredths(diameter) },
            MillWork::Drill { diameter } => drilling(false, diameter),
            MillWork::Sink { diameter } => drilling(true, diameter),
            MillWork::Pocket => Self::Pocket { depth: depth.unwrap_or_default(), bit: other },
            MillWork::Opening { inner } => contour(inner, ContourKind::Opening),
            MillWork::Outline { inner } => contour(inner, ContourKind::Outline),
        }
    }

    /// The layer of bridges over which the bit goes down to `depth` mm.
    pub(crate) fn of_bridge(depth: Option<f64>) -> Self {
        Self::Bridge { depth: depth.map(hundredths) }
    }

    /// Its name, legal in R12.
    pub(crate) fn name(self) -> String {
        let tagged = |tag: &str, value: Option<u32>| {
            value.map_or_else(String::new, |value| format!("_{tag}{value}"))
        };
        match self {
            Self::Sheet => "MARK_SHEET".to_owned(),
            Self::Mark => "MARK".to_owned(),
            Self::MarkBelow => "MARK_BACK".to_owned(),
            Self::MarkDowel => "MARK_DOWEL".to_owned(),
            Self::Note => "NOTE".to_owned(),
            Self::Bridge { depth } => format!("BRIDGE{}", tagged("Z", depth)),
            Self::Dowel { diameter } => format!("DOWEL_D{diameter}"),
            Self::Pocket { depth, bit } => format!("POCKET_Z{depth}{}", tagged("B", bit)),
            Self::Drilling { sink, diameter, depth } => {
                let tool = if sink { "SINK" } else { "DRILL" };
                let depth = depth.map_or_else(|| "THRU".to_owned(), |depth| format!("Z{depth}"));
                format!("{tool}_D{diameter}_{depth}")
            }
            Self::Contour { inner: Reverse(inner), kind, bit, depth } => {
                let inner = match inner {
                    0 => String::new(),
                    1 => "INNER_".to_owned(),
                    more => format!("INNER{}_", more.min(9)),
                };
                let kind = match kind {
                    ContourKind::Opening => "OPENING",
                    ContourKind::Outline => "OUTLINE",
                };
                format!("CUT_{inner}{kind}{}{}", tagged("B", bit), tagged("Z", depth))
            }
        }
    }
}

/// The cuts of a job layer by layer, in their order.
pub(crate) fn layers(job: &MillJob) -> impl Iterator<Item = (JobLayer, &[MillCut])> {
    let layer = |cut: &MillCut| JobLayer::of(cut, job.bits);
    let runs = job.cuts.chunk_by(move |a, b| layer(a) == layer(b));
    runs.filter_map(move |cuts| Some((layer(cuts.first()?), cuts)))
}

/// `mm` in whole 1/100 mm, below a meter so that the longest name fits.
fn hundredths(mm: f64) -> u32 {
    (mm * 100.0).round().clamp(0.0, 99_999.0) as u32
}
