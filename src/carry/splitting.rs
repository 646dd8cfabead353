//! Cleats of solid wood that split along their screws.
//!
//! What the bevel pushes on stands out beyond the screws across the grain, held by the wood's tension across the grain
//! alone. Panels are passed over: their layers cross.

use super::check::{Check, CheckPlace, LoadQuestion};
use super::grounds::Grounds;
use crate::holder::{Part, ScrewJoint};
use crate::shop::{Service, Shop, find_wood};
use crate::strength::{CrossSection, Hook, Rest, Wrong, allowable};

/// A cleat as a cantilever from the line of its screws to its bevel.
struct Beveled<'a> {
    place: CheckPlace,
    wood: &'a str,
    /// Of what bears on the bevel, along the wall, in mm.
    length: f64,
    /// In mm.
    thickness: f64,
    /// On the bevel, in N, and at the screws, in N mm.
    force: f64,
    moment: f64,
}

/// The checks of the holder cleat, a part at its place, and of the wall cleat under it.
pub(super) fn checks(
    (place, cleat): (&CheckPlace, &Part),
    screws: &ScrewJoint,
    shop: &Shop,
    (hook, rest): (Hook, &Rest),
) -> Vec<Result<Check, Wrong>> {
    let length = cleat.length();
    let holder_cleat = screws.screws.first().map(|screw| Beveled {
        place: place.clone(),
        wood: &cleat.stock.wood,
        length,
        thickness: cleat.stock.thickness,
        force: rest.thrust,
        moment: rest.hook_bending(screw.head[1]),
    });
    let wall_cleat = Beveled {
        place: CheckPlace::WallCleat,
        wood: shop.cleat.wood_name(),
        length,
        thickness: shop.cleat.thickness,
        force: rest.thrust,
        moment: rest.wall_bending(shop.wall_cleat_under(hook.low)[1]),
    };
    let cleats = holder_cleat.into_iter().chain([wall_cleat]);
    cleats.filter_map(|cleat| cleat.check(shop.service).transpose()).collect()
}

impl Beveled<'_> {
    /// M / S of a strip as wide as the cleat is long and as high as it is thick. The push along the cleat presses the
    /// wood together, which is not counted.
    fn check(self, service: Service) -> Result<Option<Check>, Wrong> {
        let Self { place, length, thickness, force, moment, .. } = self;
        let wood = find_wood(self.wood).wood;
        if wood.kind.is_panel() {
            return Ok(None);
        }
        let section = CrossSection::Rectangle { width: length, height: thickness };
        let asked_and_can =
            [section.bending_stress(moment), allowable(wood, service).tension_across];
        let grounds = Grounds::Split {
            force,
            lever: moment / force,
            length,
            thickness,
            wood: wood.name(),
            is_listed: wood.tension_across.is_some(),
        };
        Ok(Some(Check::new(place, LoadQuestion::Splitting, asked_and_can, grounds)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cleat(wood: &str) -> Option<Check> {
        let place = CheckPlace::WallCleat;
        let cleat =
            Beveled { place, wood, length: 400.0, thickness: 19.0, force: 300.0, moment: 9000.0 };
        cleat.check(Service::Dry).unwrap()
    }

    /// S = 400 × 19² / 6 = 24066.7 mm³, so 9000 N mm come to 0.3740 N/mm².
    #[test]
    fn a_strip_as_wide_as_the_cleat_is_long() {
        let check = cleat("douglas fir").unwrap();
        assert!((check.asked - 0.373_96).abs() < 1e-5 && check.ratio() < 1.0, "{check:?}");
        assert_eq!(cleat("birch plywood"), None);
    }

    #[test]
    fn a_wood_the_table_lacks_is_told_and_counted_with_the_least() {
        let (maple, fir) = (cleat("hard maple").unwrap(), cleat("douglas fir").unwrap());
        assert!(maple.can < fir.can);
        assert!(matches!(maple.grounds, Grounds::Split { is_listed: false, .. }));
        assert!(matches!(fir.grounds, Grounds::Split { is_listed: true, .. }));
    }
}
