//! Where mating parts land: footprints marked on a part's faces, found from where the parts sit.

use kurbo::{Point, Rect};

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
            if lands.places.is_empty() {
                continue;
            }
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
        let (area, face) = footprint(place, lands, other)?;
        let area = within(area, on.region.bounds())?;
        Some(Mark { kind: MarkKind::Landing { area, face }, label: lands.name.clone() })
    });
    found.collect()
}

/// The box around where the piece of `lands` at `other` touches a face of the piece at `place`.
fn footprint(place: &Placement, lands: &Part, other: &Placement) -> Option<(Rect, Face)> {
    let corners = lands.region.outline().vertices().iter().flat_map(|vertex| {
        [0.0, other.size[2]].map(|depth| place.to_piece(other.to_space(vertex.at, depth)))
    });
    let corners: Vec<(Point, f64)> = corners.collect();
    let near = corners.iter().map(|(_, depth)| *depth).fold(f64::INFINITY, f64::min);
    let far = corners.iter().map(|(_, depth)| *depth).fold(f64::NEG_INFINITY, f64::max);
    let (level, face) = if far.abs() <= COORDINATE {
        (far, Face::Show)
    } else if (near - place.size[2]).abs() <= COORDINATE {
        (near, Face::Back)
    } else {
        return None;
    };
    let touching = corners.iter().filter(|(_, depth)| (depth - level).abs() <= COORDINATE);
    let area = touching.map(|(at, _)| Rect::from_points(*at, *at)).reduce(|a, b| a.union(b))?;
    Some((area, face))
}
