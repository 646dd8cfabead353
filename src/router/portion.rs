//! Straight cuts on a sheet that the router takes: those that make panels for its bed, and those
//! that part what it leaves from what it has cut.

use kurbo::{Rect, Size};

use crate::length::Tape;
use crate::tolerance::COORDINATE;

/// How many cuts deep between what the bit has been through, with some of it on either side, what
/// is left is looked for.
const BETWEEN: usize = 2;

/// What is to be known of straight cuts and of what they leave.
pub(crate) struct Parter<'u> {
    /// How wide the saw cuts, in mm.
    pub kerf: f64,
    /// A cut is measured in whole marks of the tape.
    pub tape: Tape,
    /// Whether a piece of a size is worth a cut.
    pub usable: &'u dyn Fn(Size) -> bool,
}

/// A part of a sheet and what becomes of it, in mm from the sheet's lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Portion {
    pub area: Rect,
    pub fate: PortionFate,
}

/// What becomes of a part of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PortionFate {
    /// On the bed; or, once the router is done, what it has cut.
    Routed,
    /// The router has no use for it.
    Free,
    /// Sawn right across: what lies nearest to the corner first, the kerf between the two.
    Sawn(Box<[Portion; 2]>),
}

/// Where a straight cut runs: crosscut at so many mm along the sheet, or ripped so high up on it.
#[derive(Debug, Clone, Copy, PartialEq)]
enum CutLine {
    Cross(f64),
    Rip(f64),
}

impl Portion {
    fn new(area: Rect, fate: PortionFate) -> Self {
        Self { area, fate }
    }

    /// Both halves, itself where it is not sawn.
    fn sawn(area: Rect, halves: [Self; 2]) -> Self {
        Self::new(area, PortionFate::Sawn(Box::new(halves)))
    }

    /// `area` in panels no larger than the bed: crosscut to its length first, so that what is not
    /// needed stays one piece, then ripped to its width. All of them are free.
    pub(super) fn for_bed(area: Rect, bed: Option<Size>, kerf: f64) -> Self {
        let bed = bed.unwrap_or(Size::new(f64::INFINITY, f64::INFINITY));
        let line = if area.width() > bed.width + COORDINATE {
            CutLine::Cross(area.x0 + bed.width)
        } else if area.height() > bed.height + COORDINATE {
            CutLine::Rip(area.y0 + bed.height)
        } else {
            return Self::new(area, PortionFate::Free);
        };
        let halves = line.halves(area, kerf).map(|half| Self::for_bed(half, Some(bed), kerf));
        Self::sawn(area, halves)
    }

    /// What is not sawn, in the order that it comes free.
    pub(crate) fn leaves(&self) -> Vec<&Self> {
        match &self.fate {
            PortionFate::Sawn(halves) => halves.iter().flat_map(Self::leaves).collect(),
            PortionFate::Routed | PortionFate::Free => vec![self],
        }
    }

    /// The same with those areas on the bed that are among `routed`, and no cut through the rest.
    pub(super) fn with_routed(self, routed: &[Rect]) -> Self {
        let Self { area, fate } = self;
        let PortionFate::Sawn(halves) = fate else {
            let fate = if routed.contains(&area) { PortionFate::Routed } else { PortionFate::Free };
            return Self::new(area, fate);
        };
        let halves = halves.map(|half| half.with_routed(routed));
        if halves.iter().all(|half| half.fate == PortionFate::Free) {
            return Self::new(area, PortionFate::Free);
        }
        Self::sawn(area, halves)
    }

    /// `area` parted so that what is left beside `boxes` is worth most, the boxes being what the
    /// bit has been through: one large piece counts for more than several small ones. Only what is
    /// `usable` is parted.
    pub(super) fn beside(area: Rect, boxes: &[Rect], parter: &Parter<'_>) -> Self {
        best(area, boxes, parter, BETWEEN).1
    }
}

/// What is left of `area` at its best, in mm⁴ of usable pieces, and how it is parted.
fn best(area: Rect, boxes: &[Rect], parter: &Parter<'_>, between: usize) -> (f64, Portion) {
    if boxes.is_empty() {
        return (area.area().powi(2), Portion::new(area, PortionFate::Free));
    }
    let mut found = (0.0, Portion::new(area, PortionFate::Routed));
    for line in lines(area, boxes, parter) {
        let Some(halves) = parted(line.halves(area, parter.kerf), boxes, parter, between) else {
            continue;
        };
        let worth = halves[0].0 + halves[1].0;
        if worth > found.0 * (1.0 + 1e-9) {
            found = (worth, Portion::sawn(area, halves.map(|(_, half)| half)));
        }
    }
    found
}

/// Both halves at their best; `None` where one is empty and of no use, and where too many cuts run
/// between boxes.
fn parted(
    halves: [Rect; 2],
    boxes: &[Rect],
    parter: &Parter<'_>,
    between: usize,
) -> Option<[(f64, Portion); 2]> {
    let own = halves
        .map(|half| -> Vec<Rect> { boxes.iter().copied().filter(|b| meets(*b, half)).collect() });
    let mut sides = halves.iter().zip(&own);
    if sides.any(|(half, own)| own.is_empty() && !(parter.usable)(half.size())) {
        return None;
    }
    let is_between = own.iter().all(|own| !own.is_empty());
    let left = if is_between { between.checked_sub(1)? } else { between };
    let [first, rest] = halves;
    Some([best(first, &own[0], parter, left), best(rest, &own[1], parter, left)])
}

/// Cuts behind a box or before it that run through none, and leave something on both sides.
fn lines(area: Rect, boxes: &[Rect], parter: &Parter<'_>) -> Vec<CutLine> {
    let Parter { kerf, tape, .. } = *parter;
    let up = |from: f64, to: f64| from + tape.up(to - from);
    let down = |from: f64, to: f64| from + tape.down(to - kerf - from);
    let beside = boxes.iter().flat_map(|b| {
        let across = [up(area.x0, b.x1), down(area.x0, b.x0)].map(CutLine::Cross);
        let along = [up(area.y0, b.y1), down(area.y0, b.y0)].map(CutLine::Rip);
        across.into_iter().chain(along)
    });
    let mut lines: Vec<CutLine> = Vec::new();
    for line in beside.filter(|line| line.leaves_something(area, kerf)) {
        let clear = boxes.iter().all(|b| !meets(*b, line.kerf(area, kerf)));
        if clear && !lines.contains(&line) {
            lines.push(line);
        }
    }
    lines
}

fn meets(one: Rect, other: Rect) -> bool {
    let common = one.intersect(other);
    common.width() > COORDINATE && common.height() > COORDINATE
}

impl CutLine {
    /// What lies before and behind the cut, which takes `kerf` from the latter.
    fn halves(self, area: Rect, kerf: f64) -> [Rect; 2] {
        match self {
            Self::Cross(x) => {
                [Rect { x1: x, ..area }, Rect { x0: (x + kerf).min(area.x1), ..area }]
            }
            Self::Rip(y) => [Rect { y1: y, ..area }, Rect { y0: (y + kerf).min(area.y1), ..area }],
        }
    }

    /// What the saw takes.
    fn kerf(self, area: Rect, kerf: f64) -> Rect {
        match self {
            Self::Cross(x) => Rect { x0: x, x1: x + kerf, ..area },
            Self::Rip(y) => Rect { y0: y, y1: y + kerf, ..area },
        }
    }

    fn leaves_something(self, area: Rect, kerf: f64) -> bool {
        let [first, rest] = self.halves(area, kerf);
        [first, rest].iter().all(|half| half.width() > COORDINATE && half.height() > COORDINATE)
    }
}
