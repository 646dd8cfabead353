//! A body cut along a plane.

use std::collections::HashMap;

use kurbo::Point;

use super::fill::filled;
use super::shell::{Facet, Shell, ShellBuilder};
use crate::holder::{Bevel, Edge, Face, Part};
use crate::kernel::convex::{double_area, is_inside};
use crate::kernel::vector::dot;
use crate::style::Space;

/// Nearer to the plane than this, in mm, a point lies on it.
const ON: f64 = 1e-7;

/// A plane: what is kept lies at most `at` along `out`.
#[derive(Debug, Clone, Copy)]
pub(super) struct CutPlane {
    pub out: Space,
    pub at: f64,
}

impl CutPlane {
    /// Through the sharp edge of a bevel, which lies on the face that keeps its width.
    fn of(part: &Part, bevel: Bevel) -> Self {
        let (bounds, thickness) = (part.region.bounds(), part.stock.thickness);
        let slope = bevel.angle.to_radians().tan();
        let (up, y) = if bevel.edge == Edge::Bottom { (-1.0, bounds.y0) } else { (1.0, bounds.y1) };
        let (toward, z) = match bevel.full_face {
            Face::Show => (-slope, 0.0),
            Face::Back => (slope, -thickness),
        };
        Self { out: [0.0, up, toward], at: up * y + toward * z }
    }

    /// How far a place is beyond the plane, in lengths of `out`; 0 on it.
    pub(super) fn beyond(&self, place: Space) -> f64 {
        let beyond = dot(self.out, place) - self.at;
        if beyond.abs() < ON { 0.0 } else { beyond }
    }

    /// A place on the plane as it is seen from outside along the axis that it is most square to.
    fn seen(&self, place: Space) -> Point {
        let axis = (0..3).max_by(|a, b| self.out[*a].abs().total_cmp(&self.out[*b].abs()));
        let axis = axis.unwrap_or(0);
        let (right, up) = (place[(axis + 1) % 3], place[(axis + 2) % 3]);
        if self.out[axis] < 0.0 { Point::new(up, right) } else { Point::new(right, up) }
    }
}

/// The part's surface with its bevel sawn.
pub(super) fn beveled(shell: Shell, part: &Part) -> Shell {
    match part.bevel {
        Some(bevel) if bevel.angle > 0.0 => cut(&shell, CutPlane::of(part, bevel)),
        _ => shell,
    }
}

/// What of a body is not beyond a plane, closed there.
pub(super) fn cut(shell: &Shell, plane: CutPlane) -> Shell {
    let mut builder = ShellBuilder::default();
    let surfaces = shell.facets.iter().map(|facet| facet.surface).max().unwrap_or(0);
    for _ in 0..surfaces {
        builder.surface();
    }
    let mut open: HashMap<u32, u32> = HashMap::new();
    for facet in &shell.facets {
        let kept = kept(shell, facet, plane);
        let corners: Vec<u32> = kept.iter().map(|place| builder.point(*place)).collect();
        for at in 1..corners.len().saturating_sub(1) {
            builder.facet([corners[0], corners[at], corners[at + 1]], facet.surface);
        }
        let next = corners.iter().cycle().skip(1);
        let on = |place: &Space| plane.beyond(*place) == 0.0;
        let sides = corners.iter().zip(next).zip(kept.iter().zip(kept.iter().cycle().skip(1)));
        for ((from, to), _) in sides.filter(|(_, (a, b))| on(a) && on(b)) {
            // The cap runs along it the other way; a side of two that are kept is none of its.
            if open.get(from) == Some(to) {
                open.remove(from);
            } else {
                open.insert(*to, *from);
            }
        }
    }
    cap(builder, open, plane)
}

/// What of a triangle is not beyond the plane, its corners in order; nothing where no more than a side is left.
fn kept(shell: &Shell, facet: &Facet, plane: CutPlane) -> Vec<Space> {
    let corners = shell.corners(facet);
    let beyond = corners.map(|corner| plane.beyond(corner));
    if beyond.iter().all(|beyond| *beyond >= 0.0) {
        return Vec::new();
    }
    let next = [1, 2, 0];
    (0..3)
        .flat_map(|at| {
            let (from, to) = (at, next[at]);
            let crossed = beyond[from] * beyond[to] < 0.0;
            let own = (beyond[from] <= 0.0).then_some(corners[from]);
            let crossing =
                crossed.then(|| crossing((corners[from], beyond[from]), (corners[to], beyond[to])));
            own.into_iter().chain(crossing)
        })
        .collect()
}

/// Where a side passes the plane: the same place whichever way it is run through.
fn crossing(one: (Space, f64), other: (Space, f64)) -> Space {
    let ((a, before), (b, after)) = if one.0 < other.0 { (one, other) } else { (other, one) };
    let share = before / (before - after);
    std::array::from_fn(|axis| a[axis] + (b[axis] - a[axis]) * share)
}

/// Closes the cut: `open` tells which point follows on which round it.
fn cap(mut builder: ShellBuilder, mut open: HashMap<u32, u32>, plane: CutPlane) -> Shell {
    let surface = builder.surface();
    let mut rings: Vec<Vec<u32>> = Vec::new();
    while let Some(start) = open.keys().min().copied() {
        let mut ring = vec![start];
        let mut at = start;
        while let Some(next) = open.remove(&at).filter(|next| *next != start) {
            ring.push(next);
            at = next;
        }
        rings.push(ring);
    }
    let seen = |ring: &Vec<u32>| -> Vec<Point> {
        ring.iter().map(|at| plane.seen(builder.at(*at))).collect()
    };
    let mut seen: Vec<(Vec<u32>, Vec<Point>)> =
        rings.iter().map(|ring| (ring.clone(), seen(ring))).collect();
    let (outer, holes): (Vec<_>, Vec<_>) =
        seen.drain(..).partition(|(_, ring)| double_area(ring) > 0.0);
    for (numbers, outline) in outer {
        let inside = holes
            .iter()
            .filter(|(_, hole)| hole.first().is_some_and(|at| is_inside(*at, &outline)));
        let (mut all, mut polygon) = (numbers, vec![outline.clone()]);
        for (numbers, hole) in inside {
            all.extend(numbers);
            polygon.push(hole.clone());
        }
        for corners in filled(&polygon) {
            builder.facet(corners.map(|corner| all[corner]), surface);
        }
    }
    builder.finish()
}
