//! The geometry kernel against formulas from outside it and against the independent `geo` crate
//! (crates.io), which knows polygons only: arcs are flattened to within 0.001 mm for it.

mod cuts;
mod distances;
mod offsets;
mod reliefs;
mod shapes;
mod soundness;

use crate::kernel::{Contour, Region, rectangle};
use crate::tolerance::FLATTENING;
use geo::{LineString, Polygon};
use kurbo::{Affine, Point};
use proptest::prelude::*;

/// A contour as a closed ring of `geo`.
fn ring(contour: &Contour) -> LineString<f64> {
    let mut points: Vec<(f64, f64)> =
        contour.flatten(FLATTENING).iter().map(|p| (p.x, p.y)).collect();
    points.push(points[0]);
    points.into()
}

fn polygon_of(contour: &Contour) -> Polygon<f64> {
    Polygon::new(ring(contour), vec![])
}

fn region_of(region: &Region) -> Polygon<f64> {
    Polygon::new(ring(region.outline()), region.openings().iter().map(ring).collect())
}

/// The most a flattened area can differ from the true one.
fn slack(perimeter: f64) -> f64 {
    FLATTENING * perimeter + 1e-6
}

/// A square-cornered board with its lower left corner at the origin.
fn board(width: f64, height: f64) -> Region {
    Region::new(rectangle(Point::ORIGIN, width, height, [0.0; 4]).unwrap(), vec![])
}

fn turned(contour: &Contour, degrees: f64, about: Point) -> Contour {
    contour.transformed(Affine::rotate_about(degrees.to_radians(), about))
}

/// Cutters of every shape, wound either way, somewhere on or beside a 200 x 120 board.
fn cutter() -> impl Strategy<Value = Contour> {
    use crate::kernel::{closed_slot, open_slot};
    let place = (-30.0..230.0, -30.0..150.0).prop_map(|(x, y)| Point::new(x, y));
    let sizes = (4.0..60.0, 4.0..60.0, 0.0..1.0);
    (place, sizes, 0.0..360.0, 0..5, any::<bool>()).prop_map(
        |(at, (a, b, c), angle, kind, back)| {
            let plain = match kind {
                0 => Contour::circle(at, a / 2.0),
                1 => rectangle(at, a, b, [0.0; 4]).unwrap(),
                2 => rectangle(at, a, b, [c * a.min(b) / 2.0; 4]).unwrap(),
                3 => {
                    let mouth = Point::new(at.x + a + b, at.y);
                    open_slot(at, mouth, a / 2.0, a / 2.0 * (1.0 + c)).unwrap()
                }
                _ => {
                    let to = Point::new(at.x + a + b, at.y);
                    closed_slot(at, to, a / 2.0, a / 2.0 * (1.0 + c)).unwrap()
                }
            };
            let turned = turned(&plain, angle, at);
            if back { turned.reversed() } else { turned }
        },
    )
}
