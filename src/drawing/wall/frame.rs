//! The wall itself: its ends and floor, its studs, how high its rows are, what is in the way.

use kurbo::{Point, Rect, Size, Vec2};

use super::{FIGURE, WallScale, WallScene};
use crate::drawing::canvas::{Canvas, Care, Label};
use crate::drawing::dimension::{GAP, OVERSHOOT, arrow};
use crate::drawing::hatch::hatch_with;
use crate::drawing::near::{self, spread};
use crate::drawing::{Line, Path, box_corners, cap_height};
use crate::kernel::Contour;
use crate::wall::WallObstacle;

/// From the wall's top to the figures of its studs, from one figure to the next, in mm.
const LIFT: f64 = 2.2;
const PITCH: f64 = 4.0;

/// From the wall's left end to the line along which heights run, and to their figures, in mm.
const UP: f64 = 4.0;
const FIGURES: f64 = 9.0;

/// How far the floor is drawn past the wall, in mm.
const FLOOR: f64 = 3.0;

pub(super) fn draw(canvas: &mut Canvas, scene: &WallScene<'_>, scale: WallScale) {
    let area = scene.area(scale);
    canvas.rectangle(Line::Furniture, area);
    let floor = [area.x0 - FLOOR, area.x1 + FLOOR].map(|x| Point::new(x, 0.0));
    canvas.line(Line::Outline, floor[0], floor[1]);
    for obstacle in &scene.wall.space.obstacles {
        let area = on_paper(obstacle.area, scale);
        canvas.rectangle(Line::Scribe, area);
        hatch_with(canvas, Line::Standing, &box_corners(area));
    }
    heights(canvas, scene, scale);
    stud_figures(canvas, scene, scale);
}

pub(super) fn on_paper(area: Rect, scale: WallScale) -> Rect {
    area.scale_from_origin(scale.shrink())
}

/// From the floor to the top edge of each row, as running dimensions (ISO 129-1): one line, from a ring at the floor.
fn heights(canvas: &mut Canvas, scene: &WallScene<'_>, scale: WallScale) {
    let rows = &scene.wall.rows;
    let Some(highest) = rows.last() else { return };
    let up = |height: f64| Point::new(-UP, height * scale.shrink());
    canvas.line(Line::Dimension, up(0.0), up(highest.height));
    canvas.stroke(Line::Dimension, Path::Circle { center: up(0.0), radius: 0.9 });
    let wanted = rows.iter().map(|row| row.height * scale.shrink());
    for ((number, row), y) in (1..).zip(rows).zip(spread(wanted, PITCH)) {
        let tip = up(row.height);
        arrow(canvas, tip, Vec2::new(0.0, -1.0));
        let text = format!("row {number}: {}", scene.units().bare_length(row.height));
        let label = Label::new(text, FIGURE);
        let end = Point::new(-FIGURES, y);
        canvas.line(Line::Dimension, Point::new(-GAP, tip.y), tip - Vec2::new(OVERSHOOT, 0.0));
        canvas.line(Line::Dimension, tip - Vec2::new(OVERSHOOT, 0.0), end);
        canvas.write(&label, end - Vec2::new(label.run() / 2.0 + 1.0, 0.0));
    }
}

/// The number of each stud and how far from the left corner its middle is: level where there is room, else upright; of a
/// wall of more studs than there is room for, some.
fn stud_figures(canvas: &mut Canvas, scene: &WallScene<'_>, scale: WallScale) {
    let (space, units) = (&scene.wall.space, scene.units());
    let (width, top) = (space.width * scale.shrink(), space.height * scale.shrink());
    let every = (space.studs.len() as f64 * PITCH / width).ceil().max(1.0) as usize;
    let studs = || (1..).zip(&space.studs).step_by(every);
    let at: Vec<f64> = studs().map(|(_, stud)| stud * scale.shrink()).collect();
    let told = studs().map(|(number, stud): (usize, _)| {
        let name = format!("{} {number}", scene.shop.wall.held_by());
        [name, units.bare_length(*stud)].map(|text| Label::new(text, FIGURE))
    });
    let told: Vec<[Label; 2]> = told.collect();
    let widest = told.iter().flatten().map(Label::run).fold(0.0, f64::max);
    let level = at.windows(2).all(|pair| pair[1] - pair[0] > widest + 2.0);
    for ((x, lines), moved) in at.iter().zip(&told).zip(spread(at.iter().copied(), PITCH)) {
        let foot = Point::new(*x, top + GAP);
        if level {
            let middle = top + LIFT + cap_height(FIGURE) / 2.0;
            canvas.write(&lines[1], Point::new(*x, middle));
            canvas.write(&lines[0], Point::new(*x, middle + 1.5 * FIGURE));
        } else {
            let text = format!("{}: {}", lines[0].text, lines[1].text);
            let label = Label::new(text, FIGURE).upright(true);
            let end = Point::new(moved, top + 2.0 * LIFT);
            canvas.line(Line::Leader, foot, end);
            canvas.write(&label, end + Vec2::new(0.0, label.run() / 2.0 + 1.0));
        }
    }
}

/// What is in the way by its name: on it where there is room, else beside it; the names that find none.
pub(super) fn name_obstacles(
    canvas: &mut Canvas,
    scene: &WallScene<'_>,
    scale: WallScale,
) -> Vec<String> {
    let obstacles = scene.wall.space.obstacles.iter();
    let nameless = obstacles.filter(|WallObstacle { name, area }| {
        let (label, area) = (Label::new(name.as_str(), FIGURE), on_paper(*area, scale));
        !name.is_empty()
            && !name_within(canvas, &label, area)
            && !name_beside(canvas, &label, area, scene.area(scale))
    });
    nameless.map(|obstacle| obstacle.name.clone()).collect()
}

fn name_within(canvas: &mut Canvas, label: &Label, area: Rect) -> bool {
    let [level, upright] = [label.clone(), label.clone().upright(true)];
    let found = [level, upright].into_iter().find_map(|label| {
        let size = label.room(Point::ORIGIN).size() + Size::new(2.0, 2.0);
        let fits = |place| canvas.has_room(&label, place, Care::Firm);
        Some((near::within(area, size, fits)?, label))
    });
    let Some((place, label)) = found else { return false };
    canvas.write(&label, place);
    true
}

fn name_beside(canvas: &mut Canvas, label: &Label, area: Rect, wall: Rect) -> bool {
    let free = |middle| {
        wall.contains_rect(label.room(middle)) && canvas.has_room(label, middle, Care::All)
    };
    let lead = near::lead(canvas, &[area.center()], near::half_of(label), free);
    let Some(lead) = lead else { return false };
    lead.draw(canvas);
    canvas.write(label, lead.middle);
    true
}

/// A dot.
pub(super) fn dot(canvas: &mut Canvas, at: Point, radius: f64) {
    canvas.fill(Contour::circle(at, radius));
}
