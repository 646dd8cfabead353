//! Cuts and setups, as plain data. Sizes and places are whole micrometers.

use std::cmp::Ordering;

use super::super::index::{BlankIndex, SheetIndex};
use super::super::least::CutWay;

/// What is set on the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Fence {
    /// A hand-held saw along a straightedge: the table saw has no room for these cuts.
    Straightedge,
    /// Rip, so much wood between fence and blade.
    Rip(i64),
    /// Rip narrow strips of this width on the free side of the blade: the fence holds the rest and
    /// moves up after each.
    Narrow(i64),
    /// Crosscut to a stop at this length, the wood held by the miter gauge.
    Stop(i64),
    /// Rip with the blade tilted, leaning away from the fence, the wide face up.
    Bevel {
        /// Width of the strip's wide face.
        wide: i64,
        /// Width of the narrow one, at the table.
        narrow: i64,
        /// Thousandths of a degree.
        angle: i64,
    },
}

/// The cuts made at one setup of the saw; blanks are told apart by `B`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Setup<B = BlankIndex> {
    /// What is set.
    pub fence: Fence,
    /// In their order.
    pub cuts: Vec<Cut<B>>,
}

/// One cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cut<B = BlankIndex> {
    /// Counted from 1 over the whole work.
    pub number: usize,
    /// The sheet, board or dowel that the wood comes from.
    pub sheet: SheetIndex,
    /// What is sawn.
    pub from: WorkName,
    /// Where that lies.
    pub area: Area,
    /// How the cut runs.
    pub way: CutWay,
    /// Width of what comes off; the kerf lies beyond it.
    pub at: i64,
    /// Which side of the blade runs along the fence or lies at the stop.
    pub held: CutSide,
    /// Whether what is held is narrower than hands should guide.
    pub push_stick: bool,
    /// What it asks beyond the usual.
    pub care: Option<Precaution>,
    /// What comes off.
    pub gives: Workpiece<B>,
    /// What stays of the panel, if anything does.
    pub rest: Option<Workpiece<B>>,
}

/// The two sides of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CutSide {
    /// What comes off.
    Slice,
    /// What stays.
    Rest,
}

/// What a cut asks beyond the usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Precaution {
    /// What comes off is too small for the table saw.
    Handsaw,
    /// Hardly any wood on the miter gauge, or a thin sliver between blade and stop: a backing board
    /// holds it.
    Backing,
    /// With the blade tilted, wood that is too short to run along the fence, or too wide for it.
    Tilted,
}

/// Something in hand between two cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Workpiece<B = BlankIndex> {
    /// What it is called.
    pub name: WorkName,
    /// Where it lay.
    pub area: Area,
    /// What it is.
    pub content: Content<B>,
}

/// What a panel in hand is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum WorkName {
    /// The sheet, or what stays of it.
    Sheet(SheetIndex),
    /// What the cut of this number took off, or what stays of that.
    Cut(usize),
    /// The other half of what the bevel cut of this number parted.
    Second(usize),
}

/// Where a panel lies on its sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Area {
    /// Its corner nearest the origin.
    pub at: [i64; 2],
    /// Along the sheet's grain and across it.
    pub size: [i64; 2],
}

/// What something in hand is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Content<B = BlankIndex> {
    /// A finished blank.
    Blank {
        /// Which.
        blank: B,
        /// Whether it lies the other way.
        turned: bool,
    },
    /// To be sawn further.
    Panel,
    /// What becomes no blank.
    Remainder,
}

/// How often the saw is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct SetupCount {
    /// Setups of the rip fence, the straightedge and the tilted blade.
    pub rips: usize,
    /// Setups of the stop.
    pub stops: usize,
}

impl SetupCount {
    /// Of both kinds.
    pub(crate) fn all(self) -> usize {
        self.rips + self.stops
    }

    /// How often the saw is set for all of `setups`.
    pub(crate) fn of<B>(setups: &[Setup<B>]) -> Self {
        let mut count = Self::default();
        for setup in setups {
            match setup.fence {
                Fence::Stop(_) => count.stops += 1,
                _ => count.rips += setup.times(),
            }
        }
        count
    }
}

/// Fewer setups in all are better; of as many, fewer of the fence.
impl Ord for SetupCount {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.all(), self.rips).cmp(&(other.all(), other.rips))
    }
}

impl PartialOrd for SetupCount {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Fence {
    /// Whether the blade is tilted.
    pub(crate) fn is_tilted(self) -> bool {
        matches!(self, Self::Bevel { .. })
    }
}

impl<B> Cut<B> {
    /// What comes off and what stays, if anything does.
    pub(crate) fn both(&self) -> impl Iterator<Item = &Workpiece<B>> {
        std::iter::once(&self.gives).chain(&self.rest)
    }

    /// Width of what stays, 0 where nothing does.
    pub(crate) fn rest_width(&self) -> i64 {
        self.rest.as_ref().map_or(0, |rest| rest.area.size[self.way.axis()])
    }

    /// The same with other names for its blanks.
    fn renamed<C>(self, rename: &mut impl FnMut(B) -> Option<C>) -> Cut<C> {
        let Self { number, sheet, from, area, way, at, held, push_stick, care, gives, rest } = self;
        let gives = gives.renamed(rename);
        let rest = rest.map(|rest| rest.renamed(rename));
        Cut { number, sheet, from, area, way, at, held, push_stick, care, gives, rest }
    }
}

impl<B> Workpiece<B> {
    /// The blank it is, if it is one.
    pub(crate) fn blank(&self) -> Option<&B> {
        match &self.content {
            Content::Blank { blank, .. } => Some(blank),
            Content::Panel | Content::Remainder => None,
        }
    }

    fn renamed<C>(self, rename: &mut impl FnMut(B) -> Option<C>) -> Workpiece<C> {
        let content = match self.content {
            Content::Blank { blank, turned } => {
                rename(blank).map_or(Content::Remainder, |blank| Content::Blank { blank, turned })
            }
            Content::Panel => Content::Panel,
            Content::Remainder => Content::Remainder,
        };
        Workpiece { name: self.name, area: self.area, content }
    }
}

impl<B> Setup<B> {
    /// How often something is set for these cuts: for narrow strips the fence moves to what stays
    /// of each panel, and a straightedge is laid on for each cut.
    pub(crate) fn times(&self) -> usize {
        match self.fence {
            Fence::Straightedge => self.cuts.len(),
            Fence::Narrow(_) => {
                let mut rests: Vec<i64> = self.cuts.iter().map(Cut::rest_width).collect();
                rests.sort_unstable();
                rests.dedup();
                rests.len()
            }
            Fence::Rip(_) | Fence::Stop(_) | Fence::Bevel { .. } => 1,
        }
    }

    /// The same with other names for its blanks, in the order they come free; a blank without one
    /// is left over.
    pub(crate) fn renamed<C>(self, rename: &mut impl FnMut(B) -> Option<C>) -> Setup<C> {
        let cuts = self.cuts.into_iter().map(|cut| cut.renamed(rename)).collect();
        Setup { fence: self.fence, cuts }
    }
}

/// The number of the cut after all of `setups`, the first of which is numbered `first`.
pub(crate) fn next_number<B>(setups: &[Setup<B>], first: usize) -> usize {
    first + setups.iter().map(|setup| setup.cuts.len()).sum::<usize>()
}
