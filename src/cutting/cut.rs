//! Cuts and settings, as plain data.

use std::cmp::Ordering;

use super::Way;
use super::care::Care;

/// What the saw can do and what it takes, in whole micrometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rules {
    pub kerf: i64,
    /// The narrowest strip that may run between fence and blade.
    pub narrowest: i64,
    /// The widest that fits between fence and blade.
    pub widest: Option<i64>,
    /// The longest crosscut.
    pub longest: Option<i64>,
    /// A panel shorter than this along the cut is not run along the fence: the mitre gauge holds it.
    pub shortest: i64,
}

impl Rules {
    /// Whether wood of this `length` along the fence and `width` across it may run along the fence:
    /// with the short edge on the fence it turns and is thrown back (common practice, no source).
    pub fn may_rip(&self, [length, width]: [i64; 2]) -> bool {
        length >= self.shortest && length >= width
    }

    /// Whether so long a cut is too long for the mitre gauge.
    pub fn is_too_long(&self, cut: i64) -> bool {
        self.longest.is_some_and(|longest| cut > longest)
    }
}

/// What is set on the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fence {
    /// A hand-held saw along a straightedge: the table saw has no room for these cuts.
    Straightedge,
    /// Rip, so much wood between fence and blade.
    Rip(i64),
    /// Rip narrow strips of this width on the free side of the blade: the fence holds the rest and
    /// moves up after each.
    Narrow(i64),
    /// Crosscut to a stop at this length, the wood held by the mitre gauge.
    Stop(i64),
    /// Rip with the blade tilted, leaning away from the fence, the wide face up: so wide are the
    /// strip's two faces, the narrow one at the table. Thousandths of a degree.
    Bevel { wide: i64, narrow: i64, angle: i64 },
}

/// The cuts made at one setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    pub fence: Fence,
    pub cuts: Vec<Cut>,
}

/// One cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// Counted from 1 over the whole work.
    pub number: usize,
    /// Index of the sheet, board or dowel that the wood comes from.
    pub sheet: usize,
    /// What is sawn.
    pub from: Name,
    pub area: Area,
    pub way: Way,
    /// Width of what comes off; the kerf lies beyond it.
    pub at: i64,
    /// Which side of the blade runs along the fence or lies at the stop.
    pub held: Side,
    /// Whether what is held is narrower than hands should guide.
    pub push_stick: bool,
    /// What it asks beyond the usual.
    pub care: Option<Care>,
    pub gives: Body,
    /// What stays of the panel, if anything does.
    pub rest: Option<Body>,
}

/// The two sides of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// What comes off.
    Slice,
    Rest,
}

/// Something in hand between two cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Body {
    pub name: Name,
    pub area: Area,
    pub what: What,
}

/// What a panel in hand is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Name {
    /// The sheet, or what stays of it.
    Sheet(usize),
    /// What this cut took off, or what stays of that.
    Cut(usize),
    /// The other half of what this bevel cut parted.
    Second(usize),
}

/// Where a panel lies on its sheet: its corner nearest the origin, and its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    pub at: [i64; 2],
    pub size: [i64; 2],
}

/// What something in hand is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A finished blank.
    Piece { item: usize, turned: bool },
    /// To be sawn further.
    More,
    /// Left over.
    Left,
}

/// How often the saw is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    /// Settings of the rip fence, the straightedge and the tilted blade.
    pub rips: usize,
    /// Settings of the stop.
    pub stops: usize,
}

impl Count {
    pub fn all(self) -> usize {
        self.rips + self.stops
    }
}

/// Fewer settings in all are better; of as many, fewer of the fence.
impl Ord for Count {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.all(), self.rips).cmp(&(other.all(), other.rips))
    }
}

impl PartialOrd for Count {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Cut {
    /// Width of what stays, 0 where nothing does.
    pub fn rest_width(&self) -> i64 {
        self.rest.map_or(0, |rest| rest.area.size[self.way.axis()])
    }
}

impl Setting {
    /// How often something is set for these cuts: for narrow strips the fence moves to what stays
    /// of each panel, and a straightedge is laid on for each cut.
    pub fn times(&self) -> usize {
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
}

/// How often the saw is set for all of `settings`.
pub fn count(settings: &[Setting]) -> Count {
    let mut count = Count::default();
    for setting in settings {
        match setting.fence {
            Fence::Stop(_) => count.stops += 1,
            _ => count.rips += setting.times(),
        }
    }
    count
}
