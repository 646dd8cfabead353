//! A screw on its way through the parts, found from where they sit.

use kurbo::{Point, Vec2};

use super::part::Part;
use super::placement::Placement;
use super::screws::{FarPart, Seated};
use crate::kernel::Segment;
use crate::style::{Face, ScrewSpec, Space};
use crate::tolerance::COORDINATE;

/// A screw on its way through the parts: where it stands, and what it meets.
pub(super) struct ScrewPath {
    /// Where its head is sunk, and the way it goes.
    pub head: Space,
    pub ahead: Space,
    /// Which piece of the part it passes through first.
    pub piece: usize,
    /// Each part passed right through: its index and the point on it.
    pub passed: Vec<(usize, Point)>,
    /// Wood passed so far, in mm.
    pub wood: f64,
    /// The part it ends in; `None` for the wall.
    pub end: Option<End>,
}

impl ScrewPath {
    /// The screw on this way.
    pub(super) fn seated(&self) -> Seated {
        let edge = |end: &End| match end.way {
            Way::Through(_) => None,
            Way::Edge(way) => Some(way),
        };
        Seated {
            head: self.head,
            ahead: self.ahead,
            piece: self.piece,
            passed: self.wood,
            into: self.end.as_ref().map(|end| FarPart {
                part: end.part,
                edge: edge(end),
                room: end.room,
            }),
        }
    }
}

pub(super) struct End {
    pub part: usize,
    /// Where it enters the part, in the part's own x and y.
    pub at: Point,
    /// How much wood lies ahead, in mm.
    pub room: f64,
    pub way: Way,
}

impl End {
    /// Its way through the part, in the part's x and y: a point where it goes in square to a face.
    pub(super) fn way_in(&self, bite: f64) -> Segment {
        let end = match self.way {
            Way::Through(_) => self.at,
            Way::Edge(way) => self.at + way * bite,
        };
        Segment { start: self.at, end, bulge: 0.0 }
    }
}

/// How a screw enters the part it ends in.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Way {
    Through(Face),
    /// Into an edge, in this direction of the part's own x and y.
    Edge(Vec2),
}

/// Screws at one point of the part they pass through: one for each of its pieces that has something
/// behind it.
pub(super) struct Stand {
    pub at: Point,
    pub paths: Vec<ScrewPath>,
}

impl Stand {
    pub(super) fn new(spec: &ScrewSpec, entered: (usize, Face), at: Point, parts: &[Part]) -> Self {
        let pieces = 0..parts[entered.0].places.len();
        let paths = pieces.filter_map(|piece| trace(spec, entered, piece, at, parts)).collect();
        Self { at, paths }
    }
}

/// Follows a screw from where its head sits to what it ends in.
fn trace(
    spec: &ScrewSpec,
    (through, enters): (usize, Face),
    piece: usize,
    point: Point,
    parts: &[Part],
) -> Option<ScrewPath> {
    let place = &parts[through].places[piece];
    let thickness = place.size[2];
    let (exit, sign) = match enters {
        Face::Show => (place.to_space(point, thickness), 1.0),
        Face::Back => (place.to_space(point, 0.0), -1.0),
    };
    let [_, _, out] = place.frame();
    let ahead: Space = out.map(|axis| -axis * sign);
    let head = std::array::from_fn(|i| exit[i] - ahead[i] * thickness);
    let passed = vec![(through, point)];
    let mut path = ScrewPath { head, ahead, piece, passed, wood: thickness, end: None };
    let to_wall = spec.to_wall();
    let mut at = exit;
    // No screw passes more pieces than there are.
    for _ in 0..=parts.iter().map(|part| part.places.len()).sum() {
        let inside: Space = std::array::from_fn(|i| at[i] + ahead[i] * 0.5);
        let Some((index, piece)) = piece_at(parts, inside) else {
            return to_wall.then_some(path);
        };
        let end = enter(index, piece, at, ahead, parts);
        if !to_wall {
            let wanted = spec.into.as_ref().is_none_or(|into| *into.get_ref() == parts[index].kind);
            path.end = Some(end);
            return wanted.then_some(path);
        }
        path.passed.push((index, end.at));
        path.wood += end.room;
        at = std::array::from_fn(|i| at[i] + ahead[i] * end.room);
    }
    None
}

/// The piece whose wood holds a point.
fn piece_at(parts: &[Part], point: Space) -> Option<(usize, &Placement)> {
    parts.iter().enumerate().find_map(|(index, part)| {
        let holds = |place: &&Placement| {
            let (at, depth) = place.to_piece(point);
            let deep_enough = (-COORDINATE..=place.size[2] + COORDINATE).contains(&depth);
            deep_enough && in_wood(part, at)
        };
        Some((index, part.places.iter().find(holds)?))
    })
}

fn in_wood(part: &Part, at: Point) -> bool {
    let around = part.region.bounds().inflate(COORDINATE, COORDINATE);
    around.contains(at) && part.region.room_at(at) >= -COORDINATE
}

fn enter(part: usize, piece: &Placement, at: Space, ahead: Space, parts: &[Part]) -> End {
    let (point, depth) = piece.to_piece(at);
    let next: Space = std::array::from_fn(|i| at[i] + ahead[i]);
    let (beyond, deeper) = piece.to_piece(next);
    if (deeper - depth).abs() > 0.5 {
        let way = Way::Through(if deeper > depth { Face::Show } else { Face::Back });
        return End { part, at: point, room: piece.size[2], way };
    }
    let way = beyond - point;
    let room = parts[part].region.wood_ahead(point, way);
    End { part, at: point, room, way: Way::Edge(way) }
}
