//! The layers of a DXF file and their names, nowhere else.

use crate::holder::{Drilling, Face, Pocket, Purpose};

/// What the machine does with what lies on a layer.
///
/// | layer | what lies on it |
/// | --- | --- |
/// | `CUT_OUTLINE` | the outer contour, cut right through |
/// | `CUT_OPENING` | the contours of openings, cut right through |
/// | `DRILL_D1270_THRU` | holes of 12.70 mm right through |
/// | `DRILL_D437_Z2000` | holes of 4.37 mm, 20.00 mm deep |
/// | `SINK_D900_Z450` | countersinks of 9.00 mm, 4.50 mm deep |
/// | `POCKET_Z600` | areas milled 6.00 mm deep |
/// | `…_BACK` | the bit enters from the back face |
/// | `…_A50` | the bit leans by 5.0°, its tip toward smaller y |
/// | `MARK`, `MARK_BACK` | lines to scribe on the show face, on the back; not cut |
/// | `BRIDGE` | stretches of outlines that are not cut through, so that parts stay in their sheet |
/// | `MARK_SHEET` | the edge of the sheet that parts lie on; not cut |
/// | `NOTE` | words and the ways of hidden screws; nothing for the machine |
///
/// D and Z are in 1/100 mm and A in 1/10 of a degree, in files in inches too. Names have at most
/// 31 of the signs `A–Z 0–9 _ - $`, as R12 asks (DXF reference, "symbol table names").
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum DxfLayer {
    Outline,
    Opening,
    Bridge,
    Drilling {
        /// Made by a countersink, not by a drill.
        sink: bool,
        /// In 1/100 mm.
        diameter: u32,
        /// In 1/100 mm; `None` goes right through.
        depth: Option<u32>,
        face: Face,
        /// In 1/10 of a degree.
        lean: i32,
    },
    /// Areas milled to a depth.
    Pocket {
        /// In 1/100 mm.
        depth: u32,
        face: Face,
    },
    /// Lines to scribe on a face.
    Mark(Face),
    /// The edge of a sheet.
    Sheet,
    Note,
}

impl DxfLayer {
    /// The layer of a drilling: one for each bit, depth, face and lean.
    pub(crate) fn of(drilling: &Drilling) -> Self {
        Self::Drilling {
            sink: drilling.purpose == Purpose::Countersink,
            diameter: hundredths(drilling.diameter),
            depth: drilling.depth.map(hundredths),
            face: drilling.face,
            lean: (drilling.lean * 10.0).round().clamp(-900.0, 900.0) as i32,
        }
    }

    /// The layer of a pocket: one for each depth and face.
    pub(crate) fn of_pocket(pocket: &Pocket) -> Self {
        Self::Pocket { depth: hundredths(pocket.depth), face: pocket.face }
    }

    /// Its name, legal in R12.
    pub(crate) fn name(self) -> String {
        match self {
            Self::Outline => "CUT_OUTLINE".to_owned(),
            Self::Opening => "CUT_OPENING".to_owned(),
            Self::Bridge => "BRIDGE".to_owned(),
            Self::Sheet => "MARK_SHEET".to_owned(),
            Self::Mark(Face::Show) => "MARK".to_owned(),
            Self::Mark(Face::Back) => "MARK_BACK".to_owned(),
            Self::Note => "NOTE".to_owned(),
            Self::Pocket { depth, face } => {
                let back = if face == Face::Back { "_BACK" } else { "" };
                format!("POCKET_Z{depth}{back}")
            }
            Self::Drilling { sink, diameter, depth, face, lean } => {
                let tool = if sink { "SINK" } else { "DRILL" };
                let depth = depth.map_or_else(|| "THRU".to_owned(), |depth| format!("Z{depth}"));
                let back = if face == Face::Back { "_BACK" } else { "" };
                let lean = if lean == 0 { String::new() } else { format!("_A{lean}") };
                format!("{tool}_D{diameter}_{depth}{back}{lean}")
            }
        }
    }

    /// Its color, a number of the color index (DXF reference, group code 62): cuts stand out, what is
    /// not cut is gray.
    pub(super) fn color(self) -> i32 {
        let [red, yellow, green, cyan, blue, magenta, gray, light_gray] = [1, 2, 3, 4, 5, 6, 8, 9];
        match self {
            Self::Outline => red,
            Self::Opening => blue,
            Self::Drilling { sink: false, .. } => green,
            Self::Drilling { sink: true, .. } => magenta,
            Self::Pocket { .. } => cyan,
            Self::Bridge => yellow,
            Self::Mark(_) | Self::Sheet => gray,
            Self::Note => light_gray,
        }
    }
}

/// `mm` in whole 1/100 mm, below a metre so that the longest name fits.
fn hundredths(mm: f64) -> u32 {
    (mm * 100.0).round().clamp(0.0, 99_999.0) as u32
}
