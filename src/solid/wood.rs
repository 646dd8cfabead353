//! The surfaces of parts and tools.

use kurbo::Point;

use super::cut::{CutPlane, beveled, cut};
use super::fill::filled;
use super::layers::{LevelFace, layers};
use super::ring::{Ring, RingPoint};
use super::shell::{Shell, ShellBuilder, ShellEdge};
use crate::holder::{Face, Part};
use crate::kernel::prism::Prism;
use crate::kernel::vector::{dot, minus};
use crate::style::Space;

/// How many sides stand in for a round rod.
const ROD_SIDES: usize = 48;

/// The cosine of the most by which two sides that stand in for one round side turn: 11 degrees.
const ROUND: f64 = 0.98;

/// The surface of a part as it lies on its back: x and y as in the part, z 0 at its show face and less below.
///
/// Milled areas, bevels and straight holes for tools are cut; what is bored for screws, pins and pegs is not, which is
/// filled once the holder stands.
pub(crate) fn part_shell(part: &Part) -> Shell {
    if part.is_round() {
        return rod(part);
    }
    let (layers, faces) = layers(part);
    let mut builder = ShellBuilder::default();
    for face in &faces {
        level(&mut builder, face);
    }
    for layer in &layers {
        for ring in layer.shapes.iter().flatten() {
            walls(&mut builder, ring, [-layer.to, -layer.from]);
        }
    }
    beveled(builder.finish(), part)
}

/// The surface of a solid that stands for a tool or a part of one, in the holder.
pub(crate) fn tool_shell(prism: &Prism) -> Shell {
    let corners: Vec<Space> = prism.corners().collect();
    let (near, far) = corners.split_at(corners.len() / 2);
    let mut builder = ShellBuilder::default();
    capped(&mut builder, &sharp(near), |at, end| if end == 0 { near[at] } else { far[at] });
    builder.finish()
}

/// What of a body lies in a level box. Where it goes on beyond, its end is closed and has no edges; `None` where nothing
/// is left.
pub(crate) fn broken_off(shell: Shell, (low, high): (Space, Space)) -> Option<Shell> {
    let ends = (0..3).flat_map(|axis| {
        let out = |sign: f64| std::array::from_fn(|i| if i == axis { sign } else { 0.0 });
        [CutPlane { out: out(1.0), at: high[axis] }, CutPlane { out: out(-1.0), at: -low[axis] }]
    });
    let mut left = shell;
    let mut ended = Vec::new();
    for end in ends {
        if left.points.iter().any(|place| end.beyond(*place) > 0.0) {
            left = cut(&left, end);
            ended.push(end);
        }
    }
    let points = &left.points;
    let is_end = |edge: &ShellEdge| {
        let on = |end: &CutPlane, point: u32| end.beyond(points[point as usize]) == 0.0;
        ended.iter().any(|end| edge.ends.iter().all(|point| on(end, *point)))
    };
    left.edges.retain(|edge| !is_end(edge));
    (!left.facets.is_empty()).then_some(left)
}

/// A round rod along x, of the area of its circle, its axis in the middle of the part's thickness and width.
fn rod(part: &Part) -> Shell {
    let (bounds, diameter) = (part.region.bounds(), part.stock.thickness);
    let step = std::f64::consts::TAU / ROD_SIDES as f64;
    let radius = diameter / 2.0 * (step / step.sin()).sqrt();
    let mut builder = ShellBuilder::default();
    let place = |at: usize, end: usize| {
        let (sin, cos) = (step * at as f64).sin_cos();
        let x = if end == 0 { bounds.x0 } else { bounds.x1 };
        [x, bounds.center().y + radius * cos, radius * sin - diameter / 2.0]
    };
    capped(&mut builder, &[false; ROD_SIDES], place);
    builder.finish()
}

/// Which corners of a flat polygon are sharp; the others stand in for a round side.
fn sharp(ring: &[Space]) -> Vec<bool> {
    let count = ring.len();
    let side = |at: usize| minus(ring[(at + 1) % count], ring[at % count]);
    let turns = |at: usize| {
        let (before, after) = (side(at + count - 1), side(at));
        dot(before, after) < ROUND * (dot(before, before) * dot(after, after)).sqrt()
    };
    (0..count).map(turns).collect()
}

/// A convex prism: `place` tells where a corner of the base lies at either end; seen from beyond the far end the
/// corners go round counter-clockwise.
fn capped(builder: &mut ShellBuilder, sharp: &[bool], place: impl Fn(usize, usize) -> Space) {
    let count = sharp.len();
    for end in [0, 1] {
        let surface = builder.surface();
        let corners: Vec<u32> = (0..count).map(|at| builder.point(place(at, end))).collect();
        for at in 1..count.saturating_sub(1) {
            let (a, b, c) = (corners[0], corners[at], corners[at + 1]);
            builder.facet(if end == 0 { [a, c, b] } else { [a, b, c] }, surface);
        }
    }
    let mut surface = builder.surface();
    for (at, sharp) in sharp.iter().enumerate() {
        if *sharp {
            surface = builder.surface();
        }
        let next = (at + 1) % count;
        let corners = [(at, 0), (next, 0), (next, 1), (at, 1)];
        let [a, b, c, d] = corners.map(|(at, end)| builder.point(place(at, end)));
        builder.facet([a, b, c], surface);
        builder.facet([a, c, d], surface);
    }
}

/// A level face.
fn level(builder: &mut ShellBuilder, face: &LevelFace) {
    let surface = builder.surface();
    for shape in &face.shapes {
        let rings: Vec<Vec<Point>> =
            shape.iter().map(|ring| ring.iter().map(|point| point.at).collect()).collect();
        let places: Vec<Point> = rings.iter().flatten().copied().collect();
        for [a, b, c] in filled(&rings) {
            let [a, b, c] = [a, b, c].map(|at| {
                let Point { x, y } = places[at];
                builder.point([x, y, -face.depth])
            });
            builder.facet(if face.looks == Face::Show { [a, b, c] } else { [a, c, b] }, surface);
        }
    }
}

/// The walls of a ring from one height to another: outside is at the right of the way round.
fn walls(builder: &mut ShellBuilder, ring: &Ring, [low, high]: [f64; 2]) {
    let first = ring.iter().position(|point| point.sharp).unwrap_or(0);
    let turned: Vec<RingPoint> =
        ring.iter().cycle().skip(first).take(ring.len()).copied().collect();
    let mut surface = builder.surface();
    let next = turned.iter().cycle().skip(1);
    for (from, to) in turned.iter().zip(next) {
        if from.sharp {
            surface = builder.surface();
        }
        let corners = [(from.at, low), (to.at, low), (to.at, high), (from.at, high)];
        let [a, b, c, d] = corners.map(|(at, z)| builder.point([at.x, at.y, z]));
        builder.facet([a, b, c], surface);
        builder.facet([a, c, d], surface);
    }
}
