//! The paper and the printer.

use std::ops::RangeInclusive;
use std::str::FromStr;

use kurbo::Size;

use crate::length::MM_PER_INCH;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Paper {
    #[default]
    /// 8 1/2 × 11 in.
    Letter,
    /// 8 1/2 × 14 in.
    Legal,
    /// 11 × 17 in.
    Tabloid,
    /// 210 × 297 mm.
    A4,
    /// 297 × 420 mm.
    A3,
}

impl Paper {
    /// Every size known.
    pub const ALL: [Self; 5] = [Self::Letter, Self::Legal, Self::Tabloid, Self::A4, Self::A3];

    /// Its name in files and on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Self::Letter => "letter",
            Self::Legal => "legal",
            Self::Tabloid => "tabloid",
            Self::A4 => "a4",
            Self::A3 => "a3",
        }
    }

    /// Width and height in mm, the short side first.
    ///
    /// Letter and tabloid are sheets A and B of ANSI/ASME Y14.1, A4 and A3 are ISO 216; legal is
    /// 8.5 × 14 in by common practice, no source.
    pub fn size(self) -> Size {
        let inches = |width: f64, height: f64| Size::new(width, height) * MM_PER_INCH;
        match self {
            Self::Letter => inches(8.5, 11.0),
            Self::Legal => inches(8.5, 14.0),
            Self::Tabloid => inches(11.0, 17.0),
            Self::A4 => Size::new(210.0, 297.0),
            Self::A3 => Size::new(297.0, 420.0),
        }
    }
}

impl FromStr for Paper {
    type Err = UnknownPaper;

    fn from_str(name: &str) -> Result<Self, UnknownPaper> {
        let known = Self::ALL.into_iter().find(|paper| paper.name().eq_ignore_ascii_case(name));
        known.ok_or_else(|| UnknownPaper { name: name.to_owned() })
    }
}

/// A paper by a name that is not known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no paper called {name:?}: choose {}", Paper::ALL.map(Paper::name).join(", "))]
pub struct UnknownPaper {
    /// The name given.
    pub name: String,
}

/// What a page is printed on, and with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Printer {
    pub paper: Paper,
    /// The border it cannot print on, in mm, the same on every side.
    pub margin: f64,
    /// How much neighboring pages have in common, in mm.
    pub overlap: f64,
    /// What it makes of 1 across the paper's short side: 0.994 when a bar of 100 mm comes out
    /// 99.4 mm long. Pages are drawn larger by 1/0.994 then, so that they come out true.
    pub scale_x: f64,
    /// The same along the paper's long side.
    pub scale_y: f64,
}

impl Default for Printer {
    /// Letter paper, a margin of a quarter inch (which home printers can do: common practice, no
    /// source), 10 mm of overlap and a true printer.
    fn default() -> Self {
        Self {
            paper: Paper::default(),
            margin: MM_PER_INCH / 4.0,
            overlap: 10.0,
            scale_x: 1.0,
            scale_y: 1.0,
        }
    }
}

/// The least printable width that the foot of a page takes, in mm.
pub(crate) const LEAST_WIDTH: f64 = 180.0;
/// Width of the strip at the left of a page, in mm.
pub(crate) const LEFT_STRIP: f64 = 13.0;
/// Height of the strip at the foot of a page, in mm.
pub(crate) const FOOT_STRIP: f64 = 24.5;
/// The least two pages must have in common for the marks of a seam, in mm.
pub(crate) const LEAST_OVERLAP: f64 = 6.0;

impl Printer {
    /// The widest margin that leaves room for the foot of a page on the paper's short side, in mm.
    pub(crate) fn most_margin(&self) -> f64 {
        (self.paper.size().width - LEAST_WIDTH / self.scale_x.min(self.scale_y)) / 2.0
    }

    /// How much pages may overlap, in mm: enough for the marks of a seam, at most half the room on a
    /// page, upright or turned. Empty where the margin leaves no room.
    pub(crate) fn overlaps(&self) -> RangeInclusive<f64> {
        let (paper, margins) = (self.paper.size(), 2.0 * self.margin);
        let short = (paper.width - margins) * self.scale_x;
        let long = (paper.height - margins) * self.scale_y;
        let rooms =
            [short, long].into_iter().flat_map(|side| [side - LEFT_STRIP, side - FOOT_STRIP]);
        LEAST_OVERLAP..=rooms.fold(f64::INFINITY, f64::min) / 2.0
    }
}
