//! Which places along the part get a dimension.

use kurbo::{Point, Vec2};

use super::legend::LetteredKind;
use super::slope;
use crate::holder::{Feature, Mark, MarkKind, Part, Row};
use crate::length::Units;
use crate::shop::Screw;
use crate::tolerance;

/// Places along one edge, ascending, that belong on one line of dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stations {
    /// What is measured, where another line has places so near that one could be taken for the other; else empty.
    pub about: String,
    pub places: Vec<f64>,
    /// Whether evenly spaced places are alike, so that one figure may stand for all.
    pub runs: bool,
}

/// Places nearer than this, in mm, look like one: a thirty-second of an inch and a hair.
const ALIKE: f64 = 0.85;

/// Things measured together, and what they are called.
struct StationRow {
    about: String,
    places: Vec<Point>,
}

/// Lines of stations along the part's length: one for each row of holes, slots or edge screws,
/// one for the marks, one for corners. No line repeats what another says; the one with the narrowest places comes
/// last, that is furthest out, where no other's extension lines run between its figures.
pub(super) fn along(part: &Part, kinds: &[LetteredKind], units: Units) -> Vec<Stations> {
    let rows = level_with_one_another(rows(part, kinds));
    let rows = rows.into_iter().map(|row| {
        let places = tidy(row.places.iter().map(|p| p.x).collect(), part.length());
        let up = row.places.first().map_or(0.0, |p| p.y);
        (format!("{}, {} up", row.about, units.bare_length(up)), places)
    });
    // Rows that run up the part have one place each: together they make one line.
    let (level, upright): (Vec<_>, Vec<_>) = rows.partition(|(_, places)| places.len() > 1);
    let features = level.into_iter().chain([together(upright)]);
    lines(features, part, |p| p.x, part.length())
}

/// Lines of stations across the part's width: one for all holes, slots and edge screws, one for
/// the marks, one for corners.
pub(super) fn across(part: &Part, kinds: &[LetteredKind]) -> Vec<Stations> {
    let rows = rows(part, kinds).into_iter();
    let rows = rows.map(|row| (row.about, row.places.iter().map(|p| p.y).collect()));
    lines([together(rows.collect())], part, |p| p.y, part.width())
}

/// Some rows as one.
fn together(rows: Vec<(String, Vec<f64>)>) -> (String, Vec<f64>) {
    let (names, places): (Vec<String>, Vec<Vec<f64>>) = rows.into_iter().unzip();
    (all_names(&names), places.concat())
}

fn all_names(names: &[String]) -> String {
    let mut all: Vec<&str> =
        names.iter().map(String::as_str).filter(|name| !name.is_empty()).collect();
    all.dedup();
    all.join(", ")
}

fn lines(
    features: impl IntoIterator<Item = (String, Vec<f64>)>,
    part: &Part,
    pick: impl Fn(Point) -> f64,
    end: f64,
) -> Vec<Stations> {
    let features = features.into_iter().map(|(about, places)| (about, places, true));
    let marks = ("marks".to_owned(), marks(part, &pick), false);
    let corners = ("corners".to_owned(), corners(part, &pick), false);
    let mut lines: Vec<Stations> = Vec::new();
    for (about, places, runs) in features.chain([marks, corners]) {
        let line = Stations { about, places: tidy(places, end), runs };
        if !line.places.is_empty() && !lines.iter().any(|other| line.is_within(other)) {
            lines.retain(|other| !other.is_within(&line));
            lines.push(line);
        }
    }
    lines.sort_by(|a, b| b.narrowest(end).total_cmp(&a.narrowest(end)));
    named_where_alike(&lines)
}

/// The lines, without the names of those that nobody takes for another.
fn named_where_alike(lines: &[Stations]) -> Vec<Stations> {
    let alike = |i: usize| {
        let others = lines.iter().enumerate().filter(|(j, _)| *j != i);
        others.into_iter().any(|(_, other)| lines[i].is_nearly(other))
    };
    let named: Vec<bool> = (0..lines.len()).map(alike).collect();
    let about = |line: &Stations, named| if named { line.about.clone() } else { String::new() };
    let all = lines.iter().zip(named);
    all.map(|(line, named)| Stations { about: about(line, named), ..line.clone() }).collect()
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

    /// Whether a place is so near to one of `other` that they look like one, and are not.
    fn is_nearly(&self, other: &Self) -> bool {
        let near = |a: &f64| other.places.iter().any(|b| !same(*a, *b) && (a - b).abs() < ALIKE);
        self.places.iter().any(near)
    }

    /// Whether `other` says all that this line would.
    fn is_within(&self, other: &Self) -> bool {
        let known = |place: &f64| other.places.iter().any(|p| same(*p, *place));
        self.places.iter().all(known)
    }
}

/// The part's rows, then what holes are in none of them, then edge screws of one size.
fn rows(part: &Part, kinds: &[LetteredKind]) -> Vec<StationRow> {
    let letters = |places: &[Point]| {
        let is_of = |kind: &&LetteredKind| {
            kind.at.iter().any(|at| places.iter().any(|place| is_at(*at, *place)))
        };
        kinds.iter().filter(is_of).map(|kind| kind.letter.as_str()).collect::<Vec<_>>().join(" ")
    };
    let of_row =
        |row: &Row| StationRow { about: letters(&row.centers), places: measured(row, part) };
    let mut rows: Vec<StationRow> = part.rows.iter().map(of_row).collect();
    let mut known: Vec<Point> = part.rows.iter().flat_map(|row| row.centers.clone()).collect();
    for kind in kinds {
        let is_known = |at: &&Point| known.iter().any(|place| is_at(**at, *place));
        let loose: Vec<Point> = kind.at.iter().filter(|at| !is_known(at)).copied().collect();
        known.extend(&loose);
        rows.push(StationRow { about: letters(&loose), places: loose });
    }
    let mut in_edges: Vec<(Screw, Vec<Point>)> = Vec::new();
    for (screw, at) in part.marks.iter().filter_map(edge_screw) {
        match in_edges.iter_mut().find(|(known, _)| *known == screw) {
            Some((_, row)) => row.push(at),
            None => in_edges.push((screw, vec![at])),
        }
    }
    let in_edges = in_edges.into_iter();
    rows.extend(in_edges.map(|(screw, places)| StationRow { about: screw.to_string(), places }));
    rows
}

fn is_at(a: Point, b: Point) -> bool {
    (a - b).hypot() < tolerance::COORDINATE
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
fn level_with_one_another(rows: Vec<StationRow>) -> Vec<StationRow> {
    let short = |row: &[Point]| match row {
        [a] => Some(a.y),
        [a, b] if same(a.y, b.y) => Some(a.y),
        _ => None,
    };
    let mut joined: Vec<(Option<f64>, StationRow)> = Vec::new();
    for row in rows {
        let height = short(&row.places);
        let known = height.and_then(|y| {
            joined.iter_mut().find(|(other, _)| other.is_some_and(|other| same(other, y)))
        });
        match known {
            Some((_, line)) => {
                line.about = all_names(&[std::mem::take(&mut line.about), row.about]);
                line.places.extend(row.places);
            }
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
