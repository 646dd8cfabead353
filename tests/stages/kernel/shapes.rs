use std::f64::consts::PI;

use crate::kernel::{
    Contour, Region, ShapeError, closed_slot, eased_slot, open_slot, polygon, rectangle,
    tapered_slot,
};
use geo::{Area, Validation};
use kurbo::{Affine, Point, Vec2};
use proptest::prelude::*;

use super::{polygon_of, slack};

/// Arcs as (radius, bulge), in order.
fn arcs(contour: &Contour) -> Vec<(f64, f64)> {
    contour.segments().filter_map(|s| s.arc().map(|a| (a.radius, s.bulge))).collect()
}

/// Counter-clockwise, valid to `geo`, and of the same area there.
fn assert_proper(contour: &Contour) {
    let other = polygon_of(contour);
    assert!(contour.area() > 0.0);
    assert!(other.is_valid(), "{contour:?}");
    assert!((other.unsigned_area() - contour.area()).abs() <= slack(contour.perimeter()));
}

/// What rounding a corner takes off: r² (tan(turn / 2) - turn / 2), from plane geometry.
fn fillet(radius: f64, turn: f64) -> f64 {
    radius * radius * ((turn / 2.0).tan() - turn / 2.0)
}

proptest! {
    #[test]
    fn rectangles(
        x in -500.0..500.0, y in -500.0..500.0,
        width in 1.0..2000.0, height in 1.0..2000.0,
        parts in prop::array::uniform4(0.0..1.0_f64),
    ) {
        let most = f64::min(width, height) / 2.0;
        let radii = parts.map(|p| if p < 0.2 { 0.0 } else { p * most });
        let made = rectangle(Point::new(x, y), width, height, radii).unwrap();
        assert_proper(&made);
        let off: f64 = radii.iter().map(|r| fillet(*r, PI / 2.0)).sum();
        prop_assert!((made.area() - (width * height - off)).abs() < 1e-6 * width * height);
        let bounds = made.bounds();
        prop_assert!((bounds.width() - width).abs() < 1e-9 && (bounds.x0 - x).abs() < 1e-9);
        let round = radii.iter().filter(|r| **r >= 0.01).count();
        let quarters: Vec<_> = arcs(&made).into_iter().filter(|(r, _)| *r >= 0.01).collect();
        prop_assert_eq!(quarters.len(), round);
        for (_, bulge) in quarters {
            // DXF reference, LWPOLYLINE group 42: the tangent of a quarter of the included angle.
            prop_assert!((bulge - (PI / 8.0).tan()).abs() < 1e-12);
        }
    }

    /// Stars with sharp and rounded, convex and reflex corners, given in either winding.
    #[test]
    fn polygons(
        reaches in prop::collection::vec(40.0..100.0, 3..9),
        radii in prop::collection::vec(0.0..3.0, 9),
        backward in any::<bool>(),
    ) {
        let step = std::f64::consts::TAU / reaches.len() as f64;
        let mut corners: Vec<(Point, f64)> = reaches
            .iter()
            .zip(radii)
            .enumerate()
            .map(|(i, (reach, r))| (Point::ORIGIN + Vec2::from_angle(step * i as f64) * *reach, r))
            .collect();
        let sharp: Vec<_> = corners.iter().map(|(at, _)| (*at, 0.0)).collect();
        let mut area = polygon(&sharp).unwrap().area();
        for i in 0..corners.len() {
            let at = |j: usize| corners[j % corners.len()].0;
            let before = at(i) - at(i + corners.len() - 1);
            let after = at(i + 1) - at(i);
            let turn = before.cross(after).atan2(before.dot(after));
            area -= turn.signum() * fillet(corners[i].1, turn.abs());
        }
        if backward { corners.reverse(); }
        match polygon(&corners) {
            Ok(made) => {
                assert_proper(&made);
                prop_assert!((made.area() - area).abs() < 0.02, "{} {}", made.area(), area);
            }
            Err(ShapeError::RadiusTooLarge { needs, side, .. }) => prop_assert!(needs > side),
            Err(other) => prop_assert!(false, "{other}"),
        }
    }

    #[test]
    fn slots(
        width in 1.0..60.0_f64, wider in 1.0..2.5_f64, length in 80.0..300.0_f64, angle in 0.0..360.0_f64,
        x in -100.0..100.0,
    ) {
        let end = Point::new(x, 20.0);
        let mouth = end + Vec2::from_angle(angle.to_radians()) * length;
        let diameter = width * wider;
        let (h, r) = (width / 2.0, diameter / 2.0);
        let wall = (r * r - h * h).sqrt();
        // The circle less the segment that lies within the slot, and the slot from there on.
        let sweep = 2.0 * (h / r).asin();
        let head = PI * r * r - r * r * (sweep - sweep.sin()) / 2.0;
        let open = open_slot(end, mouth, width, diameter).unwrap();
        assert_proper(&open);
        prop_assert!((open.area() - (head + (length - wall) * width)).abs() < 1e-6);
        let closed = closed_slot(end, mouth, width, diameter).unwrap();
        assert_proper(&closed);
        prop_assert!((closed.area() - open.area() - PI * h * h / 2.0).abs() < 1e-6);
    }

    /// A tapered slot is what a string round the circle and both mouth corners encloses: two right
    /// triangles and two kites' worth of plane geometry, and a trapezium past the edge.
    #[test]
    fn tapered_slots(
        diameter in 2.0..40.0_f64, flare in 1.0..3.0_f64, length in 50.0..200.0_f64,
        past in 0.0..10.0_f64, angle in 0.0..360.0_f64,
    ) {
        let end = Point::new(30.0, 20.0);
        let along = Vec2::from_angle(angle.to_radians());
        let (r, m) = (diameter / 2.0, diameter / 2.0 * flare);
        let made = tapered_slot(end, end + along * length, diameter, 2.0 * m, past).unwrap();
        assert_proper(&made);
        let tangent = (length * length + m * m - r * r).sqrt();
        // From the axis to the corner, and from the corner's ray on to where the side touches.
        let touch = (m / length).atan() + (tangent / r).atan();
        let within = length * m + r * tangent + r * r * (PI - touch);
        let wider = m + past * (touch - PI / 2.0).tan();
        prop_assert!((made.area() - (within + (m + wider) * past)).abs() < 1e-6);
        // Its sides keep the radius from the center: they are tangents.
        let sides = made.segments().filter(|s| s.is_line() && s.length() > 10.0);
        for side in sides {
            let off = (side.end - side.start).normalize().cross(end - side.start).abs();
            let across = (off - r).abs() < 1e-6 || (off - length - past).abs() < 1e-6;
            prop_assert!(across, "{} {}", off, r);
        }
        // Cut from a board it leaves the mouth as wide as asked for.
        let board = Region::new(rectangle(Point::ORIGIN, 400.0, 250.0, [0.0; 4]).unwrap(), vec![]);
        let (end, mouth) = (Point::new(200.0, length), Point::new(200.0, 0.0));
        let cut = board.cut(&tapered_slot(end, mouth, diameter, 2.0 * m, 5.0).unwrap()).unwrap();
        prop_assert!((board.area() - cut.area() - within).abs() < 1e-3);
        let on_edge: Vec<f64> = cut.outline().vertices().iter()
            .filter(|v| v.at.y.abs() < 1e-6 && v.at.x > 1.0 && v.at.x < 399.0)
            .map(|v| v.at.x).collect();
        prop_assert_eq!(on_edge.len(), 2);
        prop_assert!(((on_edge[0] - on_edge[1]).abs() - 2.0 * m).abs() < 1e-4);
    }

    /// What an eased slot takes from a board beyond a straight one is what two fillets leave:
    /// r² (1 - pi / 4) each. The curves run into the edge without a corner.
    #[test]
    fn eased_slots(
        width in 5.0..60.0_f64, part in 0.05..1.0_f64, length in 40.0..150.0_f64,
        turn in 0.0..360.0_f64,
    ) {
        let radius = part * length.min(60.0);
        let (end, mouth) = (Point::new(200.0, length), Point::new(200.0, 0.0));
        let eased = eased_slot(end, mouth, width, radius, 5.0).unwrap();
        assert_proper(&eased);
        let turn = Affine::rotate(turn.to_radians());
        let board = rectangle(Point::ORIGIN, 400.0, 250.0, [0.0; 4]).unwrap();
        let board = Region::new(board, vec![]).transformed(turn);
        let cut = board.cut(&eased.transformed(turn)).unwrap();
        let straight = length * width + PI * width * width / 8.0;
        let corners = 2.0 * fillet(radius, PI / 2.0);
        prop_assert!((board.area() - cut.area() - straight - corners).abs() < 1e-3);
        assert_proper(cut.outline());
        let rounded = arcs(cut.outline()).into_iter().filter(|(_, bulge)| *bulge > 0.0);
        for (r, bulge) in rounded {
            prop_assert!((r - radius).abs() < 1e-4);
            prop_assert!((bulge - (PI / 8.0).tan()).abs() < 1e-4);
        }
    }

    /// Moving, turning and mirroring keep the area; a mirror turns the winding.
    #[test]
    fn moves(angle in 0.0..7.0_f64, x in -900.0..900.0_f64, mirror in any::<bool>()) {
        let made = open_slot(Point::new(3.0, 4.0), Point::new(90.0, 4.0), 10.0, 14.0).unwrap();
        let flip = if mirror { Affine::FLIP_X } else { Affine::IDENTITY };
        let moved = made.transformed(Affine::translate((x, -x)) * Affine::rotate(angle) * flip);
        let sign = if mirror { -1.0 } else { 1.0 };
        prop_assert!((moved.area() - sign * made.area()).abs() < 1e-6);
        prop_assert!((moved.perimeter() - made.perimeter()).abs() < 1e-9);
    }

    /// No figures, however odd, bring anything down.
    #[test]
    fn odd_figures(
        n in prop::collection::vec(any::<f64>(), 8),
        small in prop::collection::vec((-3..4_i32, -3..4_i32, -1..3_i32), 0..9),
    ) {
        let (a, b) = (Point::new(n[0], n[1]), Point::new(n[2], n[3]));
        let _ = rectangle(a, n[2], n[3], [n[4], n[5], n[6], n[7]]);
        let _ = open_slot(a, b, n[4], n[5]);
        let _ = closed_slot(a, b, n[4], n[5]);
        let _ = tapered_slot(a, b, n[4], n[5], n[6]);
        let _ = eased_slot(a, b, n[4], n[5], n[6]);
        let _ = polygon(&[(a, n[4]), (b, n[5]), (Point::new(n[6], n[7]), 0.0)]);
        let corners: Vec<_> = small
            .iter()
            .map(|(x, y, r)| (Point::new(f64::from(*x), f64::from(*y)), f64::from(*r) / 4.0))
            .collect();
        if let Ok(made) = polygon(&corners) {
            assert_proper(&made);
        }
    }
}

#[test]
fn a_slot_of_its_ends_width_is_one_half_circle() {
    let slot = open_slot(Point::new(0.0, 50.0), Point::ORIGIN, 12.7, 12.7).unwrap();
    assert_eq!(arcs(&slot), vec![(6.35, 1.0)]);
    let slot = closed_slot(Point::new(0.0, 50.0), Point::ORIGIN, 12.7, 12.7).unwrap();
    assert_eq!(arcs(&slot), vec![(6.35, 1.0), (6.35, 1.0)]);
}

#[test]
fn full_round_ends_leave_no_short_segment() {
    let made = rectangle(Point::ORIGIN, 60.0, 20.0, [10.0; 4]).unwrap();
    assert_eq!(made.vertices().len(), 4);
    assert_eq!(arcs(&made), vec![(10.0, 1.0), (10.0, 1.0)]);
}

#[test]
fn refusals_carry_their_figures() {
    let at = Point::new;
    let (from, to) = (at(5.0, 5.0), at(85.0, 5.0));
    let error = rectangle(from, 80.0, 300.0, [50.0, 40.0, 0.0, 0.0]).unwrap_err();
    let ShapeError::RadiusTooLarge { from: f, to: t, needs, side } = error else {
        panic!("{error}")
    };
    assert_eq!((f, t, side), (from, to, 80.0));
    assert!((needs - 90.0).abs() < 1e-9);
    assert_eq!(
        error.to_string(),
        "the radii at the ends of the side from (5.0, 5.0) to (85.0, 5.0) need 90.00 mm, the side \
         is 80.00 mm long"
    );
    assert!(matches!(
        rectangle(at(0.0, 0.0), 0.0, 3.0, [0.0; 4]),
        Err(ShapeError::NotPositive { value: 0.0, .. })
    ));
    assert!(matches!(
        rectangle(at(0.0, 0.0), 4.0, 3.0, [0.0, -1.0, 0.0, 0.0]),
        Err(ShapeError::Negative { value: -1.0, .. })
    ));
    assert_eq!(
        open_slot(at(0.0, 0.0), at(50.0, 0.0), 12.0, 10.0),
        Err(ShapeError::EndSmallerThanSlot { end_diameter: 10.0, width: 12.0 })
    );
    assert_eq!(
        tapered_slot(at(0.0, 0.0), at(50.0, 0.0), 12.0, 10.0, 1.0),
        Err(ShapeError::MouthNarrowerThanEnd { mouth_width: 10.0, end_diameter: 12.0 })
    );
    assert_eq!(
        eased_slot(at(0.0, 0.0), at(8.0, 0.0), 12.0, 10.0, 1.0),
        Err(ShapeError::SlotTooShort { length: 8.0, needs: 10.0 })
    );
    // A 3-4-5 triangle: half width 3, radius 5, so that the walls begin 4 from the center.
    assert_eq!(
        open_slot(at(0.0, 0.0), at(3.5, 0.0), 6.0, 10.0),
        Err(ShapeError::SlotTooShort { length: 3.5, needs: 4.0 })
    );
    let corner = |x, y| (at(x, y), 0.0);
    assert_eq!(
        polygon(&[corner(0.0, 0.0), corner(9.0, 0.0), corner(0.0, 0.0)]),
        Err(ShapeError::TooFewCorners { count: 2 })
    );
    let bow = [corner(0.0, 0.0), corner(10.0, 10.0), corner(10.0, 0.0), corner(0.0, 10.0)];
    assert_eq!(polygon(&bow), Err(ShapeError::SelfCrossing { at: at(5.0, 5.0) }));
    let flat = [corner(0.0, 0.0), corner(5.0, 0.0), corner(9.0, 0.0)];
    assert_eq!(polygon(&flat), Err(ShapeError::Flat));
    assert!(matches!(
        rectangle(at(f64::NAN, 0.0), 1.0, 1.0, [0.0; 4]),
        Err(ShapeError::OutOfReach { .. })
    ));
}
