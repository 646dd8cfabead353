//! Glue between two faces of long grain: told beside the screws that are counted on, and never counted itself.

use crate::shop::{Service, find_wood};
use crate::strength::allowable;

/// A face that is glued on another, in mm, by the names of both woods.
pub(super) struct GlueLine<'w> {
    pub length: f64,
    /// The way it is opened.
    pub width: f64,
    pub woods: [&'w str; 2],
}

impl GlueLine<'_> {
    /// What part of its strength is taken by a moment in N mm that opens it about one long edge and by `across` N along
    /// it. The wood beside the glue gives way first: tension across the grain up to 3 M / L w² at the other edge, and
    /// shear, each against what the weaker wood may bear (elementary mechanics).
    pub(super) fn share(&self, moment: f64, across: f64, service: Service) -> f64 {
        let Self { length, width, woods } = self;
        let can = woods.map(|wood| allowable(find_wood(wood).wood, service));
        let [tension, shear] = [can.map(|can| can.tension_across), can.map(|can| can.shear)];
        let opened = 3.0 * moment / (length * width.powi(2));
        let sheared = across / (length * width);
        opened / tension[0].min(tension[1]) + sheared / shear[0].min(shear[1])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 3 × 20,000 / (200 × 60²) = 0.0833 N/mm² opens it, 240 / 12,000 = 0.02 N/mm² shears it.
    #[test]
    fn it_opens_and_is_sheared() {
        let woods = ["douglas fir", "douglas fir"];
        let line = GlueLine { length: 200.0, width: 60.0, woods };
        let can = allowable(find_wood("douglas fir").wood, Service::Dry);
        let share = line.share(20_000.0, 240.0, Service::Dry);
        let by_hand = 0.083_333 / can.tension_across + 0.02 / can.shear;
        assert!((share / by_hand - 1.0).abs() < 1e-4, "{share} {by_hand}");
        let weaker = GlueLine { woods: ["douglas fir", "eastern white pine"], ..line };
        assert!(weaker.share(20_000.0, 240.0, Service::Dry) > share);
    }
}
