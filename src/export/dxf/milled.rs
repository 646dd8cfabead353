//! What is cut in a job, as entities.

use super::{Entity, Shape};
use crate::milling::{Bridge, JobLayer, MillCut, MillJob, MillPath};

/// The cuts of a job in their order, where its bridges stand, and the holes that dowels stand in.
pub(super) fn entities(job: &MillJob) -> Vec<Entity> {
    let dowels = job.dowels.iter().flat_map(|pair| {
        let radius = pair.diameter / 2.0;
        pair.at.map(|center| Entity {
            layer: JobLayer::MarkDowel,
            shape: Shape::Circle { center, radius },
        })
    });
    dowels.chain(job.cuts.iter().flat_map(|cut| cut_entities(job, cut))).collect()
}

fn cut_entities(job: &MillJob, cut: &MillCut) -> Vec<Entity> {
    let layer = JobLayer::of(cut, job.bits);
    let one = |shape| vec![Entity { layer, shape }];
    match &cut.path {
        MillPath::Circle { center, radius } => {
            one(Shape::Circle { center: *center, radius: *radius })
        }
        MillPath::Closed(contour) => {
            let marked = cut.bridges.iter().flat_map(|bridge| marked(job, bridge));
            one(Shape::Closed(contour.clone())).into_iter().chain(marked).collect()
        }
        MillPath::Broken { runs, gaps } => {
            let depth = job.hold.and_then(|hold| hold.down_to_bridge(job.thickness));
            let bridge = JobLayer::of_bridge(depth);
            let open =
                |layer| move |line: &Vec<_>| Entity { layer, shape: Shape::Open(line.clone()) };
            runs.iter().map(open(layer)).chain(gaps.iter().map(open(bridge))).collect()
        }
    }
}

/// A place and a short line along the edge, as long as the wood that is to be left.
fn marked(job: &MillJob, bridge: &Bridge) -> [Entity; 2] {
    let layer = JobLayer::of_bridge(None);
    let half = bridge.way * (job.hold.map_or(0.0, |hold| hold.bridge_width) / 2.0);
    let line = Shape::Line { from: bridge.at - half, to: bridge.at + half };
    [Shape::Spot(bridge.at), line].map(|shape| Entity { layer, shape })
}
