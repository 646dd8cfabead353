//! A body cut along a plane.

use std::collections::HashMap;

use kurbo::Point;

use super::fill::filled;
use super::shell::{Facet, Shell, ShellBuilder};
use crate::holder::{Bevel, Edge, Face, Part};
use crate::kernel::convex::{is_inside, sides};
use crate::style::Space;

/// Nearer to the plane than this, in mm, a point lies on it.
const ON: f64 = 1e-7;

/// The plane of a bevel: what is kept has `up · y + out · z` at most `at`.
#[derive(Debug, Clone, Copy)]
struct BevelPlane {
    up: f64,
    out: f64,
    at: f64,
}

impl BevelPlane {
    /// Through the sharp edge, which lies on the face that keeps its width.
    fn of(part: &Part, bevel: Bevel) -> Self {
        let (bounds, thickness) = (part.region.bounds(), part.stock.thickness);
        let slope = bevel.angle.to_radians().tan();
        let (up, y) = if bevel.edge == Edge::Bottom { (-1.0, bounds.y0) } else { (1.0, bounds.y1) };
        let (out, z) = match bevel.full_face {
            Face::Show => (-slope, 0.0),
            Face::Back => (slope, -thickness),
        };
        Self { up, out, at: up * y + out * z }
    }

    /// How far a place is beyond the plane, along its steepest way; 0 on it.
    fn beyond(&self, [_, y, z]: Space) -> f64 {
        let beyond = self.up * y + self.out * z - self.at;
        if beyond.abs() < ON { 0.0 } else { beyond }
    }

    /// A place on the plane as it is seen from outside.
    fn seen(&self, [x, y, z]: Space) -> Point {
        let along = z * self.up - y * self.out;
        Point::new(x, -along)
    }
}

/// The part's surface with its bevel sawn.
pub(super) fn beveled(shell: Shell, part: &Part) -> Shell {
    match part.bevel {
        Some(bevel) if bevel.angle > 0.0 => cut(&shell, BevelPlane::of(part, bevel)),
        _ => shell,
    }
}

fn cut(shell: &Shell, plane: BevelPlane) -> Shell {
    let mut builder = ShellBuilder::default();
    let surfaces = shell.facets.iter().map(|facet| facet.surface).max().unwrap_or(0);
    (0..surfaces).for_each(|_| drop(builder.surface()));
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
fn kept(shell: &Shell, facet: &Facet, plane: BevelPlane) -> Vec<Space> {
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
fn cap(mut builder: ShellBuilder, mut open: HashMap<u32, u32>, plane: BevelPlane) -> Shell {
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
    let (outer, holes): (Vec<_>, Vec<_>) = seen.drain(..).partition(|(_, ring)| area(ring) > 0.0);
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

fn area(ring: &[Point]) -> f64 {
    sides(ring).map(|[a, b]| a.to_vec2().cross(b.to_vec2())).sum()
}
