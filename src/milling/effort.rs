//! What a cut takes: passes and minutes; and what it sets free.

use super::job::{MillCut, MillJob, MillPath, MillWork};
use crate::kernel::{Contour, Segment, Vertex};
use crate::length::MM_PER_INCH;
use crate::shop::RouterRun;

/// A slug narrower than this is milled away whole: it would rattle beside the bit. Common practice, no source.
const LEAST_SLUG: f64 = MM_PER_INCH;

/// How much of its width the bit takes where it clears an area. Common practice, no source.
const STEP_OVER: f64 = 0.4;

/// How much faster than along a cut the bit moves above the wood. Common practice, no source.
const RAPID: f64 = 3.0;

/// What an opening leaves inside the way of its bit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slug {
    /// Nothing, or so little that it is milled away too.
    Milled,
    /// A piece that would come loose.
    Kept,
}

impl Slug {
    pub(super) fn of(opening: &Contour, bit: f64) -> Self {
        let room = opening.bounds().size();
        let narrow = room.width.min(room.height) - 2.0 * bit < LEAST_SLUG;
        if narrow { Self::Milled } else { Self::Kept }
    }
}

/// What a run of cuts takes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Effort {
    /// The most passes of any of them.
    pub passes: usize,
    /// An estimate, in minutes.
    pub minutes: f64,
}

impl MillJob {
    /// What `cuts` of this job take, one after the other.
    pub(crate) fn effort(&self, cuts: &[MillCut], run: &RouterRun) -> Effort {
        let mut effort = Effort::default();
        let mut from = None;
        for cut in cuts {
            let (start, one) = (cut.path.start(), self.of_cut(cut, run));
            let way = from.zip(start).map_or(0.0, |(a, b): (kurbo::Point, _)| (b - a).hypot());
            effort.minutes += one.minutes + way / (RAPID * run.feed);
            effort.passes = effort.passes.max(one.passes);
            from = start;
        }
        effort
    }

    fn of_cut(&self, cut: &MillCut, run: &RouterRun) -> Effort {
        let depth = cut.depth.unwrap_or(self.thickness);
        if matches!(
            cut.work,
            MillWork::Drill { .. } | MillWork::Sink { .. } | MillWork::Dowel { .. }
        ) {
            return Effort { passes: 1, minutes: 2.0 * depth / run.plunge };
        }
        let passes = (depth / run.pass_depth - 1e-9).ceil().max(1.0);
        let minutes = passes * self.way(cut) / run.feed + 2.0 * depth / run.plunge;
        Effort { passes: passes as usize, minutes }
    }

    /// How far the bit goes along in one pass, in mm.
    fn way(&self, cut: &MillCut) -> f64 {
        let bit = self.bits.map_or(0.0, |bits| cut.bit.diameter(bits));
        let MillPath::Closed(contour) = &cut.path else { return cut.path.length() };
        let cleared = bit > 0.0 && is_cleared(self, cut);
        let area = if cleared { contour.area().abs() / (STEP_OVER * bit) } else { 0.0 };
        contour.perimeter().max(area)
    }
}

/// Whether all wood within a cut is milled away.
pub(crate) fn is_cleared(job: &MillJob, cut: &MillCut) -> bool {
    let bit = job.bits.map_or(0.0, |bits| cut.bit.diameter(bits));
    match (&cut.path, cut.work) {
        (_, MillWork::Pocket) => true,
        (MillPath::Closed(contour), MillWork::Opening { .. }) => {
            Slug::of(contour, bit) == Slug::Milled
        }
        _ => false,
    }
}

impl MillPath {
    /// Where the bit goes down.
    pub(crate) fn start(&self) -> Option<kurbo::Point> {
        match self {
            Self::Closed(contour) => contour.vertices().first().map(|vertex| vertex.at),
            Self::Broken { runs, .. } => runs.first()?.first().map(|vertex| vertex.at),
            Self::Circle { center, .. } => Some(*center),
        }
    }

    /// In mm.
    fn length(&self) -> f64 {
        match self {
            Self::Closed(contour) => contour.perimeter(),
            Self::Broken { runs, gaps } => runs.iter().chain(gaps).map(|line| length(line)).sum(),
            Self::Circle { radius, .. } => std::f64::consts::TAU * radius,
        }
    }
}

fn length(line: &[Vertex]) -> f64 {
    let next = line.iter().skip(1);
    let segment = |(a, b): (&Vertex, &Vertex)| Segment { start: a.at, end: b.at, bulge: a.bulge };
    line.iter().zip(next).map(|pair| segment(pair).length()).sum()
}
