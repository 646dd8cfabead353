//! Screws too near an edge, an end or one another: solid wood splits there.

use kurbo::Point;

use crate::holder::{Grain, Holder, Part, Placement, ScrewJoint, Seated, StockKind};
use crate::kernel::Contour;
use crate::shop::{Screw, find_wood};
use crate::style::Space;
use crate::tolerance::{COORDINATE, FLATTENING};

/// A screw that stands nearer to something than is advised for bored holes in solid wood.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CloseScrew {
    /// The part that may split.
    pub part: String,
    /// What the screw joins.
    pub joint: String,
    pub screw: Screw,
    pub to: CloseTo,
    /// How near it is, in mm.
    pub is: f64,
    /// How near it may be, in mm.
    pub least: f64,
}

/// What a screw is near to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CloseTo {
    /// Along the grain.
    End,
    /// Across the grain.
    Edge,
    /// In a row along the grain.
    Neighbor,
}

/// A screw in a piece of solid wood.
#[derive(Clone, Copy)]
struct Driven<'a> {
    joint: &'a ScrewJoint,
    /// Along the grain (x) and across it (y), in mm.
    at: Point,
}

/// The nearest of each part and kind. Panels don't split so, and of a screw into an edge the table
/// that the distances are from says nothing.
pub(super) fn close_screws(holder: &Holder) -> Vec<CloseScrew> {
    let mut found: Vec<CloseScrew> = Vec::new();
    for (index, part) in holder.parts.iter().enumerate().filter(|(_, part)| splits(part)) {
        for piece in 0..part.places.len() {
            for close in of_piece(part, &driven(holder, index, piece)) {
                let same =
                    |known: &&mut CloseScrew| known.part == close.part && known.to == close.to;
                match found.iter_mut().find(same) {
                    Some(known) if close.is / close.least < known.is / known.least => {
                        *known = close;
                    }
                    Some(_) => {}
                    None => found.push(close),
                }
            }
        }
    }
    found
}

/// Whether a part is a board or strip of solid wood with a grain of its own.
fn splits(part: &Part) -> bool {
    let panel = find_wood(&part.stock.wood).wood.kind.is_panel();
    !panel && part.stock.kind != StockKind::Dowel && part.grain != Grain::Any
}

/// Along and across a part's grain.
fn with_grain(part: &Part, at: Point) -> Point {
    if part.grain == Grain::Width { Point::new(at.y, at.x) } else { at }
}

/// The screws that go through or into the faces of one piece of a part.
fn driven(holder: &Holder, part: usize, piece: usize) -> Vec<Driven<'_>> {
    let Some(place) = holder.parts[part].places.get(piece) else { return Vec::new() };
    let screws =
        holder.screws.iter().flat_map(|joint| joint.screws.iter().map(move |s| (joint, s)));
    let through = |joint: &ScrewJoint, s: &Seated| joint.through == part && s.piece == piece;
    let met = screws.filter_map(|(joint, s)| {
        let point = if through(joint, s) {
            s.head
        } else {
            s.into.filter(|into| into.part == part && into.edge.is_none())?;
            beyond(s)
        };
        let (at, depth) = place.to_piece(point);
        let own = through(joint, s) || within(place, depth);
        let at = with_grain(&holder.parts[part], at);
        (own && square(place, s)).then_some(Driven { joint, at })
    });
    met.collect()
}

/// Just inside the wood that a screw ends in.
fn beyond(screw: &Seated) -> Space {
    std::array::from_fn(|i| screw.head[i] + screw.ahead[i] * (screw.passed + COORDINATE))
}

fn within(place: &Placement, depth: f64) -> bool {
    (0.0..=place.size[2]).contains(&depth)
}

/// Whether a screw goes square through a piece's faces.
fn square(place: &Placement, screw: &Seated) -> bool {
    let [_, _, out] = place.frame();
    out.iter().zip(screw.ahead).map(|(a, b)| a * b).sum::<f64>().abs() > 0.99
}

fn of_piece<'a>(part: &'a Part, screws: &[Driven<'a>]) -> Vec<CloseScrew> {
    let mut found = Vec::new();
    for (index, driven) in screws.iter().enumerate() {
        let screw = driven.joint.screw;
        let Some([end, edge]) = room(part, driven.at) else { continue };
        let beside = screws[index + 1..].iter().filter_map(|other| apart(driven, other));
        let near = beside.fold(f64::INFINITY, f64::min);
        let [toward, away] = screw.end_distances();
        let least_end = toward.min(away);
        let all = [
            (CloseTo::End, end, least_end),
            (CloseTo::Edge, edge, screw.edge_distance()),
            (CloseTo::Neighbor, near, screw.spacing()[0]),
        ];
        let close = all.into_iter().filter(|(_, is, least)| *is < least - COORDINATE);
        found.extend(close.map(|(to, is, least)| CloseScrew {
            part: part.name.clone(),
            joint: driven.joint.about.clone(),
            screw,
            to,
            is,
            least,
        }));
    }
    found
}

/// How far apart along the grain two screws of nearly one line of fibers stand.
fn apart(one: &Driven<'_>, other: &Driven<'_>) -> Option<f64> {
    let [along, across] = [one.at.x - other.at.x, one.at.y - other.at.y].map(f64::abs);
    (across < one.joint.screw.spacing()[1] - COORDINATE).then_some(along)
}

/// How much wood there is from a place to the nearest end and edge; `None` off the wood.
fn room(part: &Part, at: Point) -> Option<[f64; 2]> {
    let along = nearest(part, at, |p| p)?;
    let across = nearest(part, at, |p| Point::new(p.y, p.x))?;
    Some([along, across])
}

/// From a place to the outline, one way or the other along x once all is `turned`.
fn nearest(part: &Part, at: Point, turned: fn(Point) -> Point) -> Option<f64> {
    let at = turned(at);
    let crosses = |contour: &Contour| {
        let points: Vec<Point> = contour
            .flatten(FLATTENING)
            .into_iter()
            .map(|point| turned(with_grain(part, point)))
            .collect();
        let ends: Vec<Point> = points.iter().copied().cycle().skip(1).take(points.len()).collect();
        let met = points.into_iter().zip(ends).filter(|(a, b)| (a.y <= at.y) != (b.y <= at.y));
        met.map(|(a, b)| a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y) - at.x)
            .collect::<Vec<f64>>()
    };
    let met = part.region.contours().flat_map(crosses);
    met.map(f64::abs).reduce(f64::min)
}
