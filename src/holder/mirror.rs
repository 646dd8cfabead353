//! Whether a piece that looks another way than the first of its part is mirrored: then an edge that
//! should lie against something lies in the open.

use kurbo::{Point, Rect};

use super::finding::Finding;
use super::part::{EdgeName, Part};
use super::placement::Placement;
use crate::limits;
use crate::style::{Edge, Space};
use crate::tolerance::COORDINATE;

/// A stop for every piece of which a named edge touches nothing, while that edge of the part's first
/// piece touches something. Tilted pieces are left out.
pub(super) fn mirrored(parts: &[Part]) -> Vec<Finding> {
    parts.iter().flat_map(|part| of_part(part, parts)).take(limits::FAULTS).collect()
}

fn of_part<'a>(part: &'a Part, parts: &'a [Part]) -> impl Iterator<Item = Finding> + 'a {
    let first = part.places.first();
    let turned = part.places.iter().enumerate().filter(move |(_, place)| {
        first.is_some_and(|first| (first.faces, first.half_turn) != (place.faces, place.half_turn))
    });
    let turned = turned.filter(|(_, place)| place.tilt == 0.0);
    turned.flat_map(move |(i, place)| {
        part.edges.iter().filter_map(move |name| {
            let by = touched(part, first?, name.edge, parts)?;
            if touched(part, place, name.edge, parts).is_some() {
                return None;
            }
            Some(finding(part, i + 1, name, by))
        })
    })
}

fn finding(part: &Part, piece: usize, name: &EdgeName, by: &str) -> Finding {
    let message = format!(
        "{}, piece {piece}: its {} edge ({}) touches nothing, and that of piece 1 touches {by}: it is mirrored. \
         Let it face the other way, or add half_turn = true to its sits: then it also stands upside down.",
        part.name,
        name.edge.word(),
        name.label
    );
    Finding::stop("mirrored", message)
}

/// The part that touches an edge of a piece.
fn touched<'a>(part: &Part, place: &Placement, edge: Edge, parts: &'a [Part]) -> Option<&'a str> {
    let (low, high) = edge_box(part, place, edge);
    let touches = |other: &Placement| {
        let (near, far) = other.bounds();
        let shared = |i: usize| high[i].min(far[i]) - low[i].max(near[i]);
        (0..3).all(|i| shared(i) >= -COORDINATE)
            && (0..3).filter(|i| shared(*i) > COORDINATE).count() >= 2
    };
    let others = parts.iter().filter(|other| other.name != part.name);
    let mut found = others.filter(|other| other.places.iter().any(touches));
    found.next().map(|other| other.name.as_str())
}

/// The level box of one edge of a piece, flat against what it touches.
fn edge_box(part: &Part, place: &Placement, edge: Edge) -> (Space, Space) {
    let Rect { x0, y0, x1, y1 } = part.region.bounds();
    let ends = match edge {
        Edge::Bottom => [(x0, y0), (x1, y0)],
        Edge::Top => [(x0, y1), (x1, y1)],
        Edge::Left => [(x0, y0), (x0, y1)],
        Edge::Right => [(x1, y0), (x1, y1)],
    };
    let corners =
        ends.map(Point::from).map(|at| [0.0, place.size[2]].map(|depth| place.to_space(at, depth)));
    let all = corners.as_flattened();
    let pick = |of: fn(f64, f64) -> f64, from: f64| -> Space {
        std::array::from_fn(|i| all.iter().map(|corner| corner[i]).fold(from, of))
    };
    (pick(f64::min, f64::INFINITY), pick(f64::max, f64::NEG_INFINITY))
}
