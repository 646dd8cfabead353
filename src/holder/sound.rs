//! Whether a part's wood holds together: thin webs, tight corners, holes that run into each other.

use kurbo::Point;

use super::beside_cut::{self, near_cuts};
use super::explain::Explain;
use super::feature::Feature;
use super::finding::Finding;
use super::joint::Joined;
use super::part::{Drilling, MadeBy, Part};
use crate::kernel::{Rules, Unsound, check};
use crate::length::{Quantity, Units};
use crate::limits;
use crate::shop::Shop;
use crate::style::Purpose;
use crate::tolerance::{COORDINATE, LEAST_WEB_HAND, LEAST_WEB_ROUTER};

/// What is unsound about one of the parts that are joined.
pub(super) fn soundness(joined: &Joined, index: usize, shop: &Shop, units: Units) -> Vec<Finding> {
    let (part, blank) = (&joined.parts[index], &joined.blanks[index]);
    let router = part.made_by == MadeBy::Router && !part.is_round();
    let rules = Rules {
        least_web: if router { LEAST_WEB_ROUTER } else { LEAST_WEB_HAND },
        router_bit: shop.router.filter(|_| router).map(|bits| bits.joint),
    };
    let near = near_cuts(joined, index);
    // A slot's drilled end is part of the edge; a countersink may reach over it; what is too near to a cut is told.
    let in_wood = |d: &&Drilling| {
        !matches!(d.purpose, Purpose::SlotEnd | Purpose::Countersink)
            && near.iter().all(|near| near.at != d.at)
    };
    let holes: Vec<(Point, f64)> =
        part.drillings.iter().filter(in_wood).map(|d| (d.at, d.diameter)).collect();
    let mut faults = check(&part.region, blank, &holes, &rules);
    faults.retain(|fault| !is_left_round(fault, &joined.left_round[index]));
    let say = |fault: Unsound| {
        Finding::stop("unsound", format!("{}: {}", part.name, fault.explain(units)))
    };
    let faults = faults.into_iter().map(say).chain(beside_cut::told(&near, units));
    faults.chain(collisions(part, units)).collect()
}

/// Whether a fault is a corner that is meant to stay round until a chisel squares it.
fn is_left_round(fault: &Unsound, corners: &[Point]) -> bool {
    let Unsound::TightRadius { at, radius, .. } = fault else { return false };
    *radius < COORDINATE && corners.iter().any(|corner| (*corner - *at).hypot() <= COORDINATE)
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

/// A note where the bit leaves corners round in which square wood is to seat, and no relief is wanted.
pub(super) fn left_round(joined: &Joined, shop: &Shop, units: Units) -> Option<Finding> {
    let bit = shop.router?.joint;
    let round = joined.parts.iter().zip(&joined.left_round).filter(|(_, left)| !left.is_empty());
    let mortises = |part: &Part| {
        let rows = part.rows.iter().filter(|row| matches!(row.feature, Feature::Mortise { .. }));
        rows.map(|row| row.centers.len()).sum::<usize>() * part.quantity()
    };
    let count: usize = round.map(|(part, _)| mortises(part)).sum();
    let of = match count {
        1 => "1 mortise and those beside its tab".to_owned(),
        _ => format!("{count} mortises and those beside their tabs"),
    };
    let message = format!(
        "The inside corners of {of} are left round by the bit, radius {}: \
         square them with a chisel, or choose relief = \"corner\" or relief = \"side\".",
        units.length(bit / 2.0)
    );
    (count > 0).then(|| Finding::note("left-round", message))
}

/// Holes that lean, on a CNC router, whose bit comes square to the face.
pub(super) fn leaning(part: &Part, units: Units) -> Option<Finding> {
    let leaning: Vec<f64> = part.drillings.iter().map(|d| d.lean).filter(|d| *d != 0.0).collect();
    let most = leaning.iter().copied().fold(0.0, |most: f64, lean| most.max(lean.abs()));
    let most = units.quantity(Quantity::degrees(most));
    let (holes, centers, them) = match leaning.len() {
        1 => (format!("1 hole in {} leans", part.name), "its center", "it"),
        count => (format!("{count} holes in {} lean", part.name), "their centers", "them"),
    };
    let message = format!(
        "{holes} {most}, and a CNC router of three axes bores square to the face alone: mark {centers} with it and \
         bore {them} on a drill press, its table tilted or the part on a ramp block, or choose made_by = \"hand\"."
    );
    let found = part.made_by == MadeBy::Router && !leaning.is_empty();
    found.then(|| Finding::warn("leaning-hole", message))
}
