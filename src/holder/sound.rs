//! Whether a part's wood holds together: thin webs, tight corners, holes that run into each other.

use kurbo::Point;

use super::explain::Explain;
use super::finding::Finding;
use super::part::{Drilling, MadeBy, Part};
use crate::kernel::{Contour, Rules, Unsound, check};
use crate::length::Units;
use crate::limits;
use crate::shop::Shop;
use crate::style::Purpose;
use crate::tolerance::{COORDINATE, LEAST_WEB_HAND, LEAST_WEB_ROUTER};

/// What is unsound about `part`, which was cut from the outline `blank`.
pub(super) fn soundness(part: &Part, blank: &Contour, shop: &Shop, units: Units) -> Vec<Finding> {
    let router = part.made_by == MadeBy::Router && !part.is_round();
    let rules = Rules {
        least_web: if router { LEAST_WEB_ROUTER } else { LEAST_WEB_HAND },
        router_bit: shop.router.filter(|_| router).map(|bits| bits.joint),
    };
    // A slot's drilled end is part of the edge; a countersink may reach over it.
    let in_wood = |d: &&Drilling| !matches!(d.purpose, Purpose::SlotEnd | Purpose::Countersink);
    let holes: Vec<(Point, f64)> =
        part.drillings.iter().filter(in_wood).map(|d| (d.at, d.diameter)).collect();
    let faults = check(&part.region, blank, &holes, &rules);
    let say = |fault: Unsound| {
        Finding::stop("unsound", format!("{}: {}", part.name, fault.explain(units)))
    };
    faults.into_iter().map(say).chain(collisions(part, units)).collect()
}

/// Holes that run into each other. What is bored round the same middle (a clearance hole and its
/// countersink) belongs together.
fn collisions(part: &Part, units: Units) -> Vec<Finding> {
    let holes: Vec<&Drilling> =
        part.drillings.iter().filter(|d| d.purpose != Purpose::Countersink).collect();
    let mut found: Vec<Finding> = Vec::new();
    for (i, one) in holes.iter().enumerate() {
        let met = holes[i + 1..].iter().filter_map(|other| collision(part, one, other, units));
        found.extend(met.take(limits::FAULTS - found.len()));
    }
    found
}

fn collision(part: &Part, one: &Drilling, other: &Drilling, units: Units) -> Option<Finding> {
    let apart = (one.at - other.at).hypot();
    let least = f64::midpoint(one.diameter, other.diameter);
    if apart <= COORDINATE || apart >= least {
        return None;
    }
    let message = format!(
        "{}: a {} hole and a {} hole run into each other, {} apart where they need {}: \
         move the screws or make the part larger.",
        part.name,
        one.purpose.word(),
        other.purpose.word(),
        units.length(apart),
        units.length(least)
    );
    Some(Finding::stop("holes-collide", message))
}
