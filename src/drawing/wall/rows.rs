//! Rows of wall cleats with their joints and screws as far as nothing hangs before them, studs behind, free stretches.

use kurbo::{Point, Rect, Vec2};

use super::frame::dot;
use super::front::HolderFront;
use super::{FIGURE, WallScale, WallScene};
use crate::drawing::canvas::{Canvas, Care, Label};
use crate::drawing::picture::{PictureScale, strokes};
use crate::drawing::{Line, box_corners, cap_height};
use crate::solid::SeenLine;
use crate::style::Space;
use crate::wall::{FreeStretch, PlannedRow};

/// Radius of a screw's mark, in mm.
const SCREW: f64 = 0.4;

/// How far a stud's center line runs past the wall, in mm.
const PAST: f64 = 1.5;

/// From a wall cleat to the mark of a free stretch, how high the ends of that are, and white over it, in mm.
const BESIDE: f64 = 2.0;
const END: f64 = 1.0;
const WHITE: f64 = 0.8;

pub(super) fn draw(
    canvas: &mut Canvas,
    scene: &WallScene<'_>,
    scale: WallScale,
    fronts: &[HolderFront<'_>],
) {
    let past = |lines| fronts.iter().fold(lines, |lines, front| front.past(lines));
    for stud in &scene.wall.space.studs {
        let over = PAST / scale.shrink();
        let ends = [-over, scene.wall.space.height + over].map(|y| [*stud, y, 0.0]);
        for [from, to] in past(vec![ends]) {
            let [from, to] = [from, to].map(|[x, y, _]| scale.at(Point::new(x, y)));
            canvas.yielding(Line::Stud, from, to);
        }
    }
    let edges = scene.wall.rows.iter().flat_map(|row| cleat_edges(scene, row)).collect();
    let point = |[x, y, _]: Space| Point::new(x, y);
    let seen: Vec<SeenLine> = past(edges)
        .into_iter()
        .map(|[from, to]| SeenLine { from: point(from), to: point(to) })
        .collect();
    strokes(canvas, Line::Assembled, PictureScale(scale.shrink()), &seen);
    for place in screws(scene).filter(|place| fronts.iter().all(|front| front.shows(*place))) {
        dot(canvas, scale.at(point(place)), SCREW);
    }
}

/// The four edges of each cleat as it is seen from the front.
fn cleat_edges(scene: &WallScene<'_>, row: &PlannedRow) -> Vec<[Space; 2]> {
    let (width, deep) = (scene.shop.cleat.width, scene.shop.cleat.thickness);
    let edges = row.cleats.iter().flat_map(|cleat| {
        let corners = box_corners(Rect::new(cleat.from, row.height - width, cleat.to, row.height));
        let next = corners.into_iter().cycle().skip(1);
        corners.into_iter().zip(next).map(|ends| {
            let (from, to) = ends;
            [from, to].map(|at| [at.x, at.y, deep])
        })
    });
    edges.collect()
}

/// Where the screws of all cleats are, on their faces.
fn screws<'s>(scene: &'s WallScene<'_>) -> impl Iterator<Item = Space> + 's {
    let shop = scene.shop;
    let line = shop.cleat.screw_line(shop.wall.screw, shop.tape(shop.units));
    scene.wall.rows.iter().flat_map(move |row| {
        let y = row.height - shop.cleat.width + line;
        let screws = row.cleats.iter().flat_map(|cleat| &cleat.screws);
        screws.map(move |x| [*x, y, shop.cleat.thickness])
    })
}

/// Marks each free stretch with its length, above the cleat or below it, where there is room.
pub(super) fn mark_free(canvas: &mut Canvas, scene: &WallScene<'_>, scale: WallScale) {
    for FreeStretch { row, from, to } in &scene.wall.free {
        let Some(row) = scene.wall.rows.get(*row) else { continue };
        let text = format!("free {}", scene.units().bare_length(to - from));
        let label = Label::new(text, FIGURE);
        let [from, to, top, foot] = [*from, *to, row.height, row.height - scene.shop.cleat.width]
            .map(|place| place * scale.shrink());
        let rise = cap_height(FIGURE) / 2.0 + WHITE;
        let ways = [(top + BESIDE, 1.0), (foot - BESIDE, -1.0)];
        let free = ways.into_iter().find(|(y, up)| {
            let area = Rect::new(from, y - END, to, y + END).inset(-0.1);
            let middle = Point::new(from.midpoint(to), y + up * (rise + END));
            canvas.is_free(area, Care::Firm) && canvas.has_room(&label, middle, Care::Firm)
        });
        if let Some((y, up)) = free {
            canvas.line(Line::Way, Point::new(from, y), Point::new(to, y));
            for end in [from, to].map(|x| Point::new(x, y)) {
                canvas.line(Line::Dimension, end - Vec2::new(0.0, END), end + Vec2::new(0.0, END));
            }
            canvas.write(&label, Point::new(from.midpoint(to), y + up * (rise + END)));
        }
    }
}
