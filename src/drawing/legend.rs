//! Kinds of holes: a small letter for each, beside each hole and in a table that explains it. Capital letters are
//! pieces of the cutting plan.

use kurbo::Point;

use super::canvas::{Canvas, Care, Label};
use super::near::{self, WoodArea};
use super::opening_figures::{self, Openings};
use super::table::{Table, TableRow};
use super::words;
use crate::holder::{Drilling, Edge, Face, Feature, Part, Purpose, Row};
use crate::length::{Units, letters};
use crate::tolerance;

/// Letter size, in mm.
const LETTER: f64 = 3.5;

/// A row of more than so many like holes carries its letter at both ends only.
const LONG_ROW: usize = 12;

/// Holes or slots made alike.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LetteredKind {
    /// `a`, `b` …
    pub letter: String,
    /// `6 × Ø 11/64 in through, clearance, 11/64 in drill`.
    pub text: String,
    pub at: Vec<Point>,
    /// In mm.
    pub radius: f64,
}

/// The part's drillings, alike ones together in the order they first come, then its rows of other
/// things (slots).
pub(super) fn kinds(part: &Part, units: Units, wood: &WoodArea) -> Vec<LetteredKind> {
    let mut groups: Vec<Vec<&Drilling>> = Vec::new();
    for drilling in &part.drillings {
        let group = groups.iter_mut().find(|g| g.first().is_some_and(|d| alike(d, drilling)));
        match group {
            Some(group) => group.push(drilling),
            None => groups.push(vec![drilling]),
        }
    }
    let drilled = groups.iter().filter_map(|group| {
        let first = group.first()?;
        let text = format!("{} × {}", group.len(), describe(first, part, units));
        Some((text, group.iter().map(|d| d.at).collect(), first.diameter / 2.0))
    });
    let rows = others(part, wood).into_iter().map(|Openings { feature, open, centers }| {
        let depth = opening_figures::slot_depth(feature, open, units);
        let text = format!("{} × {}{depth}", centers.len(), words::feature(feature, units));
        (text, centers, feature.size() / 2.0)
    });
    drilled
        .chain(rows)
        .enumerate()
        .map(|(i, (text, at, radius))| LetteredKind { letter: small_letter(i), text, at, radius })
        .collect()
}

/// The part's rows of what is not drilled.
fn others(part: &Part, wood: &WoodArea) -> Vec<Openings> {
    let rows = part.rows.iter().filter(|row| !is_drilled(row, part));
    opening_figures::alike(part, rows, wood)
}

fn alike(a: &Drilling, b: &Drilling) -> bool {
    let same = |a: f64, b: f64| (a - b).abs() < tolerance::COORDINATE;
    let depth = match (a.depth, b.depth) {
        (Some(a), Some(b)) => same(a, b),
        (a, b) => a.is_none() && b.is_none(),
    };
    depth
        && same(a.diameter, b.diameter)
        && same(a.lean, b.lean)
        && (a.purpose, a.face, a.bit) == (b.purpose, b.face, b.bit)
}

/// Whether the row is one of drillings, and so explained with them.
fn is_drilled(row: &Row, part: &Part) -> bool {
    let Feature::Hole { purpose, .. } = row.feature else { return false };
    row.centers.iter().all(|center| {
        let here = |d: &Drilling| (d.at - *center).hypot() < tolerance::COORDINATE;
        part.drillings.iter().any(|d| here(d) && d.purpose == purpose)
    })
}

fn describe(drilling: &Drilling, part: &Part, units: Units) -> String {
    let diameter = format!("Ø {}", units.length(drilling.diameter));
    let face = match drilling.face {
        Face::Show => "from the show face",
        Face::Back => "from the back",
    };
    let mut parts = if drilling.purpose == Purpose::Countersink {
        vec![format!("countersink {diameter}"), face.to_owned()]
    } else {
        let hole = match drilling.depth {
            None => format!("{diameter} through"),
            Some(depth) => format!("{diameter}, {} deep {face}", units.length(depth)),
        };
        vec![hole, drilling.purpose.word().to_owned(), words::bit(drilling.bit, units)]
    };
    if drilling.lean != 0.0 {
        let down = part.edges.iter().find(|name| name.edge == Edge::Bottom);
        let edge = down.map_or("bottom edge", |name| name.label.as_str());
        let lean = units.quantity(crate::length::Quantity::degrees(drilling.lean));
        parts.push(format!("angled {lean}, tip toward: {edge}"));
    }
    parts.retain(|part| !part.is_empty());
    parts.join(", ")
}

/// a, b … z, aa, ab …
pub(super) fn small_letter(index: usize) -> String {
    letters(index).to_lowercase()
}

/// The table that explains the letters; `None` when there are none.
pub(super) fn table(kinds: &[LetteredKind]) -> Option<Table> {
    let rows = kinds.iter().map(|kind| {
        TableRow::keyed(Label::new(kind.letter.as_str(), LETTER).bold(), kind.text.as_str())
    });
    let rows: Vec<TableRow> = rows.collect();
    (!rows.is_empty()).then_some(Table { width: 105.0, key_width: 9.0, rows })
}

/// What stands at one center.
struct LetteredPlace {
    at: Point,
    letters: String,
    radius: f64,
}

/// Writes the letters in or beside the holes.
pub(super) fn write_letters(canvas: &mut Canvas, kinds: &[LetteredKind], wood: &WoodArea) {
    for place in thinned(places(kinds)) {
        let label = Label::new(place.letters, LETTER).bold();
        // In the middle of what is cut out the letter is nearest to what it means.
        if canvas.has_room(&label, place.at, Care::All) {
            canvas.write(&label, place.at);
        } else {
            near::write_around(canvas, &label, place.at, place.radius, Some(wood));
        }
    }
}

/// Each center with all its letters.
fn places(kinds: &[LetteredKind]) -> Vec<LetteredPlace> {
    let mut places: Vec<LetteredPlace> = Vec::new();
    for kind in kinds {
        for at in &kind.at {
            let known = places.iter_mut().find(|p| (p.at - *at).hypot() < tolerance::COORDINATE);
            match known {
                Some(place) => {
                    place.letters = format!("{} {}", place.letters, kind.letter);
                    place.radius = place.radius.max(kind.radius);
                }
                None => places.push(LetteredPlace {
                    at: *at,
                    letters: kind.letter.clone(),
                    radius: kind.radius,
                }),
            }
        }
    }
    places
}

/// Long rows of like places, level or upright, with their ends only.
fn thinned(places: Vec<LetteredPlace>) -> Vec<LetteredPlace> {
    let level = keep_ends(places, |p| p.at.y, |p| p.at.x);
    keep_ends(level, |p| p.at.x, |p| p.at.y)
}

fn keep_ends(
    places: Vec<LetteredPlace>,
    line: impl Fn(&LetteredPlace) -> f64,
    along: impl Fn(&LetteredPlace) -> f64,
) -> Vec<LetteredPlace> {
    let in_row = |a: &LetteredPlace, b: &LetteredPlace| {
        a.letters == b.letters && (line(a) - line(b)).abs() < tolerance::COORDINATE
    };
    let keep: Vec<bool> = places
        .iter()
        .map(|place| {
            let row = || places.iter().filter(|other| in_row(place, other)).map(&along);
            let (first, last) = row().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
            row().count() <= LONG_ROW || along(place) <= first || along(place) >= last
        })
        .collect();
    places.into_iter().zip(keep).filter_map(|(place, keep)| keep.then_some(place)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!([0, 25, 26, 27, 52].map(small_letter), ["a", "z", "aa", "ab", "ba"]);
    }
}
