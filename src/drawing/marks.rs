//! What is scribed, not cut: footprints, center lines, saw lines, screws in an edge.

use kurbo::Point;

use super::Line;
use super::canvas::{Canvas, Care, Label, LabelSize};
use super::near::{self, WoodArea};
use super::words;
use crate::holder::{Face, Mark, MarkKind, Part};

/// Letter size of a label, in mm.
const SIZE: f64 = 3.0;

/// Draws the lines of all marks.
pub(super) fn draw(canvas: &mut Canvas, part: &Part) {
    for mark in &part.marks {
        match mark.kind {
            MarkKind::Footprint { area, face: Face::Show } => canvas.rectangle(Line::Scribe, area),
            MarkKind::Footprint { area, face: Face::Back } => canvas.rectangle(Line::Hidden, area),
            MarkKind::Center { from, to } => canvas.yielding(Line::Center, from, to),
            MarkKind::Saw { from, to } => canvas.line(Line::Saw, from, to),
            MarkKind::Scribe { from, to } => canvas.line(Line::Scribe, from, to),
            MarkKind::EdgeScrew { from, to, .. } => canvas.line(Line::Hidden, from, to),
        }
    }
}

/// Writes their labels: a landing's inside it, a line's beside it, like lines one for all.
pub(super) fn write_labels(canvas: &mut Canvas, part: &Part, wood: &WoodArea) {
    for (i, mark) in part.marks.iter().enumerate() {
        let words = words::mark(mark);
        if words.is_empty() {
            continue;
        }
        if let MarkKind::Footprint { area, face } = mark.kind {
            let text = match face {
                Face::Show => words.into_owned(),
                Face::Back => format!("{words} (on the back)"),
            };
            write_inside(canvas, &Label::new(text, SIZE), area, wood);
            continue;
        }
        let earlier = part.marks.iter().take(i);
        if earlier.into_iter().any(|other| same_sort(other, mark)) {
            continue;
        }
        let count = part.marks.iter().filter(|other| same_sort(other, mark)).count();
        let text = if count > 1 { format!("{count} × {words}") } else { words.into_owned() };
        write_beside(canvas, &Label::new(text, SIZE), mark, wood);
    }
}

/// Whether one label does for both.
fn same_sort(a: &Mark, b: &Mark) -> bool {
    std::mem::discriminant(&a.kind) == std::mem::discriminant(&b.kind)
        && words::mark(a) == words::mark(b)
}

fn write_inside(canvas: &mut Canvas, label: &Label, area: kurbo::Rect, wood: &WoodArea) {
    let ways = [(Care::All, false), (Care::All, true), (Care::Firm, false), (Care::Firm, true)];
    for (care, upright) in ways {
        let label = label.clone().upright(upright);
        let size = LabelSize::of(&label);
        let place = near::within(area.inset(-1.2), label.extent(), |place| {
            canvas.has_room_for(&size, place, care)
        });
        if let Some(place) = place {
            canvas.write(&label, place);
            return;
        }
    }
    near::write_around(canvas, label, area.center(), 0.0, Some(wood));
}

fn write_beside(canvas: &mut Canvas, label: &Label, mark: &Mark, wood: &WoodArea) {
    let (from, to): (Point, Point) = match mark.kind {
        MarkKind::Footprint { .. } => return,
        MarkKind::Center { from, to }
        | MarkKind::Saw { from, to }
        | MarkKind::Scribe { from, to }
        | MarkKind::EdgeScrew { from, to, .. } => (from, to),
    };
    if !near::write_along(canvas, label, from, to) {
        near::write_around(canvas, label, from.midpoint(to), 0.0, Some(wood));
    }
}
