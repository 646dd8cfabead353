//! The room that cuts leave for screws: what screws keep off.

use std::array::from_fn;

use kurbo::Point;

use super::crossing::Body;
use super::laid::LaidJoint;
use super::part::Part;
use crate::kernel::{Contour, Gap, Segment, cut_edges};
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// The shortest way from what is bored, a point or a straight way in the wood, to a cut edge. The edge that it goes in
/// at is none.
pub(super) fn nearest_cut(cuts: &[Segment], bored: Segment) -> Option<Gap> {
    let enters = |cut: &&Segment| {
        bored.start != bored.end && (cut.nearest(bored.start) - bored.start).hypot() <= COORDINATE
    };
    let gaps = cuts.iter().filter(|cut| !enters(cut)).flat_map(|cut| bored.gaps(cut));
    gaps.min_by(|a, b| a.width().total_cmp(&b.width()))
}

/// A point as a way of no length.
pub(super) fn spot(at: Point) -> Segment {
    Segment { start: at, end: at, bulge: 0.0 }
}

/// What screws keep off: what is cut into parts already, and what will be for tabs.
pub(super) struct CutRoom {
    /// The cut edges of each part.
    cuts: Vec<Vec<Segment>>,
    /// Level boxes in the holder.
    openings: Vec<(Space, Space)>,
}

impl CutRoom {
    pub(super) fn of(parts: &[Part], blanks: &[Contour], laid: &[LaidJoint<'_>]) -> Self {
        let cuts = parts.iter().zip(blanks).map(|(part, blank)| cut_edges(&part.region, blank));
        let openings = laid.iter().flat_map(LaidJoint::openings);
        Self { cuts: cuts.collect(), openings: openings.collect() }
    }

    /// From the middle of what is bored to the nearest cut of a part, in mm.
    pub(super) fn to_cuts(&self, part: usize, bored: Segment) -> f64 {
        nearest_cut(&self.cuts[part], bored).map_or(f64::INFINITY, |gap| gap.width())
    }

    /// From the middle of a screw to the nearest opening for a tab, in mm; of one that runs askew, from a level box
    /// around it.
    pub(super) fn to_openings(&self, screw: &Body<'_>) -> f64 {
        let [low, high]: [Space; 2] =
            [f64::min, f64::max].map(|pick| from_fn(|i| pick(screw.head[i], screw.tip[i])));
        let aways = self.openings.iter().map(|(near, far)| {
            let away: Space = from_fn(|i| (near[i] - high[i]).max(low[i] - far[i]).max(0.0));
            away.iter().map(|a| a * a).sum::<f64>().sqrt()
        });
        aways.fold(f64::INFINITY, f64::min)
    }
}
