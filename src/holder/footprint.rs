//! Where mating parts land: footprints marked on a part's faces, found from where the parts sit.

use kurbo::{Point, Rect};

use super::bench::Bench;
use super::finding::Finding;
use super::part::{Mark, MarkKind, Part, made_of};
use super::placement::Placement;
use crate::style::{Face, FootprintsSpec};
use crate::tolerance::COORDINATE;

/// Marks on every part of this layer the footprints it asks for; tells those that touch nowhere.
pub(super) fn mark(bench: &Bench<'_>, parts: &mut [Part]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for spec in bench.layer.parts() {
        let on = spec.name.get_ref();
        match &spec.footprints {
            FootprintsSpec::Of(lands) => {
                findings.extend(lands.iter().filter_map(|lands| land(on, lands.get_ref(), parts)));
            }
            FootprintsSpec::All => land_all(on, parts),
        }
    }
    findings
}

/// Marks the footprints of all parts that touch a part.
fn land_all(on: &str, parts: &mut [Part]) {
    for index in of(on, parts) {
        let others = parts.iter().filter(|part| part.kind != on);
        let marks: Vec<Mark> = others.flat_map(|lands| footprints(&parts[index], lands)).collect();
        parts[index].marks.extend(marks);
    }
}

fn of(kind: &str, parts: &[Part]) -> Vec<usize> {
    (0..parts.len()).filter(|at| parts[*at].kind == kind).collect()
}

fn land(on: &str, lands: &str, parts: &mut [Part]) -> Option<Finding> {
    let on_parts = of(on, parts);
    let lands_parts = made_of(lands, parts);
    if on_parts.is_empty() || lands_parts.is_empty() {
        return None;
    }
    let mut met = false;
    for index in on_parts {
        let landing = lands_parts.iter().flat_map(|at| footprints(&parts[index], &parts[*at]));
        let marks: Vec<Mark> = landing.collect();
        met |= !marks.is_empty();
        parts[index].marks.extend(marks);
    }
    let message =
        || format!("{lands} should touch {on}, and does not: look at where they sit in the style.");
    (!met).then(|| Finding::stop("does-not-touch", message()))
}

fn footprints(on: &Part, lands: &Part) -> Vec<Mark> {
    let Some(place) = on.places.first() else { return Vec::new() };
    let found = lands.places.iter().filter_map(|other| {
        let (area, face) = footprint(place, lands, other)?;
        let area = within(area, on.region.bounds())?;
        Some(Mark { kind: MarkKind::Footprint { area, face }, label: lands.name.clone() })
    });
    found.collect()
}

/// The box around where the piece of `lands` at `other` touches a face of the piece at `place`.
pub(super) fn footprint(
    place: &Placement,
    lands: &Part,
    other: &Placement,
) -> Option<(Rect, Face)> {
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

/// The box `rect` cut down to what lies within `bounds`; `None` when nothing does.
fn within(rect: Rect, bounds: Rect) -> Option<Rect> {
    let inner = rect.intersect(bounds);
    (inner.width() > 0.0 && inner.height() > 0.0).then_some(inner)
}
