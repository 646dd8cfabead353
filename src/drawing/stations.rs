//! Which places along the part get a dimension.

use kurbo::{Point, Vec2};

use super::legend::LetteredKind;
use super::slope;
use crate::holder::{Feature, Mark, MarkKind, Part, Row};
use crate::shop::Screw;
use crate::tolerance;

/// Places along one edge, ascending, that belong on one line of dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stations {
    pub places: Vec<f64>,
    /// Whether evenly spaced places are alike, so that one figure may stand for all.
    pub runs: bool,
}

/// Lines of stations along the part's length: one for each row of holes, slots or edge screws,
/// one for the marks, one for corners. No line repeats what another says; the one with the narrowest places comes
/// last, that is furthest out, where no other's extension lines run between its figures.
pub(super) fn along(part: &Part, kinds: &[LetteredKind]) -> Vec<Stations> {
    let rows = level_with_one_another(rows(part, kinds));
    let rows = rows.into_iter().map(|row| row.iter().map(|p| p.x).collect());
    // Rows that run up the part have one place each: together they make one line.
    let (level, upright): (Vec<Vec<f64>>, Vec<Vec<f64>>) =
        rows.map(|row| tidy(row, part.length())).partition(|row| row.len() > 1);
    let features = level.into_iter().chain([upright.concat()]);
    lines(features, marks(part, |p| p.x), corners(part, |p| p.x), part.length())
}

/// Lines of stations across the part's width: one for all holes, slots and edge screws, one for
/// the marks.
pub(super) fn across(part: &Part, kinds: &[LetteredKind]) -> Vec<Stations> {
    let features = rows(part, kinds).into_iter().flatten().map(|p| p.y).collect();
    lines([features], marks(part, |p| p.y), corners(part, |p| p.y), part.width())
}

fn lines(
    features: impl IntoIterator<Item = Vec<f64>>,
    marks: Vec<f64>,
    corners: Vec<f64>,
    end: f64,
) -> Vec<Stations> {
    let features = features.into_iter().map(|places| (places, true));
    let mut lines: Vec<Stations> = Vec::new();
    for (places, runs) in features.chain([(marks, false), (corners, false)]) {
        let line = Stations { places: tidy(places, end), runs };
        if !line.places.is_empty() && !lines.iter().any(|other| line.is_within(other)) {
            lines.retain(|other| !other.is_within(&line));
            lines.push(line);
        }
    }
    lines.sort_by(|a, b| b.narrowest(end).total_cmp(&a.narrowest(end)));
    lines
}

fn marks(part: &Part, pick: impl Fn(Point) -> f64) -> Vec<f64> {
    part.marks.iter().flat_map(|mark| mark_places(mark, &pick)).collect()
}

/// Where the outline has corners inside the part's bounds.
fn corners(part: &Part, pick: impl Fn(Point) -> f64) -> Vec<f64> {
    slope::corners(part).into_iter().map(pick).collect()
}

impl Stations {
    /// The least distance from one place to the next, the part's ends among them.
    fn narrowest(&self, end: f64) -> f64 {
        let stops: Vec<f64> =
            [0.0].into_iter().chain(self.places.iter().copied()).chain([end]).collect();
        stops.iter().zip(stops.iter().skip(1)).map(|(a, b)| b - a).fold(f64::MAX, f64::min)
    }

    /// Whether `other` says all that this line would.
    fn is_within(&self, other: &Self) -> bool {
        let known = |place: &f64| other.places.iter().any(|p| same(*p, *place));
        self.places.iter().all(known)
    }
}

/// The part's rows, then what holes are in none of them, then edge screws of one size.
fn rows(part: &Part, kinds: &[LetteredKind]) -> Vec<Vec<Point>> {
    let mut rows: Vec<Vec<Point>> = part.rows.iter().map(|row| measured(row, part)).collect();
    let mut known: Vec<Point> = part.rows.iter().flat_map(|row| row.centers.clone()).collect();
    for kind in kinds {
        let is_known =
            |at: &&Point| known.iter().any(|p| (*p - **at).hypot() < tolerance::COORDINATE);
        let loose: Vec<Point> = kind.at.iter().filter(|at| !is_known(at)).copied().collect();
        known.extend(&loose);
        rows.push(loose);
    }
    let mut in_edges: Vec<(Screw, Vec<Point>)> = Vec::new();
    for (screw, at) in part.marks.iter().filter_map(edge_screw) {
        match in_edges.iter_mut().find(|(known, _)| *known == screw) {
            Some((_, row)) => row.push(at),
            None => in_edges.push((screw, vec![at])),
        }
    }
    rows.extend(in_edges.into_iter().map(|(_, row)| row));
    rows
}

/// What a row is measured at: its centers, and of notches the middles of their bottoms.
fn measured(row: &Row, part: &Part) -> Vec<Point> {
    let Feature::Notch { depth, .. } = row.feature else { return row.centers.clone() };
    let area = part.region.bounds();
    let bottom = |at: &Point| {
        let off = [at.y - area.y0, area.y1 - at.y, at.x - area.x0, area.x1 - at.x];
        let inward = [(0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)].map(Vec2::from);
        let mut ways = off.into_iter().zip(inward);
        let way = ways.find(|(off, _)| same(*off, depth / 2.0)).map(|(_, way)| way);
        *at + way.unwrap_or_default() * (depth / 2.0)
    };
    row.centers.iter().map(bottom).collect()
}

/// The rows, those of one or two places at one height joined to one row: holes of different sizes
/// that stand in line read best on one line.
fn level_with_one_another(rows: Vec<Vec<Point>>) -> Vec<Vec<Point>> {
    let short = |row: &[Point]| match row {
        [a] => Some(a.y),
        [a, b] if same(a.y, b.y) => Some(a.y),
        _ => None,
    };
    let mut joined: Vec<(Option<f64>, Vec<Point>)> = Vec::new();
    for row in rows {
        let height = short(&row);
        let known = height.and_then(|y| {
            joined.iter_mut().find(|(other, _)| other.is_some_and(|other| same(other, y)))
        });
        match known {
            Some((_, places)) => places.extend(row),
            None => joined.push((height, row)),
        }
    }
    joined.into_iter().map(|(_, row)| row).collect()
}

/// A screw in an edge, and where it enters.
fn edge_screw(mark: &Mark) -> Option<(Screw, Point)> {
    match mark.kind {
        MarkKind::EdgeScrew { from, screw, .. } => Some((screw, from)),
        _ => None,
    }
}

/// The places a mark is measured at: edges of a landing, a line square to the way measured. Saw
/// lines run from a hole that is measured itself.
fn mark_places(mark: &Mark, pick: impl Fn(Point) -> f64) -> Vec<f64> {
    match mark.kind {
        MarkKind::Footprint { area, .. } => {
            vec![pick(area.origin()), pick(Point::new(area.x1, area.y1))]
        }
        MarkKind::Center { from, to } | MarkKind::Scribe { from, to } => {
            if same(pick(from), pick(to)) { vec![pick(from)] } else { Vec::new() }
        }
        MarkKind::Saw { .. } | MarkKind::EdgeScrew { .. } => Vec::new(),
    }
}

/// Ascending, each once, all truly between 0 and `end`.
fn tidy(mut places: Vec<f64>, end: f64) -> Vec<f64> {
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| same(*a, *b));
    places.retain(|place| *place > 0.01 && *place < end - 0.01);
    places
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.01
}
