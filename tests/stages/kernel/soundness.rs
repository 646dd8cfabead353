use std::f64::consts::FRAC_1_SQRT_2;

use crate::kernel::{
    Contour, Region, Rules, Unsound, Vertex, check, open_slot, polygon, rectangle,
};
use kurbo::{Affine, Point};
use proptest::prelude::*;

use super::board;

const HAND: Rules = Rules { least_web: 6.0, router_bit: None };
const ROUTER: Rules = Rules { least_web: 3.0, router_bit: Some(6.35) };

fn bar(x: f64, y: f64, width: f64, height: f64) -> Contour {
    rectangle(Point::new(x, y), width, height, [0.0; 4]).unwrap()
}

fn slot(x: f64, y: f64) -> Contour {
    open_slot(Point::new(x, y), Point::new(x, -1.0), 12.0, 12.0).unwrap()
}

fn cut(cutters: &[Contour]) -> Region {
    cutters.iter().fold(board(200.0, 120.0), |r, c| r.cut(c).unwrap())
}

/// What is found in a 200 x 120 board after the cuts, without drillings.
fn found(cutters: &[Contour], rules: &Rules) -> Vec<Unsound> {
    check(&cut(cutters), board(200.0, 120.0).outline(), &[], rules)
}

/// The widths of the thin webs, if nothing but thin webs was found.
fn webs(cutters: &[Contour]) -> Vec<f64> {
    let widths = found(cutters, &HAND).into_iter().map(|u| match u {
        Unsound::ThinWeb { width, .. } => width,
        other => panic!("{other}"),
    });
    widths.collect()
}

fn assert_webs(cutters: &[Contour], expected: &[f64]) {
    let webs = webs(cutters);
    assert_eq!(webs.len(), expected.len(), "{webs:?}");
    assert!(webs.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-6), "{webs:?}");
}

proptest! {
    /// Two slots, and a slot near the far edge: thin exactly when plain subtraction says so.
    #[test]
    fn webs_of_slots(
        pitch in 12.5..25.0_f64, inset in 6.5..20.0_f64, angle in 0.0..360.0_f64,
    ) {
        let cutters = [slot(80.0, 120.0 - inset), slot(80.0 + pitch, 100.0)];
        let turn = Affine::rotate(angle.to_radians());
        let region = cut(&cutters).transformed(turn);
        let blank = board(200.0, 120.0).outline().transformed(turn);
        let mut expected: Vec<f64> =
            [pitch - 12.0, inset - 6.0].into_iter().filter(|w| *w < 6.0 - 0.001).collect();
        expected.sort_by(f64::total_cmp);
        let webs: Vec<f64> = check(&region, &blank, &[], &HAND)
            .iter()
            .map(|u| match u { Unsound::ThinWeb { width, .. } => *width, _ => f64::NAN })
            .collect();
        prop_assert_eq!(webs.len(), expected.len(), "{:?} {:?}", webs, expected);
        for (web, width) in webs.iter().zip(expected) {
            prop_assert!((web - width).abs() < 1e-6);
        }
    }

    /// A hole drilled in a board is sound exactly when it keeps within the edges.
    #[test]
    fn drillings(x in -10.0..210.0_f64, y in -10.0..130.0_f64, diameter in 1.0..20.0_f64) {
        let region = board(200.0, 120.0);
        let room = x.min(200.0 - x).min(y).min(120.0 - y);
        prop_assume!((room - diameter / 2.0).abs() > 0.002);
        let found = check(&region, region.outline(), &[(Point::new(x, y), diameter)], &HAND);
        prop_assert_eq!(found.is_empty(), room > diameter / 2.0, "{:?}", found);
    }
}

#[test]
fn sound_parts_have_nothing_to_say() {
    assert_eq!(found(&[], &HAND), []);
    assert_eq!(found(&[slot(60.0, 90.0), slot(110.0, 90.0)], &HAND), []);
    assert_eq!(found(&[slot(60.0, 90.0), slot(110.0, 90.0)], &ROUTER), []);
    // A narrow strip is no thin web: nothing was cut from it.
    let strip = board(200.0, 4.0);
    assert_eq!(check(&strip, strip.outline(), &[], &HAND), []);
    // A slot whose mouth opens just beside a rounded corner leaves plenty of wood.
    let blank = rectangle(Point::ORIGIN, 200.0, 120.0, [50.0; 4]).unwrap();
    let region = Region::new(blank.clone(), vec![]).cut(&slot(58.0, 60.0)).unwrap();
    assert_eq!(check(&region, &blank, &[], &HAND), []);
}

#[test]
fn thin_webs_between_any_two_edges() {
    let hole = |x: f64, y: f64| Contour::circle(Point::new(x, y), 10.0);
    // Hole and edge; hole and hole; hole and the inside corner of a mortise.
    assert_webs(&[hole(12.0, 60.0)], &[2.0]);
    assert_webs(&[hole(60.0, 60.0), hole(81.5, 60.0)], &[1.5]);
    let diagonal = 14.0 * FRAC_1_SQRT_2;
    assert_webs(&[hole(60.0, 60.0), bar(60.0 + diagonal, 60.0 + diagonal, 50.0, 20.0)], &[4.0]);
    // A slot's wall and the board's end, along the whole slot, is told once.
    assert_webs(&[slot(9.0, 80.0)], &[3.0]);
    // A wedge of wood whose tip is 2 mm wide at the edge.
    let corner = |x: f64, y: f64| (Point::new(x, y), 0.0);
    let left =
        polygon(&[corner(60.0, -1.0), corner(99.0, -1.0), corner(99.0, 0.0), corner(90.0, 60.0)]);
    let right = polygon(&[
        corner(101.0, -1.0),
        corner(140.0, -1.0),
        corner(110.0, 60.0),
        corner(101.0, 0.0),
    ]);
    assert_webs(&[left.unwrap(), right.unwrap()], &[2.0]);
}

#[test]
fn a_row_of_slots_has_a_web_between_each_two() {
    let row: Vec<Contour> = (0..6).map(|i| slot(30.0 + 15.0 * f64::from(i), 80.0)).collect();
    assert_webs(&row, &[3.0; 5]);
}

#[test]
fn inside_radii_for_the_router() {
    let tight = |cutters: &[Contour]| {
        let mut radii = Vec::new();
        for unsound in found(cutters, &ROUTER) {
            match unsound {
                Unsound::TightRadius { radius, bit: 6.35, at } => radii.push((radius, at)),
                other => panic!("{other}"),
            }
        }
        radii
    };
    // The four corners of a mortise, the two of a notch.
    assert_eq!(tight(&[bar(50.0, 50.0, 40.0, 20.0)]).len(), 4);
    let mut corners = tight(&[bar(50.0, -1.0, 40.0, 21.0)]);
    corners.sort_by(|a, b| a.1.x.total_cmp(&b.1.x));
    let at = |x, y| (0.0, Point::new(x, y));
    assert_eq!(corners, vec![at(50.0, 20.0), at(90.0, 20.0)]);
    // A hole smaller than the bit, once; one of the bit's size is sound.
    let hole = |r: f64| Contour::circle(Point::new(60.0, 60.0), r);
    assert_eq!(tight(&[hole(3.0)]), vec![(3.0, Point::new(60.0, 60.0))]);
    assert_eq!(tight(&[hole(3.175)]), vec![]);
    // Outside corners are no matter, sharp or rounded.
    let blank = rectangle(Point::ORIGIN, 50.0, 50.0, [1.0; 4]).unwrap();
    assert_eq!(check(&Region::new(blank.clone(), vec![]), &blank, &[], &ROUTER), []);
    // By hand anything goes.
    assert_eq!(found(&[bar(50.0, 50.0, 40.0, 20.0)], &HAND), []);
}

#[test]
fn regions_that_are_none() {
    let blank = board(200.0, 120.0).outline().clone();
    let with =
        |openings: Vec<Contour>| check(&Region::new(blank.clone(), openings), &blank, &[], &HAND);
    let outside = with(vec![bar(300.0, 0.0, 9.0, 9.0)]);
    assert!(matches!(outside[..], [Unsound::OpeningOutside { opening: 1, .. }]));
    let crossing = with(vec![bar(190.0, 50.0, 20.0, 20.0)]);
    assert!(matches!(crossing[..], [Unsound::Crossing { one: 0, other: 1, .. }]));
    let overlap = with(vec![bar(50.0, 50.0, 20.0, 20.0), bar(60.0, 60.0, 20.0, 20.0)]);
    assert!(matches!(overlap[..], [Unsound::Crossing { one: 1, other: 2, .. }]));
    let nested = with(vec![bar(50.0, 50.0, 40.0, 40.0), bar(60.0, 60.0, 20.0, 20.0)]);
    assert!(matches!(nested[..], [Unsound::OpeningInOpening { inner: 2, outer: 1 }]));
    let line = |p: (f64, f64)| Vertex::line(p.0, p.1);
    let bow = Contour::new([(50.0, 50.0), (90.0, 90.0), (90.0, 50.0), (50.0, 80.0)].map(line));
    let bow = with(vec![bow.unwrap()]);
    assert!(matches!(bow[..], [Unsound::SelfCrossing { contour: 1, .. }]), "{bow:?}");
    let flat = Contour::new([(50.0, 50.0), (90.0, 50.0)].map(line)).unwrap();
    assert!(matches!(with(vec![flat])[..], [Unsound::Flat { contour: 1, .. }]));
}

#[test]
fn a_drilling_in_an_opening_is_not_in_the_wood() {
    let region = cut(&[bar(50.0, 50.0, 40.0, 40.0)]);
    let blank = board(200.0, 120.0).outline().clone();
    let fault = |x, y| check(&region, &blank, &[(Point::new(x, y), 6.0)], &HAND);
    assert!(
        matches!(fault(70.0, 70.0)[..], [Unsound::DrillingOutside { room, .. }] if (room + 20.0).abs() < 1e-9)
    );
    assert!(
        matches!(fault(48.0, 70.0)[..], [Unsound::DrillingOutside { room, .. }] if (room - 2.0).abs() < 1e-9)
    );
    assert_eq!(fault(40.0, 70.0), []);
}
