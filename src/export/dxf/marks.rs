//! Lines to scribe and their labels.

use kurbo::{Affine, Point, Rect, Vec2};

use super::{DxfText, Entity, JobLayer, Shape, WordsAt};
use crate::drawing::words;
use crate::holder::{Drilling, Face, Mark, MarkKind, Part};
use crate::tolerance;

/// Height of a label's capital letters in mm, where there is room (a size of ISO 3098).
const LABEL_HEIGHT: f64 = 3.5;

/// Half the size of the cross at the middle of a hole that the machine can't bore, in mm.
const CROSS: f64 = 3.0;

/// A line to scribe, or the way of a hidden screw.
struct MarkLine {
    layer: JobLayer,
    from: Point,
    to: Point,
}

/// The marks of a part with `up` up as lines with their labels beside them, brought to their place by `map`. Where
/// marks share an edge, as two footprints side by side do, it is drawn once.
pub(super) fn entities(part: &Part, up: Face, map: Affine) -> Vec<Entity> {
    let mut lines: Vec<MarkLine> = Vec::new();
    let leaning = part.drillings.iter().filter(|drilling| drilling.lean != 0.0);
    let crosses = leaning.clone().flat_map(|drilling| cross(drilling, up));
    for line in part.marks.iter().flat_map(|mark| lines_of(mark, up)).chain(crosses) {
        if !near(line.from, line.to) && !lines.iter().any(|known| known.is(&line)) {
            lines.push(line);
        }
    }
    let lines = lines.into_iter().map(|MarkLine { layer, from, to }| Entity {
        layer,
        shape: Shape::Line { from: map * from, to: map * to },
    });
    let labels = part
        .marks
        .iter()
        .map(|mark| (mark, words::mark(mark)))
        .filter(|(_, words)| !words.is_empty())
        .map(|(mark, words)| (words_layer(mark, up), label(mark, &words, map)));
    let leans = leaning.map(|drilling| (JobLayer::Note, lean(drilling, map)));
    let labels = labels.chain(leans);
    let labels = labels.map(|(layer, text)| Entity { layer, shape: Shape::Text(text) });
    lines.chain(labels).collect()
}

/// The layer of marks on `face` with `up` up.
fn layer_on(face: Face, up: Face) -> JobLayer {
    if face == up { JobLayer::Mark } else { JobLayer::MarkBelow }
}

/// Words on a line to scribe are scribed too; all others are notes.
fn words_layer(mark: &Mark, up: Face) -> JobLayer {
    match mark.kind {
        MarkKind::Scribe { .. } => layer_on(Face::Show, up),
        _ => JobLayer::Note,
    }
}

fn lines_of(mark: &Mark, up: Face) -> Vec<MarkLine> {
    let on = |face| move |from, to| MarkLine { layer: layer_on(face, up), from, to };
    match mark.kind {
        MarkKind::Footprint { area, face } => {
            let corners = corners(area);
            let next = corners.iter().cycle().skip(1);
            corners.iter().zip(next).map(|(a, b)| on(face)(*a, *b)).collect()
        }
        MarkKind::Center { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to } => vec![on(Face::Show)(from, to)],
        MarkKind::EdgeScrew { from, to, .. } => {
            vec![MarkLine { layer: JobLayer::Note, from, to }]
        }
    }
}

/// The middle of a leaning hole: a machine that moves in three axes can mark it and no more.
fn cross(drilling: &Drilling, up: Face) -> [MarkLine; 2] {
    [Vec2::new(CROSS, 0.0), Vec2::new(0.0, CROSS)].map(|arm| MarkLine {
        layer: layer_on(drilling.face, up),
        from: drilling.at - arm,
        to: drilling.at + arm,
    })
}

fn lean(drilling: &Drilling, map: Affine) -> DxfText {
    DxfText {
        at: map * drilling.at + Vec2::new(0.0, CROSS + 1.0),
        words: format!("bore by hand, leaning {:.1} degrees", drilling.lean.abs()),
        height: LABEL_HEIGHT,
        turn: 0.0,
        place: WordsAt::BottomMiddle,
    }
}

fn corners(area: Rect) -> [Point; 4] {
    let Rect { x0, y0, x1, y1 } = area;
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from)
}

fn label(mark: &Mark, words: &str, map: Affine) -> DxfText {
    match mark.kind {
        MarkKind::Footprint { area, .. } => label_in(map.transform_rect_bbox(area), words),
        MarkKind::Center { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to }
        | MarkKind::EdgeScrew { from, to, .. } => label_on(map * from, map * to, words),
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

impl MarkLine {
    /// Whether it is drawn where `other` is, in either direction.
    fn is(&self, other: &Self) -> bool {
        let ends = |from, to| near(self.from, from) && near(self.to, to);
        self.layer == other.layer && (ends(other.from, other.to) || ends(other.to, other.from))
    }
}

fn near(a: Point, b: Point) -> bool {
    (a - b).hypot() <= tolerance::COORDINATE
}
