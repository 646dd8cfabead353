//! Where mating parts land: footprints marked on a part's faces, found from where the parts sit.

use kurbo::Rect;

use super::build::{Bench, within};
use super::finding::{Finding, Refusal};
use super::part::{Mark, MarkKind, Part};
use super::placement::Placement;
use crate::style::Face;
use crate::tolerance::COORDINATE;

/// Marks on every part of this layer the footprints it asks for.
///
/// # Errors
/// None today; a footprint that touches nowhere is a finding.
pub(super) fn mark(bench: &Bench<'_>, parts: &mut [Part]) -> Result<(), Refusal> {
    for spec in &bench.layer.file.parts {
        let name = spec.name.get_ref();
        for landing in &spec.lands {
            let on = parts.iter().find(|part| part.name == *name);
            let lands = parts.iter().find(|part| part.name == *landing.get_ref());
            let (Some(on), Some(lands)) = (on, lands) else { continue };
            let marks = footprints(on, lands);
            if marks.is_empty() {
                let message =
                    format!("{} is to land on {name}, but they do not touch.", lands.name);
                bench.say(Finding::stop("does-not-touch", message));
            }
            if let Some(on) = parts.iter_mut().find(|part| part.name == *name) {
                on.marks.extend(marks);
            }
        }
    }
    Ok(())
}

fn footprints(on: &Part, lands: &Part) -> Vec<Mark> {
    let Some(place) = on.places.first() else { return Vec::new() };
    let found = lands.places.iter().filter_map(|other| {
        let (area, face) = footprint(place, other)?;
        let area = within(area, on.region.bounds())?;
        Some(Mark { kind: MarkKind::Landing { area, face }, label: lands.name.clone() })
    });
    found.collect()
}

/// The footprint of `other` on a face of the piece at `place`, where they touch.
fn footprint(place: &Placement, other: &Placement) -> Option<(Rect, Face)> {
    let (low, high) = other.bounds();
    let (a, depth_a) = place.to_piece(low);
    let (b, depth_b) = place.to_piece(high);
    let (near, far) = (depth_a.min(depth_b), depth_a.max(depth_b));
    let area = Rect::from_points(a, b);
    if far.abs() <= COORDINATE {
        Some((area, Face::Show))
    } else if (near - place.size[2]).abs() <= COORDINATE {
        Some((area, Face::Back))
    } else {
        None
    }
}
