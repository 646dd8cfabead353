//! How much wood two pieces share, as prisms: the sections are measured with `geo`, which has no
//! part in making them.

use crate::holder::{Part, Placement};
use crate::tolerance::FLATTENING;
use geo::{Area, BooleanOps, Coord, LineString, MultiPolygon, Polygon};
use kurbo::Point;

use super::space::{axis, filled, in_space};

/// Less than this is nothing, in mm³.
pub const NOTHING: f64 = 1e-6;

type Piece<'a> = (&'a Part, &'a Placement);

/// The volume two straight pieces share, in mm³.
pub fn shared(a: Piece<'_>, b: Piece<'_>) -> f64 {
    let ((a0, a1), (b0, b1)) = (filled(a.1), filled(b.1));
    let low: [f64; 3] = std::array::from_fn(|i| a0[i].max(b0[i]));
    let high: [f64; 3] = std::array::from_fn(|i| a1[i].min(b1[i]));
    if (0..3).any(|i| high[i] - low[i] <= 1e-7) {
        return 0.0;
    }
    let (along_a, along_b) = (axis(a.1.faces), axis(b.1.faces));
    if along_a == along_b {
        let [p, q] = others(along_a);
        let common = section(a, p, q).intersection(&section(b, p, q));
        return common.unsigned_area() * (high[along_a] - low[along_a]);
    }
    // Square to each other: at every place along the third axis the shared section is a box.
    let across = 3 - along_a - along_b;
    let sections = [section(a, across, along_b), section(b, across, along_a)];
    let widths = |at: f64| {
        inside(&sections[0], at, low[along_b], high[along_b])
            * inside(&sections[1], at, low[along_a], high[along_a])
    };
    let mut steps: Vec<f64> = sections.iter().flat_map(corners).collect();
    steps.retain(|at| *at > low[across] && *at < high[across]);
    steps.extend([low[across], high[across]]);
    steps.sort_by(f64::total_cmp);
    // Between two corners each width runs straight, so that Simpson's rule is exact.
    let slice = |pair: &[f64]| {
        let (from, to) = (pair[0], pair[1]);
        let edge = (to - from) * 1e-6;
        (to - from) / 6.0
            * (widths(from + edge) + 4.0 * widths(from.midpoint(to)) + widths(to - edge))
    };
    steps.windows(2).filter(|pair| pair[1] - pair[0] > 1e-7).map(slice).sum()
}

fn others(axis: usize) -> [usize; 2] {
    [[1, 2], [0, 2], [0, 1]][axis]
}

/// A piece's wood seen along its thickness, with the space axes `p` and `q` for x and y.
fn section((part, place): Piece<'_>, p: usize, q: usize) -> MultiPolygon<f64> {
    let ring = |points: Vec<Point>| {
        let placed = points.into_iter().map(|point| {
            let at = in_space(place, point, 0.0);
            Coord { x: at[p], y: at[q] }
        });
        LineString::new(placed.collect())
    };
    let outline = ring(part.region.outline().flatten(FLATTENING));
    let openings = part.region.openings().iter().map(|o| ring(o.flatten(FLATTENING))).collect();
    MultiPolygon::new(vec![Polygon::new(outline, openings)])
}

/// How much of the line at x = `at`, from y = `low` to `high`, lies in the section: between its
/// crossings with the rings, two by two.
fn inside(section: &MultiPolygon<f64>, at: f64, low: f64, high: f64) -> f64 {
    let mut crossings: Vec<f64> = rings(section)
        .flat_map(LineString::lines)
        .filter(|line| (line.start.x < at) != (line.end.x < at))
        .map(|line| line.start.y + line.slope() * (at - line.start.x))
        .map(|y| y.clamp(low, high))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings.chunks(2).map(|pair| pair[1] - pair[0]).sum()
}

fn corners(section: &MultiPolygon<f64>) -> Vec<f64> {
    rings(section).flat_map(|ring| ring.coords().map(|c| c.x)).collect()
}

fn rings(section: &MultiPolygon<f64>) -> impl Iterator<Item = &LineString<f64>> {
    section.iter().flat_map(|p| std::iter::once(p.exterior()).chain(p.interiors()))
}
