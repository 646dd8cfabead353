//! Holders on a wall by their numbers in rings, with their titles where there is room.

use kurbo::{Point, Rect, Size, Vec2};

use super::frame::on_paper;
use super::front::HolderFront;
use super::{FIGURE, WallScale};
use crate::drawing::canvas::{Canvas, Care, Label};
use crate::drawing::{Line, Path, cap_height, near};

/// Radius of a ring, and white between it and the title and round both, in mm.
const RING: f64 = 2.4;
const GAP: f64 = 0.9;
const CLEAR: f64 = 0.8;

/// Letter sizes of a number without a ring, in mm.
const BARE: [f64; 2] = [FIGURE, 2.1];

/// Writes each number, from 1 in the order of hanging: in a ring with the title, with the title alone, in a ring
/// alone, by itself, or beside the holder with a leader, whichever is the first that there is room for. None leaves the wall, which is `area` on paper.
/// The numbers that find no room.
pub(super) fn write(
    canvas: &mut Canvas,
    fronts: &[HolderFront<'_>],
    scale: WallScale,
    area: Rect,
) -> Vec<String> {
    let wanting = (1..).zip(fronts).filter(|(number, front)| {
        let [taken, wood] = [front.place.taken, front.place.wood].map(|of| on_paper(of, scale));
        let number = Label::new(number.to_string(), FIGURE).bold();
        let title = Label::new(front.title, FIGURE);
        let within = taken.intersect(area);
        !titled(canvas, &number, &title, within)
            && !plainly_titled(canvas, &number, &title, within)
            && !ringed_within(canvas, &number, within)
            && !bare(canvas, &number, within)
            && !led_out(canvas, &number, wood, area)
    });
    wanting.map(|(number, _): (usize, _)| number.to_string()).collect()
}

/// A ring, as wide as it is high.
fn ring() -> Size {
    Size::new(2.0 * RING, 2.0 * RING)
}

/// The place in `area` nearest to its middle where something of a size stands clear.
fn room(canvas: &Canvas, area: Rect, size: Size) -> Option<Point> {
    let (nearby, size) = (canvas.beside(area), size + Size::new(2.0 * CLEAR, 2.0 * CLEAR));
    let free = |middle| nearby.is_free(Rect::from_center_size(middle, size), Care::Firm);
    near::within(area, size, free)
}

fn titled(canvas: &mut Canvas, number: &Label, title: &Label, area: Rect) -> bool {
    let size = Size::new(ring().width + GAP + title.run(), ring().height);
    let Some(middle) = room(canvas, area, size) else { return false };
    let left = middle.x - size.width / 2.0;
    ringed(canvas, number, Point::new(left + RING, middle.y));
    let start = Point::new(left + ring().width + GAP, middle.y - cap_height(FIGURE) / 2.0);
    canvas.write_from(title, start);
    true
}

/// The number and the title without a ring, on one line.
fn plainly_titled(canvas: &mut Canvas, number: &Label, title: &Label, area: Rect) -> bool {
    let size = Size::new(number.run() + GAP + title.run(), cap_height(FIGURE));
    let Some(middle) = room(canvas, area, size) else { return false };
    let start = middle - (size.width / 2.0, size.height / 2.0);
    canvas.write_from(number, start);
    canvas.write_from(title, start + (number.run() + GAP, 0.0));
    true
}

fn ringed_within(canvas: &mut Canvas, number: &Label, area: Rect) -> bool {
    let Some(middle) = room(canvas, area, ring()) else { return false };
    ringed(canvas, number, middle);
    true
}

/// A number in its ring.
fn ringed(canvas: &mut Canvas, number: &Label, middle: Point) {
    canvas.stroke(Line::Furniture, Path::Circle { center: middle, radius: RING });
    canvas.write(number, middle);
}

fn bare(canvas: &mut Canvas, number: &Label, area: Rect) -> bool {
    let nearby = canvas.beside(area);
    let found = BARE.into_iter().find_map(|size| {
        let label = Label { size, ..number.clone() };
        let fits = |middle| nearby.has_room(&label, middle, Care::Firm);
        Some((near::within(area, label.extent(), fits)?, label))
    });
    let Some((middle, label)) = found else { return false };
    canvas.write(&label, middle);
    true
}

/// Beside its holder, with a leader to its wood.
fn led_out(canvas: &mut Canvas, number: &Label, wood: Rect, area: Rect) -> bool {
    let around = ring() + Size::new(2.0 * CLEAR, 2.0 * CLEAR);
    let free = |middle| {
        let room = Rect::from_center_size(middle, around);
        area.contains_rect(room) && canvas.is_free(room, Care::Firm)
    };
    let foot = |share| wood.origin() + Vec2::new(wood.width() * share, wood.height() / 2.0);
    let lead = near::lead(canvas, &[0.5, 0.2, 0.8].map(foot), ring() / 2.0, free);
    let Some(lead) = lead else { return false };
    lead.draw(canvas);
    ringed(canvas, number, lead.middle);
    true
}
