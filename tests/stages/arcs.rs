//! Curves turned into lines and arcs, against `kurbo`'s own curves: distance both ways, area,
//! count, corners.

use std::f64::consts::{PI, TAU};

use crate::kernel::{Contour, FitError, MOST_PIECES, ShapeError, fit_arcs};
use crate::tolerance::FITTING;
use kurbo::{
    Affine, Arc, BezPath, Circle, Ellipse, ParamCurve, ParamCurveNearest, Point, Rect, RoundedRect,
    Shape, Vec2,
};
use proptest::prelude::*;

/// Furthest that the contour stands off the path, and the path off the contour. Samples lie closer
/// than the tolerance can hide in.
fn apart(contour: &Contour, path: &BezPath) -> (f64, f64) {
    let nearest = |p: Point| {
        let one = |s: kurbo::PathSeg| s.nearest(p, 1e-9).distance_sq;
        path.segments().map(one).fold(f64::INFINITY, f64::min).sqrt()
    };
    let on_contour =
        contour.flatten(1e-4).into_iter().chain(contour.segments().map(|s| s.middle()));
    let out = on_contour.map(nearest).fold(0.0, f64::max);
    let looks = path.segments().flat_map(|s| (0..200).map(move |i| s.eval(f64::from(i) / 200.0)));
    let back = looks.map(|p| contour.distance_to(p)).fold(0.0, f64::max);
    (out, back)
}

fn check(path: &BezPath) -> Contour {
    let contour = fit_arcs(path).unwrap();
    let (out, back) = apart(&contour, path);
    assert!(out <= FITTING && back <= FITTING, "{out} {back}");
    let slack = FITTING * path.perimeter(1e-3);
    assert!(
        (contour.area() - path.area().abs()).abs() <= slack,
        "{} {}",
        contour.area(),
        path.area()
    );
    contour
}

/// The sharpest turn between neighbors, in degrees.
fn sharpest(contour: &Contour) -> f64 {
    let segments: Vec<_> = contour.segments().collect();
    let turns = segments.iter().zip(segments.iter().cycle().skip(1)).map(|(a, b)| {
        let (u, v) = (a.direction_at(a.end), b.direction_at(b.start));
        u.cross(v).atan2(u.dot(v)).abs().to_degrees()
    });
    turns.fold(0.0, f64::max)
}

/// A closed curve in polar form, smooth by Catmull and Rom's rule: each tangent is parallel to
/// the line between its neighbors.
fn blob() -> impl Strategy<Value = BezPath> {
    (prop::collection::vec(0.6..1.4_f64, 4..12), 5.0..300.0_f64, any::<bool>()).prop_map(
        |(reaches, size, mirrored)| {
            let count = reaches.len();
            let knot = |i: usize| {
                let angle = TAU * (i % count) as f64 / count as f64;
                Vec2::from_angle(if mirrored { -angle } else { angle }).to_point().to_vec2()
                    * reaches[i % count]
                    * size
            };
            let mut path = BezPath::new();
            path.move_to(knot(0).to_point());
            for i in 0..count {
                let (before, from, to, after) =
                    (knot(i + count - 1), knot(i), knot(i + 1), knot(i + 2));
                path.curve_to(
                    (from + (to - before) / 6.0).to_point(),
                    (to - (after - from) / 6.0).to_point(),
                    to.to_point(),
                );
            }
            path.close_path();
            path
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn smooth_curves_are_followed_both_ways(path in blob()) {
        let contour = check(&path);
        prop_assert!(contour.area() > 0.0);
        prop_assert!(sharpest(&contour) < 0.5, "{}", sharpest(&contour));
        // The error of a biarc goes with the third power of its length: so few are enough.
        let most = 4.0 * (path.perimeter(1e-3) / FITTING).cbrt() + 8.0 * path.segments().count() as f64;
        prop_assert!((contour.vertices().len() as f64) < most);
        // The same path makes the same contour.
        prop_assert_eq!(&fit_arcs(&path).unwrap(), &contour);
    }

    /// Area of an ellipse: pi a b.
    #[test]
    fn ellipses(a in 2.0..200.0_f64, b in 2.0..200.0_f64, turn in 0.0..PI) {
        let path = Ellipse::new((10.0, 20.0), (a, b), turn).to_path(1e-6);
        let contour = check(&path);
        prop_assert!((contour.area() - PI * a * b).abs() <= FITTING * contour.perimeter());
        prop_assert!(contour.vertices().len() <= 128, "{}", contour.vertices().len());
    }

    /// Four cubics as kurbo draws them stand off a true circle by 2e-4 of its radius to either
    /// side, which is within the tolerance up to 48 mm.
    #[test]
    fn circles_become_circles(radius in 0.5..48.0_f64, turn in 0.0..TAU) {
        let path = Affine::rotate_about(turn, (50.0, 60.0)) * Circle::new((50.0, 60.0), radius).to_path(1.0);
        let contour = check(&path);
        prop_assert_eq!(contour.vertices().len(), 2);
        let arc = contour.segments().next().unwrap().arc().unwrap();
        prop_assert!((arc.radius - radius).abs() < FITTING / 2.0);
        prop_assert!((arc.center - Point::new(50.0, 60.0)).hypot() < 1e-6, "{:?}", arc.center);
    }

    /// Lines stay where they are and rounded corners come out as one arc each.
    #[test]
    fn rounded_rectangles_are_exact(radius in 1.0..30.0_f64) {
        let path = RoundedRect::from_rect(Rect::new(0.0, 0.0, 120.0, 70.0), radius).to_path(1e-7);
        let contour = check(&path);
        prop_assert_eq!(contour.vertices().len(), 8);
        prop_assert!((contour.area() - (8400.0 - (4.0 - PI) * radius * radius)).abs() < 1e-4);
        for arc in contour.segments().filter_map(|s| s.arc()) {
            prop_assert!((arc.radius - radius).abs() < 1e-4);
        }
    }

    /// Whatever is given, there is an answer, and it keeps what it promises.
    #[test]
    fn any_cubics(points in prop::collection::vec((-50.0..50.0_f64, -50.0..50.0_f64), 4..14)) {
        let mut path = BezPath::new();
        path.move_to(points[0]);
        for three in points[1..].chunks_exact(3) {
            path.curve_to(three[0], three[1], three[2]);
        }
        if let Ok(contour) = fit_arcs(&path) {
            path.close_path();
            let (out, back) = apart(&contour, &path);
            prop_assert!(out <= FITTING && back <= FITTING, "{} {}", out, back);
            prop_assert!(contour.vertices().len() <= MOST_PIECES);
        }
    }
}

#[test]
fn three_arcs_that_meet_smoothly_are_three_arcs() {
    // A half circle of 10, a quarter of 20 and a line: a hook closed by lines.
    let mut path = BezPath::new();
    path.move_to((10.0, 0.0));
    path.extend(Arc::new((0.0, 0.0), (10.0, 10.0), 0.0, PI, 0.0).append_iter(1e-7));
    path.extend(Arc::new((10.0, 0.0), (20.0, 20.0), PI, PI / 2.0, 0.0).append_iter(1e-7));
    path.close_path();
    let contour = check(&path);
    let radii: Vec<f64> = contour.segments().filter_map(|s| s.arc()).map(|a| a.radius).collect();
    assert_eq!(radii.len(), 2, "{radii:?}");
    assert!((radii[0] - 10.0).abs() < 1e-4 && (radii[1] - 20.0).abs() < 1e-4, "{radii:?}");
}

#[test]
fn lines_are_kept_and_noise_is_dropped() {
    let path =
        BezPath::from_svg("M0,0 L0,0 L40,0 L40.0004,0 L80,0 80,30 80,30 0,30 0,0.0003Z").unwrap();
    let contour = fit_arcs(&path).unwrap();
    assert!(contour.segments().all(|s| s.is_line()));
    assert_eq!(contour.vertices().len(), 4);
    assert!((contour.area() - 2400.0).abs() < 0.05);
}

#[test]
fn winding_is_put_right() {
    let left = BezPath::from_svg("M0,0 L50,0 Q60,20 50,40 L0,40Z").unwrap();
    let right = left.reverse_subpaths();
    assert!(fit_arcs(&left).unwrap().area() > 0.0);
    assert!((fit_arcs(&left).unwrap().area() - fit_arcs(&right).unwrap().area()).abs() < 0.1);
}

#[test]
fn a_cusp_is_a_corner() {
    // Both ends of this cubic point at its middle, where it turns back on itself.
    let path = BezPath::from_svg("M0,0 C40,60 0,60 40,0 L40,-20 0,-20Z").unwrap();
    check(&path);
}

#[test]
fn what_is_no_outline_is_refused() {
    let fit = |d: &str| fit_arcs(&BezPath::from_svg(d).unwrap()).unwrap_err();
    let crossing = fit("M0,0 L40,40 40,0 0,40Z");
    let FitError::Shape(ShapeError::SelfCrossing { at }) = crossing else { panic!("{crossing:?}") };
    assert!((at - Point::new(20.0, 20.0)).hypot() < 1e-6);
    let loops = fit("M0,0 h9 v9z M20,0 h9 v9z");
    assert_eq!(loops, FitError::SeveralLoops { count: 2 });
    assert_eq!(fit("M5,5 L5,5Z"), FitError::Shape(ShapeError::Flat));
    assert_eq!(fit("M5,5 L50,5Z"), FitError::Shape(ShapeError::Flat));
    assert_eq!(fit_arcs(&BezPath::new()).unwrap_err(), FitError::Shape(ShapeError::Flat));
    assert!(matches!(fit("M0,0 H1e7 V5Z"), FitError::Shape(ShapeError::OutOfReach { .. })));
    // Eight thousand teeth round a circle.
    let mut gear = BezPath::new();
    for i in 0..8000 {
        let reach = if i % 2 == 0 { 400.0 } else { 401.0 };
        let at = (Vec2::from_angle(TAU * f64::from(i) / 8000.0) * reach).to_point();
        if i == 0 { gear.move_to(at) } else { gear.line_to(at) }
    }
    assert_eq!(fit_arcs(&gear).unwrap_err(), FitError::TooMany);
}
