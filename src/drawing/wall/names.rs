//! Holders on a wall by their numbers in rings, with their titles where there is room.

use kurbo::{Point, Rect, Size, Vec2};

use super::frame::on_paper;
use super::front::HolderFront;
use super::{FIGURE, WallScale};
use crate::drawing::canvas::{Canvas, Care, Label};
use crate::drawing::near::{self, Lead};
use crate::drawing::{Line, Path, cap_height};

/// Radius of a ring, and white between it and the title and round both, in mm.
const RING: f64 = 2.4;
const GAP: f64 = 0.9;
const CLEAR: f64 = 0.8;

/// Writes each number, from 1 in the order of hanging; none leaves the wall, which is `area` on paper.
pub(super) fn write(canvas: &mut Canvas, fronts: &[HolderFront<'_>], scale: WallScale, area: Rect) {
    for (number, front) in (1..).zip(fronts) {
        let taken = on_paper(front.place.taken, scale).intersect(area);
        let title = Label::new(front.title, FIGURE);
        let ring = Size::new(2.0 * RING, 2.0 * RING);
        let both = Size::new(ring.width + GAP + title.run(), ring.height);
        let nearby = canvas.beside(taken);
        let room = |size: Size| {
            let fits = |middle| nearby.is_free(around(middle, size), Care::Firm);
            near::within(taken, size + Size::new(2.0 * CLEAR, 2.0 * CLEAR), fits)
        };
        if let Some(middle) = room(both) {
            let left = middle.x - both.width / 2.0;
            ringed(canvas, number, Point::new(left + RING, middle.y));
            let start = Point::new(left + ring.width + GAP, middle.y - cap_height(FIGURE) / 2.0);
            canvas.write_from(&title, start);
        } else if let Some(middle) = room(ring) {
            ringed(canvas, number, middle);
        } else {
            lead_out(canvas, number, on_paper(front.place.wood, scale), area);
        }
    }
}

fn around(middle: Point, size: Size) -> Rect {
    Rect::from_center_size(middle, size).inflate(CLEAR, CLEAR)
}

/// A number in its ring.
fn ringed(canvas: &mut Canvas, number: usize, middle: Point) {
    canvas.stroke(Line::Furniture, Path::Circle { center: middle, radius: RING });
    canvas.write(&Label::new(number.to_string(), FIGURE).bold(), middle);
}

/// Beside its holder, with a leader to its wood.
fn lead_out(canvas: &mut Canvas, number: usize, wood: Rect, area: Rect) {
    let ring = Size::new(2.0 * RING, 2.0 * RING);
    let free = |middle| {
        let room = around(middle, ring);
        area.contains_rect(room) && canvas.is_free(room, Care::Firm)
    };
    let feet = [0.5, 0.2, 0.8]
        .map(|share| wood.origin() + Vec2::new(wood.width() * share, wood.height() / 2.0));
    let half = Size::new(RING, RING);
    if let Some(lead) = near::lead(canvas, &feet, half, free) {
        Lead::draw(&lead, canvas);
        ringed(canvas, number, lead.middle);
    }
}
