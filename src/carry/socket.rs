//! Round parts that stand in a bore: what hangs on them turns them in it and crushes its rim.

use super::check::{Check, CheckPlace, LoadQuestion};
use super::grounds::Grounds;
use super::weight::{Loading, of_piece};
use crate::holder::Part;
use crate::shop::{Service, find_wood};
use crate::strength::{Wrong, allowable, rim_stress, short_bearing};

/// A rod, what it stands in, and what hangs on it.
pub(super) struct Socketed<'a> {
    pub place: CheckPlace,
    pub rod: &'a Part,
    pub into: &'a Part,
    /// How deep it stands, and how far beyond the rim the load acts, in mm.
    pub depth: f64,
    pub lever: f64,
    /// On one rod, in kg.
    pub mass: f64,
}

impl Socketed<'_> {
    /// The rim against the wood around it, whose crushing across the grain is the least it has; the rod's own weight
    /// counts as if it were tools.
    pub(super) fn check(&self, loading: Loading, service: Service) -> Result<Vec<Check>, Wrong> {
        let Self { place, rod, into, depth, lever, mass } = self;
        let (depth, lever) = (*depth, *lever);
        let (diameter, wood) = (rod.stock.thickness, find_wood(&into.stock.wood).wood);
        let force = loading.knocked(*mass) + of_piece(rod);
        let asked = rim_stress(force, lever, depth, diameter)?;
        let can = allowable(wood, service).crushing * short_bearing(diameter);
        let grounds = Grounds::Socket { force, lever, depth, diameter, wood: wood.name() };
        Ok(vec![Check::new(place.clone(), LoadQuestion::Rim, [asked, can], grounds)])
    }
}
