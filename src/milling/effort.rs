//! What a cut takes: passes and minutes; and what it sets free.

use super::job::{MillCut, MillJob, MillPath, MillWork};
use crate::kernel::{Contour, OffsetError, Segment, Vertex};
use crate::length::MM_PER_INCH;
use crate::shop::{RouterBits, RouterRun};

/// A slug narrower than this is milled away whole: it would rattle beside the bit. Common practice, no source.
const LEAST_SLUG: f64 = MM_PER_INCH;

/// How deep a cut right through goes into the board below, in mm. Common practice, no source.
const INTO_BOARD: f64 = 0.5;

/// How deep the dowels' holes go into it, in mm. Common practice, no source.
pub(crate) const DOWEL_INTO_BOARD: f64 = 10.0;

/// How much of its width the bit takes where it clears an area. Common practice, no source.
const STEP_OVER: f64 = 0.4;

/// How much faster than along a cut the bit moves above the wood. Common practice, no source.
const RAPID: f64 = 3.0;

/// Whether an opening leaves so little inside the way of its bit that it is milled away too, and no slug comes loose.
pub(super) fn leaves_no_slug(opening: &Contour, bit: f64) -> bool {
    // What is left once the bit has been all round, less half of what would be too narrow.
    let heart = opening.grown(-(bit + LEAST_SLUG / 2.0));
    matches!(heart, Err(OffsetError::Vanishes { .. }))
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
        let depth = self.down(cut);
        let bored = matches!(cut.work, MillWork::Drill { .. } | MillWork::Sink { .. });
        if bored && !self.is_milled(cut) {
            return Effort { passes: 1, minutes: 2.0 * depth / run.plunge };
        }
        let passes = (depth / run.pass_depth - 1e-9).ceil().max(1.0);
        let minutes = passes * self.way(cut) / run.feed + 2.0 * depth / run.plunge;
        Effort { passes: passes as usize, minutes }
    }

    /// How deep the bit goes below the side that is up, in mm: through the wood and a little into the board below.
    pub(crate) fn down(&self, cut: &MillCut) -> f64 {
        let beyond = match cut.work {
            MillWork::Dowel { .. } => DOWEL_INTO_BOARD,
            _ => INTO_BOARD,
        };
        cut.depth.unwrap_or(self.thickness + beyond)
    }

    /// Whether a hole is so wide that the router bit goes round in it.
    pub(crate) fn is_milled(&self, cut: &MillCut) -> bool {
        let narrowest = self.bits.map_or(f64::INFINITY, RouterBits::narrowest);
        matches!(cut.work, MillWork::Drill { diameter } if diameter >= narrowest)
    }

    /// Diameter of the bit that makes a cut, in mm; 0 where there is no router.
    pub(crate) fn bit_of(&self, cut: &MillCut) -> f64 {
        self.bits.map_or(0.0, |bits| cut.bit.diameter(bits))
    }

    /// How far the bit goes along in one pass, in mm.
    fn way(&self, cut: &MillCut) -> f64 {
        let (area, round) = match &cut.path {
            MillPath::Closed(contour) => (contour.area().abs(), contour.perimeter()),
            path => (0.0, path.length()),
        };
        let bit = self.bit_of(cut);
        if cut.clears && bit > 0.0 { round.max(area / (STEP_OVER * bit)) } else { round }
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
