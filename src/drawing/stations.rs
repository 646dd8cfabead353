//! Which places along the part get a dimension.

use kurbo::Point;

use super::legend::Kind;
use crate::holder::{Mark, MarkKind, Part};
use crate::tolerance;

/// Places along one edge, ascending, that belong on one line of dimensions.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stations {
    pub places: Vec<f64>,
    /// Whether evenly spaced places are alike, so that one figure may stand for all.
    pub runs: bool,
}

/// One line of stations for each row of holes or slots, for edge screws, and for marks, along the
/// part's length; the same places are not given twice. The line with most places comes first.
pub(super) fn along(part: &Part, kinds: &[Kind]) -> Vec<Stations> {
    let length = part.length();
    let features = rows(part, kinds);
    let features = features.iter().map(|row| (row.iter().map(|p| p.x).collect(), true));
    let marks = part.marks.iter().flat_map(|mark| mark_places(mark, |p| p.x));
    let lines = features.chain(std::iter::once((marks.collect(), false)));
    let mut all: Vec<Stations> = Vec::new();
    for (places, runs) in lines {
        let line = Stations { places: tidy(places, length), runs };
        if !line.places.is_empty() && !all.iter().any(|other| line.is_within(other)) {
            all.retain(|other| !other.is_within(&line));
            all.push(line);
        }
    }
    all.sort_by_key(|line| std::cmp::Reverse(line.places.len()));
    all
}

/// Every place across the part's width, on one line.
pub(super) fn across(part: &Part, kinds: &[Kind]) -> Stations {
    let features = rows(part, kinds).into_iter().flatten().map(|p| p.y);
    let marks: Vec<f64> = part.marks.iter().flat_map(|mark| mark_places(mark, |p| p.y)).collect();
    let runs = tidy(marks.clone(), part.width()).is_empty();
    Stations { places: tidy(features.chain(marks).collect(), part.width()), runs }
}

impl Stations {
    /// Whether `other` says all that this line would.
    fn is_within(&self, other: &Self) -> bool {
        let known = |place: &f64| other.places.iter().any(|p| same(*p, *place));
        self.places.iter().all(known)
    }
}

/// The part's rows, then what holes are in none of them, then edge screws of one label.
fn rows(part: &Part, kinds: &[Kind]) -> Vec<Vec<Point>> {
    let mut rows: Vec<Vec<Point>> = part.rows.iter().map(|row| row.centres.clone()).collect();
    let in_row = |at: &Point, rows: &[Vec<Point>]| {
        rows.iter().flatten().any(|p| (*p - *at).hypot() < tolerance::COORDINATE)
    };
    for kind in kinds {
        let loose = kind.at.iter().filter(|at| !in_row(at, &rows)).copied().collect();
        rows.push(loose);
    }
    let mut labels: Vec<&str> = Vec::new();
    for mark in &part.marks {
        if let MarkKind::EdgeScrew { .. } = mark.kind
            && !labels.contains(&mark.label.as_str())
        {
            labels.push(&mark.label);
        }
    }
    for label in labels {
        rows.push(part.marks.iter().filter(|m| m.label == label).filter_map(edge_screw).collect());
    }
    rows
}

/// Where a screw enters an edge.
fn edge_screw(mark: &Mark) -> Option<Point> {
    match mark.kind {
        MarkKind::EdgeScrew { from, .. } => Some(from),
        _ => None,
    }
}

/// The places a mark is measured at: edges of a landing, a line square to the way measured.
fn mark_places(mark: &Mark, pick: impl Fn(Point) -> f64) -> Vec<f64> {
    match mark.kind {
        MarkKind::Landing { area, .. } => {
            vec![pick(area.origin()), pick(Point::new(area.x1, area.y1))]
        }
        MarkKind::Centre { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to } => {
            if same(pick(from), pick(to)) {
                vec![pick(from)]
            } else {
                Vec::new()
            }
        }
        MarkKind::EdgeScrew { .. } => Vec::new(),
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
