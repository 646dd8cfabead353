//! Polygons with holes in one plane, filled with triangles that keep every corner.

use earcut::Earcut;
use kurbo::Point;

/// Triangles that fill the polygon `rings[0]` with the holes `rings[1..]`, as places in all their points together in
/// their order, counter-clockwise. Every side of a ring is a side of one triangle: corners on straight stretches, which
/// clipping ears passes over, are taken in afterwards.
pub(super) fn filled(rings: &[Vec<Point>]) -> Vec<[usize; 3]> {
    let points: Vec<Point> = rings.iter().flatten().copied().collect();
    let holes: Vec<u32> = rings
        .iter()
        .scan(0, |end, ring| {
            *end += ring.len() as u32;
            Some(*end)
        })
        .take(rings.len().saturating_sub(1))
        .collect();
    let mut corners: Vec<u32> = Vec::new();
    Earcut::new().earcut(points.iter().map(|p| [p.x, p.y]), &holes, &mut corners);
    let triangle = |corners: &[u32]| match *corners {
        [a, b, c] => Some(ccw([a as usize, b as usize, c as usize], &points)),
        _ => None,
    };
    let mut triangles: Vec<[usize; 3]> = corners.chunks(3).filter_map(triangle).collect();
    let mut used = vec![false; points.len()];
    triangles.iter().flatten().for_each(|corner| used[*corner] = true);
    for missed in (0..points.len()).filter(|at| !used[*at]) {
        take_in(missed, &mut triangles, &points);
    }
    triangles
}

fn ccw([a, b, c]: [usize; 3], points: &[Point]) -> [usize; 3] {
    let turn = (points[b] - points[a]).cross(points[c] - points[a]);
    if turn < 0.0 { [a, c, b] } else { [a, b, c] }
}

/// Parts the triangle on whose side the point lies, so that it becomes a corner.
fn take_in(point: usize, triangles: &mut Vec<[usize; 3]>, points: &[Point]) {
    let off = |from: usize, to: usize| {
        let (at, from, to) = (points[point], points[from], points[to]);
        let way = to - from;
        let along = (at - from).dot(way) / way.hypot2();
        let inside = along > 0.0 && along < 1.0;
        if inside { (at - from.lerp(to, along)).hypot() } else { f64::INFINITY }
    };
    let sides = triangles.iter().enumerate().flat_map(|(at, [a, b, c])| {
        [[*a, *b, *c], [*b, *c, *a], [*c, *a, *b]].map(|turned| (at, turned))
    });
    let nearest = sides
        .min_by(|(_, one), (_, other)| off(one[0], one[1]).total_cmp(&off(other[0], other[1])));
    if let Some((at, [a, b, c])) = nearest {
        triangles[at] = [a, point, c];
        triangles.push([point, b, c]);
    }
}
