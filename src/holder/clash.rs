//! Whether two pieces would share the same space.

use kurbo::Point;

use super::finding::Finding;
use super::part::Part;
use super::placement::Placement;
use crate::length::Units;
use crate::limits;
use crate::style::{Purpose, Space};
use crate::tolerance::COORDINATE;

/// A stop for every two parts whose pieces share a box of wood.
///
/// A piece may pass through an opening, a notch or a peg hole of another: the middle of the
/// shared box then lies in no wood. Tilted pieces are left out.
pub(super) fn clashes(parts: &[Part], units: Units) -> Vec<Finding> {
    let pieces: Vec<(&Part, &Placement)> = parts
        .iter()
        .flat_map(|part| part.places.iter().map(move |place| (part, place)))
        .filter(|(_, place)| place.tilt == 0.0)
        .collect();
    let mut findings = Vec::new();
    for (i, (part, place)) in pieces.iter().enumerate() {
        for (other, beside) in &pieces[i + 1..] {
            let Some((middle, depth)) = shared(place, beside) else { continue };
            if findings.len() == limits::FAULTS {
                return findings;
            }
            if is_wood(part, place, middle) && is_wood(other, beside, middle) {
                let message = format!(
                    "{} and {} would share the same space, {} deep: make the holder larger there, or \
                     one of them smaller.",
                    part.name,
                    other.name,
                    units.length(depth)
                );
                findings.push(Finding::stop("parts-collide", message));
            }
        }
    }
    findings
}

/// The middle of the box two pieces share, and its least size; `None` where they share none.
fn shared(a: &Placement, b: &Placement) -> Option<(Space, f64)> {
    let ((a_low, a_high), (b_low, b_high)) = (a.bounds(), b.bounds());
    let low: Space = std::array::from_fn(|i| a_low[i].max(b_low[i]));
    let high: Space = std::array::from_fn(|i| a_high[i].min(b_high[i]));
    let depth = (0..3).map(|i| high[i] - low[i]).fold(f64::INFINITY, f64::min);
    let middle = std::array::from_fn(|i| (low[i] + high[i]) / 2.0);
    (depth > COORDINATE).then_some((middle, depth))
}

fn is_wood(part: &Part, place: &Placement, at: Space) -> bool {
    let (point, _): (Point, f64) = place.to_piece(at);
    let bored = part.drillings.iter().any(|drilling| {
        drilling.purpose == Purpose::Peg && (drilling.at - point).hypot() < drilling.diameter / 2.0
    });
    !bored && part.region.contains(point)
}
