//! Convex polygons: cut from any simple one, summed, drawn in, and how far apart two of them are.
//!
//! A polygon here is its corners in order, counter-clockwise, the first not repeated.

use kurbo::{Point, Vec2};

/// Two corners nearer than this, in mm, are one.
const SAME: f64 = 1e-9;

/// Twice the area, in mm²; negative for a polygon that winds clockwise.
pub(crate) fn double_area(ring: &[Point]) -> f64 {
    sides(ring).map(|[a, b]| a.to_vec2().cross(b.to_vec2())).sum()
}

/// Its sides, each from corner to corner, the closing one last.
pub(crate) fn sides(ring: &[Point]) -> impl Iterator<Item = [Point; 2]> + '_ {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).map(|(a, b)| [*a, *b])
}

/// The same polygon wound counter-clockwise, without corners that lie on one another; `None` where nothing of it is
/// left.
pub(crate) fn tidy(ring: &[Point]) -> Option<Vec<Point>> {
    let mut tidy: Vec<Point> = Vec::with_capacity(ring.len());
    for corner in ring {
        if tidy.last().is_none_or(|last| (*last - *corner).hypot() > SAME) {
            tidy.push(*corner);
        }
    }
    while tidy.len() > 1 && (tidy[0] - tidy[tidy.len() - 1]).hypot() <= SAME {
        tidy.pop();
    }
    if double_area(&tidy) < 0.0 {
        tidy.reverse();
    }
    (tidy.len() >= 3 && double_area(&tidy) > SAME).then_some(tidy)
}

/// Whether a point lies inside any simple polygon, by how often a ray from it crosses its sides.
pub(crate) fn is_inside(at: Point, ring: &[Point]) -> bool {
    let crossed = sides(ring).filter(|[a, b]| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (at.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}

/// How far the way from `a` over `b` to `c` turns left, as twice the area of the triangle.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    (b - a).cross(c - b)
}

fn is_within(at: Point, [a, b, c]: [Point; 3]) -> bool {
    turn(a, b, at) >= 0.0 && turn(b, c, at) >= 0.0 && turn(c, a, at) >= 0.0
}

/// Convex polygons that together fill a simple one and share nothing but sides.
///
/// Ears are cut off it (Meisters, Polygons have ears, 1975), then triangles joined again over sides where they
/// stay convex (Hertel and Mehlhorn, Fast triangulation of simple polygons, 1983).
pub(crate) fn convex_pieces(ring: &[Point]) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<usize>> = triangles(ring);
    let mut first = 0;
    while first < pieces.len() {
        match joined(ring, &pieces, first) {
            Some((other, whole)) => {
                pieces[first] = whole;
                pieces.remove(other);
            }
            None => first += 1,
        }
    }
    pieces.iter().map(|piece| piece.iter().map(|at| ring[*at]).collect()).collect()
}

/// Triangles of the corners of a polygon, by their places in it.
fn triangles(ring: &[Point]) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..ring.len()).collect();
    let mut triangles = Vec::with_capacity(ring.len());
    while left.len() > 3 {
        // A polygon that touches itself may have no clean ear: then the one that turns most goes.
        let ear = (0..left.len()).find(|at| is_ear(ring, &left, *at));
        let Some(ear) = ear.or_else(|| sharpest(ring, &left)) else { break };
        let [before, after] = around(&left, ear);
        if turn(ring[before], ring[left[ear]], ring[after]) > SAME {
            triangles.push(vec![before, left[ear], after]);
        }
        left.remove(ear);
    }
    triangles.push(left);
    triangles
}

fn around(left: &[usize], at: usize) -> [usize; 2] {
    let count = left.len();
    [left[(at + count - 1) % count], left[(at + 1) % count]]
}

fn is_ear(ring: &[Point], left: &[usize], at: usize) -> bool {
    let [before, after] = around(left, at);
    let corners = [ring[before], ring[left[at]], ring[after]];
    if turn(corners[0], corners[1], corners[2]) <= SAME {
        return turn(corners[0], corners[1], corners[2]).abs() <= SAME;
    }
    let others = left.iter().filter(|other| ![before, left[at], after].contains(other));
    !others.into_iter().any(|other| is_within(ring[*other], corners))
}

fn sharpest(ring: &[Point], left: &[usize]) -> Option<usize> {
    let turns = |at: &usize| {
        let [before, after] = around(left, *at);
        turn(ring[before], ring[left[*at]], ring[after])
    };
    (0..left.len()).max_by(|a, b| turns(a).total_cmp(&turns(b)))
}

/// The first of the later pieces that makes a convex one with piece `first` over a side of both, and what they make.
fn joined(ring: &[Point], pieces: &[Vec<usize>], first: usize) -> Option<(usize, Vec<usize>)> {
    (first + 1..pieces.len()).find_map(|other| {
        let whole = over_side(&pieces[first], &pieces[other])?;
        is_convex(ring, &whole).then_some((other, whole))
    })
}

/// Two pieces as one, where they share a side.
fn over_side(one: &[usize], other: &[usize]) -> Option<Vec<usize>> {
    let (many, more) = (one.len(), other.len());
    (0..many).find_map(|at| {
        let (from, to) = (one[at], one[(at + 1) % many]);
        let there = (0..more).find(|j| other[*j] == to && other[(*j + 1) % more] == from)?;
        let of_one = (0..many).map(|i| one[(at + 1 + i) % many]);
        let of_other = (2..more).map(|j| other[(there + j) % more]);
        Some(of_one.chain(of_other).collect())
    })
}

fn is_convex(ring: &[Point], piece: &[usize]) -> bool {
    let count = piece.len();
    let corner = |at: usize| ring[piece[at % count]];
    (0..count).all(|at| turn(corner(at), corner(at + 1), corner(at + 2)) >= -SAME)
}

/// The least convex polygon around some points.
///
/// Monotone chain (Andrew, Another efficient algorithm for convex hulls, 1979).
pub(crate) fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for point in points {
            while let [.., a, b] = chain[..]
                && turn(a, b, point) <= SAME
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut around = half(&mut sorted.iter().copied());
    around.extend(half(&mut sorted.iter().rev().copied()));
    around
}

/// All sums of a point of the one and a point of the other: again convex, counter-clockwise.
pub(crate) fn sum(one: &[Point], other: &[Point]) -> Vec<Point> {
    let (from, start) = (lowest(one), lowest(other));
    let a = |i: usize| one[wrapped(from + i, one.len())].to_vec2();
    let b = |j: usize| other[wrapped(start + j, other.len())].to_vec2();
    let (mut i, mut j) = (0, 0);
    let mut around = Vec::with_capacity(one.len() + other.len());
    while i < one.len() || j < other.len() {
        around.push((a(i) + b(j)).to_point());
        let turns = (a(i + 1) - a(i)).cross(b(j + 1) - b(j));
        let both = i < one.len() && j < other.len();
        let (along_one, along_other) =
            if both { (turns >= 0.0, turns <= 0.0) } else { (i < one.len(), j < other.len()) };
        i += usize::from(along_one);
        j += usize::from(along_other);
    }
    around
}

/// The rest by `count` of a number that is at most a few times as large, which is sooner told without dividing.
fn wrapped(mut at: usize, count: usize) -> usize {
    while at >= count {
        at -= count;
    }
    at
}

/// Its lowest corner, of several the leftmost.
fn lowest(ring: &[Point]) -> usize {
    let lower = |a: &usize, b: &usize| {
        let (a, b) = (ring[*a], ring[*b]);
        a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
    };
    (0..ring.len()).min_by(lower).unwrap_or(0)
}

/// Out of the polygon, square to each of its sides, of length 1.
pub(crate) fn normals(ring: &[Point]) -> impl Iterator<Item = Vec2> + '_ {
    sides(ring).map(|[a, b]| {
        let along = (b - a).normalize();
        Vec2::new(along.y, -along.x)
    })
}

/// A convex polygon whose sides are drawn in by so many mm.
pub(crate) fn drawn_in(ring: &[Point], by: f64) -> Vec<Point> {
    let normals: Vec<Vec2> = normals(ring).collect();
    let corners = ring.iter().enumerate().map(|(at, corner)| {
        let [before, after] = [normals[(at + ring.len() - 1) % ring.len()], normals[at]];
        // Where both drawn-in sides meet: by / cos² of half the turn, along the sum of the normals.
        *corner - (before + after) * (by / (1.0 + before.dot(after)))
    });
    corners.collect()
}

/// How far the polygon reaches in a direction of length 1.
pub(crate) fn reach(ring: &[Point], way: Vec2) -> f64 {
    ring.iter().map(|at| at.to_vec2().dot(way)).fold(f64::NEG_INFINITY, f64::max)
}

/// The widest strip between two convex polygons that is square to a side of one of them, in mm; below zero, by how
/// little they would have to move to be apart.
pub(crate) fn strip_between(one: &[Point], other: &[Point]) -> f64 {
    let beyond = |of: &[Point], from: &[Point]| {
        let strips = normals(of).map(|way| -reach(from, -way) - reach(of, way));
        strips.fold(f64::NEG_INFINITY, f64::max)
    };
    beyond(one, other).max(beyond(other, one))
}

/// The distance between two convex polygons in mm; 0 where they touch or overlap.
pub(crate) fn distance(one: &[Point], other: &[Point]) -> f64 {
    if strip_between(one, other) <= 0.0 {
        return 0.0;
    }
    let from = |corners: &[Point], ring: &[Point]| {
        let each = corners.iter().flat_map(|at| sides(ring).map(|side| to_side(*at, side)));
        each.fold(f64::INFINITY, f64::min)
    };
    from(one, other).min(from(other, one))
}

fn to_side(at: Point, [a, b]: [Point; 2]) -> f64 {
    let run = b - a;
    let along = ((at - a).dot(run) / run.hypot2()).clamp(0.0, 1.0);
    (at - (a + run * along)).hypot()
}
