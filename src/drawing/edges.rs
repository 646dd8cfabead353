//! Names of the part's edges, written along them outside the part.

use kurbo::{Point, Rect, Vec2};

use super::canvas::{Canvas, Label};
use super::table::wrap;
use crate::holder::{Edge, Part};

/// Letter size and line pitch, in mm.
const SIZE: f64 = 3.5;
const PITCH: f64 = 4.8;

/// White between the edge and its name, in mm.
const GAP: f64 = 1.8;

/// Writes the name of `edge`, if it has one, in the middle of it. Returns the room it takes.
pub(super) fn write(canvas: &mut Canvas, part: &Part, edge: Edge) -> Option<Rect> {
    let names: Vec<&str> = part
        .edges
        .iter()
        .filter(|name| name.edge == edge && !name.label.trim().is_empty())
        .map(|name| name.label.trim())
        .collect();
    let area = part.region.bounds();
    let upright = matches!(edge, Edge::Left | Edge::Right);
    let run = if upright { area.height() } else { area.width() };
    let lines: Vec<Label> = wrap(&names.join(", "), SIZE, false, run.max(12.0))
        .into_iter()
        .map(|line| Label::new(line, SIZE).upright(upright))
        .collect();
    let ways = SHIFTS.iter().flat_map(|shift| [false, true].map(|inside| (*shift, inside)));
    let mut ways = ways.map(|(share, inside)| {
        let along = if upright { Vec2::new(0.0, share * run) } else { Vec2::new(share * run, 0.0) };
        move |rank| {
            along
                + if inside { within(area, edge, rank) } else { place(area, edge, rank) }.to_vec2()
        }
    });
    ways.find_map(|place| stand(canvas, &lines, edge, &|rank| place(rank).to_point()))
}

/// How far from the middle of its edge a name may stand, in shares of the edge.
const SHIFTS: [f64; 7] = [0.0, 0.12, -0.12, 0.24, -0.24, 0.36, -0.36];

/// Writes `lines` where `place` says that a line of some rank stands, and returns the room that they take; writes
/// nothing where one of them may not stand there.
fn stand(
    canvas: &mut Canvas,
    lines: &[Label],
    edge: Edge,
    place: &dyn Fn(usize) -> Point,
) -> Option<Rect> {
    let last = lines.len().saturating_sub(1);
    // The first line reads on top: at the top and at the left it stands furthest out.
    let rank = |i: usize| if matches!(edge, Edge::Top | Edge::Left) { last - i } else { i };
    let centers: Vec<Point> = (0..lines.len()).map(|i| place(rank(i))).collect();
    let rooms = || lines.iter().zip(&centers).map(|(line, center)| line.room(*center));
    if !rooms().all(|room| canvas.takes(room)) {
        return None;
    }
    lines.iter().zip(&centers).for_each(|(line, center)| canvas.write(line, *center));
    rooms().reduce(|a, b| a.union(b))
}

/// The same on the wood, where there is no room outside.
fn within(area: Rect, edge: Edge, rank: usize) -> Point {
    let outside = place(area, edge, rank);
    match edge {
        Edge::Bottom => Point::new(outside.x, 2.0 * area.y0 - outside.y),
        Edge::Top => Point::new(outside.x, 2.0 * area.y1 - outside.y),
        Edge::Left => Point::new(2.0 * area.x0 - outside.x, outside.y),
        Edge::Right => Point::new(2.0 * area.x1 - outside.x, outside.y),
    }
}

/// Where the middle of the line of rank `rank` stands.
fn place(area: Rect, edge: Edge, rank: usize) -> Point {
    let out = GAP + super::cap_height(SIZE) / 2.0 + rank as f64 * PITCH;
    // Descenders reach toward the part at the top and at the left.
    let down = GAP / 3.0;
    match edge {
        Edge::Bottom => Point::new(area.center().x, area.y0 - out),
        Edge::Top => Point::new(area.center().x, area.y1 + out + down),
        Edge::Left => Point::new(area.x0 - out - down, area.center().y),
        Edge::Right => Point::new(area.x1 + out, area.center().y),
    }
}
