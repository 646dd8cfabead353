//! Lines to scribe and their labels.

use kurbo::{Point, Rect};

use super::{DxfLayer, DxfText, Entity, Shape, WordsAt};
use crate::drawing::words;
use crate::holder::{Face, Mark, MarkKind};
use crate::tolerance;

/// Height of a label's capital letters in mm, where there is room (a size of ISO 3098).
const LABEL_HEIGHT: f64 = 3.5;

/// The marks as lines with their labels beside them. Where marks share an edge, as two footprints
/// side by side do, it is drawn once.
pub(super) fn entities(marks: &[Mark]) -> Vec<Entity> {
    let mut lines: Vec<(DxfLayer, Point, Point)> = Vec::new();
    for (layer, from, to) in marks.iter().flat_map(lines_of) {
        let known = |line: &(DxfLayer, Point, Point)| line.0 == layer && same(line, from, to);
        if !near(from, to) && !lines.iter().any(known) {
            lines.push((layer, from, to));
        }
    }
    let lines = lines
        .into_iter()
        .map(|(layer, from, to)| Entity { layer, shape: Shape::Line { from, to } });
    let labels = marks
        .iter()
        .map(|mark| (mark, words::mark(mark)))
        .filter(|(_, words)| !words.is_empty())
        .map(|(mark, words)| Entity {
            layer: DxfLayer::Note,
            shape: Shape::Text(label(mark, &words)),
        });
    lines.chain(labels).collect()
}

fn lines_of(mark: &Mark) -> Vec<(DxfLayer, Point, Point)> {
    match mark.kind {
        MarkKind::Footprint { area, face } => {
            let corners = corners(area);
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).map(|(a, b)| (DxfLayer::Mark(face), *a, *b)).collect()
        }
        MarkKind::Center { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to } => {
            vec![(DxfLayer::Mark(Face::Show), from, to)]
        }
        MarkKind::EdgeScrew { from, to, .. } => vec![(DxfLayer::Note, from, to)],
    }
}

fn corners(area: Rect) -> [Point; 4] {
    let Rect { x0, y0, x1, y1 } = area;
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from)
}

fn label(mark: &Mark, words: &str) -> DxfText {
    match mark.kind {
        MarkKind::Footprint { area, .. } => label_in(area, words),
        MarkKind::Center { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to }
        | MarkKind::EdgeScrew { from, to, .. } => label_on(from, to, words),
    }
}

/// Words in the lower left corner of a rectangle, clear of its center line, along its longer
/// side and small enough to fit.
fn label_in(area: Rect, words: &str) -> DxfText {
    /// Width of a letter of the plain DXF font over its height, spacing included.
    const LETTER: f64 = 1.0;
    let upright = area.height() > area.width();
    let (long, short) = (area.width().max(area.height()), area.width().min(area.height()));
    let room = (long / (LETTER * words.chars().count().max(1) as f64)).min(short / 2.0);
    let height = (0.8 * room).clamp(1.0, LABEL_HEIGHT);
    let (right, turn) = if upright { (1.5, 90.0) } else { (0.5, 0.0) };
    DxfText {
        at: Point::new(area.x0 + right * height, area.y0 + 0.5 * height),
        words: words.to_owned(),
        height,
        turn,
        place: WordsAt::Start,
    }
}

/// Words on a line, at its middle, to be read from below or from the right.
fn label_on(from: Point, to: Point, words: &str) -> DxfText {
    let way = to - from;
    let angle = way.atan2().to_degrees();
    let turn = if angle > 90.5 {
        angle - 180.0
    } else if angle <= -89.5 {
        angle + 180.0
    } else {
        angle
    };
    DxfText {
        at: from.midpoint(to),
        words: words.to_owned(),
        height: LABEL_HEIGHT,
        turn,
        place: WordsAt::BottomMiddle,
    }
}

fn same(line: &(DxfLayer, Point, Point), from: Point, to: Point) -> bool {
    let (_, a, b) = *line;
    near(a, from) && near(b, to) || near(a, to) && near(b, from)
}

fn near(a: Point, b: Point) -> bool {
    (a - b).hypot() <= tolerance::COORDINATE
}
