use std::f64::consts::{FRAC_PI_2, PI};

use crate::kernel::{Contour, Region, Relief, ReliefError, polygon, rectangle, relieve};
use crate::tolerance::RELIEF_SLACK;
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{BooleanOps, Buffer, Contains, Simplify, Validation};
use kurbo::{Affine, Point, Vec2};
use proptest::prelude::*;

use super::{board, polygon_of, region_of};

/// Lower left corner of the mortise in the middle of a 200 x 120 board.
const CORNER: Point = Point::new(70.0, 40.0);

fn seats(width: f64, height: f64) -> [Point; 4] {
    [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
        .map(|(x, y)| CORNER + Vec2::new(x, y))
}

fn mortised(width: f64, height: f64) -> Region {
    board(200.0, 120.0).cut(&rectangle(CORNER, width, height, [0.0; 4]).unwrap()).unwrap()
}

/// A notch in the lower edge, as wide, its bottom `height` up.
fn notched(width: f64, height: f64) -> (Region, [Point; 2]) {
    let notch = rectangle(Point::new(70.0, -1.0), width, height + 1.0, [0.0; 4]).unwrap();
    let seats = [Point::new(70.0, height), Point::new(70.0 + width, height)];
    (board(200.0, 120.0).cut(&notch).unwrap(), seats)
}

/// Whether the square-cornered part `seat` goes in after a bit of diameter `bit` cleared all the
/// open space it can: what such a bit sweeps is the space opened by its disk, which is eroded and
/// then dilated by the radius, here by `geo`. The part is taken 0.01 mm smaller all round, for
/// `geo` rounds with chords.
fn seat_is_swept(region: &Region, seat: &Contour, bit: f64) -> bool {
    let around = region.bounds().inflate(50.0, 50.0);
    let around = rectangle(around.origin(), around.width(), around.height(), [0.0; 4]).unwrap();
    let open = polygon_of(&around).difference(&region_of(region)).simplify(0.002);
    let by = |distance| BufferStyle::new(distance).line_join(LineJoin::Round(0.1));
    let swept = open.buffer_with_style(by(-bit / 2.0)).buffer_with_style(by(bit / 2.0));
    swept.contains(&polygon_of(seat).buffer(-0.01))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// Each relief takes what plane geometry says, and none of the wood is lost elsewhere:
    /// r² (pi/2 - 1) at a corner, half a circle along a side.
    #[test]
    fn bites(width in 30.0..60.0, height in 30.0..60.0, bit in 2.0..7.0, corner in any::<bool>()) {
        let plain = mortised(width, height);
        let (relief, share) =
            if corner { (Relief::Corner, FRAC_PI_2 - 1.0) } else { (Relief::Side, FRAC_PI_2) };
        let relieved = relieve(&plain, &seats(width, height), relief, bit).unwrap();
        let r = bit / 2.0 + RELIEF_SLACK;
        prop_assert!((plain.area() - relieved.area() - 4.0 * r * r * share).abs() < 0.01);
        prop_assert_eq!(relieved.openings().len(), 1);
        prop_assert!(region_of(&relieved).is_valid());
        // Four true half circles, and four sides (shorter ones, but for the mating ones).
        let arcs: Vec<_> = relieved.openings()[0].segments().filter_map(|s| s.arc()).collect();
        prop_assert_eq!(arcs.len(), 4);
        for arc in arcs {
            prop_assert!((arc.radius - r).abs() < 1e-6);
            prop_assert!((arc.sweep.abs() - PI).abs() < 1e-6);
        }
    }

    /// The square part goes in: the bit sweeps its whole outline. Without relief it does not.
    #[test]
    fn a_square_part_fits(
        width in 30.0..60.0, height in 30.0..60.0, bit in 2.0..7.0, corner in any::<bool>(),
        angle in 0.0..360.0_f64,
    ) {
        let relief = if corner { Relief::Corner } else { Relief::Side };
        let turn = Affine::rotate(angle.to_radians());
        let plain = mortised(width, height).transformed(turn);
        let part = rectangle(CORNER, width, height, [0.0; 4]).unwrap().transformed(turn);
        let seats = seats(width, height).map(|p| turn * p);
        let relieved = relieve(&plain, &seats, relief, bit).unwrap();
        prop_assert!(seat_is_swept(&relieved, &part, bit));
        prop_assert!(!seat_is_swept(&plain, &part, bit));
        // Each seat in turn is needed.
        let three = relieve(&plain, &seats[..3], relief, bit).unwrap();
        prop_assert!(!seat_is_swept(&three, &part, bit));
    }

    /// In a notch the end of the tenon, the shorter side, stays whole with `Side`.
    #[test]
    fn notches(width in 20.0..40.0, depth in 41.0..80.0, bit in 2.0..7.0) {
        let (plain, seats) = notched(width, depth);
        let relieved = relieve(&plain, &seats, Relief::Side, bit).unwrap();
        let whole = relieved.outline().segments().any(|s| {
            s.is_line() && (s.length() - width).abs() < 1e-6 && (s.start.y - depth).abs() < 1e-6
        });
        prop_assert!(whole);
        prop_assert!(relieved.openings().is_empty());
        let part = rectangle(Point::new(70.0, 0.0), width, depth, [0.0; 4]).unwrap();
        prop_assert!(seat_is_swept(&relieved, &part, bit));
        let at_corner = relieve(&plain, &seats, Relief::Corner, bit).unwrap();
        prop_assert!(seat_is_swept(&at_corner, &part, bit));
        prop_assert!(!seat_is_swept(&plain, &part, bit));
    }

    /// Corners that are not square, with either relief, clear a part of the same angle.
    #[test]
    fn other_angles(degrees in 62.0..150.0_f64, bit in 2.0..6.0, corner in any::<bool>()) {
        let relief = if corner { Relief::Corner } else { Relief::Side };
        let far = CORNER + Vec2::from_angle(degrees.to_radians()) * 40.0;
        let shape = [(CORNER, 0.0), (CORNER + Vec2::new(40.0, 0.0), 9.0), (far, 9.0)];
        let Ok(opening) = polygon(&shape) else { return Ok(()) };
        let plain = board(200.0, 120.0).cut(&opening).unwrap();
        let relieved = relieve(&plain, &[CORNER], relief, bit).unwrap();
        prop_assert!(seat_is_swept(&relieved, &opening, bit));
    }

    #[test]
    fn odd_figures(x in any::<f64>(), bit in any::<f64>(), more in -9.0..90.0) {
        let _ = relieve(&mortised(40.0, 30.0), &[CORNER, Point::new(x, bit)], Relief::Corner, bit);
        let _ = relieve(&mortised(40.0, 30.0), &seats(40.0, 30.0), Relief::Side, more);
        let _ = relieve(&mortised(40.0, 30.0), &seats(40.0, 30.0), Relief::Corner, more);
    }
}

#[test]
fn a_square_mortise_is_bitten_once_along_each_level_side_corner() {
    // Equal sides: the bites go along x, so that the two upright sides stay whole.
    let relieved = relieve(&mortised(40.0, 40.0), &seats(40.0, 40.0), Relief::Side, 6.0).unwrap();
    let bounds = relieved.openings()[0].bounds();
    let r = 3.0 + RELIEF_SLACK;
    assert!((bounds.width() - 40.0).abs() < 1e-6);
    assert!((bounds.height() - 40.0 - 2.0 * r).abs() < 1e-6);
}

#[test]
fn seats_that_need_none_get_none() {
    let plain = mortised(40.0, 30.0);
    let seats = seats(40.0, 30.0);
    assert_eq!(relieve(&plain, &seats, Relief::None, 6.0), Ok(plain.clone()));
    // A round hole over the corner has opened it.
    let opened = plain.cut(&Contour::circle(CORNER, 5.0)).unwrap();
    assert_eq!(relieve(&opened, &seats[..1], Relief::Corner, 6.0), Ok(opened.clone()));
    // An outside corner, a point along an edge, a point outside the part.
    for seat in [Point::ORIGIN, Point::new(50.0, 0.0), Point::new(-9.0, 0.0)] {
        assert_eq!(relieve(&plain, &[seat], Relief::Corner, 6.0), Ok(plain.clone()));
    }
    // One named twice is bitten once.
    let twice = relieve(&plain, &[CORNER, CORNER], Relief::Corner, 6.0);
    assert_eq!(twice, relieve(&plain, &[CORNER], Relief::Corner, 6.0));
}

#[test]
fn refusals_carry_their_figures() {
    let relieve_all = |width: f64, height: f64, relief, bit| {
        relieve(&mortised(width, height), &seats(width, height), relief, bit).unwrap_err()
    };
    let error = relieve_all(40.0, 5.0, Relief::Side, 6.0);
    assert!(matches!(error, ReliefError::BitTooLarge { bit: 6.0, room, .. }
        if (room - 5.0).abs() < 1e-9));
    // Two corner bites take 2 sqrt(2) r of a side: 8.63 of 8 mm.
    let r = 3.0 + RELIEF_SLACK;
    let error = relieve_all(40.0, 8.0, Relief::Corner, 6.0);
    assert!(matches!(error, ReliefError::SideTooShort { needs, side, .. }
        if (needs - 8.0_f64.sqrt() * r).abs() < 1e-9 && (side - 8.0).abs() < 1e-9));
    // Two side bites take 4 r: 12.2 of 12 mm.
    let error = relieve_all(12.0, 10.0, Relief::Side, 6.0);
    assert!(matches!(error, ReliefError::SideTooShort { needs, side, .. }
        if (needs - 4.0 * r).abs() < 1e-9 && (side - 12.0).abs() < 1e-9));

    let rounded = rectangle(CORNER, 40.0, 30.0, [5.0; 4]).unwrap();
    let rounded = board(200.0, 120.0).cut(&rounded).unwrap();
    let error = relieve(&rounded, &[CORNER], Relief::Corner, 6.0).unwrap_err();
    // The corner of a 5 mm round stands 5 (sqrt 2 - 1) in the wood.
    assert!(matches!(error, ReliefError::NotOpened { depth, .. }
        if (depth - 5.0 * (2.0_f64.sqrt() - 1.0)).abs() < 1e-9));

    let sharp = polygon(&[
        (CORNER, 0.0),
        (CORNER + Vec2::new(40.0, 0.0), 0.0),
        (CORNER + Vec2::new(40.0, 20.0), 0.0),
    ]);
    let sharp = board(200.0, 120.0).cut(&sharp.unwrap()).unwrap();
    let error = relieve(&sharp, &[CORNER], Relief::Corner, 3.0).unwrap_err();
    assert!(
        matches!(error, ReliefError::TooAcute { degrees, .. } if (degrees - 26.565).abs() < 0.001)
    );

    // A hole 2.5 mm below the side that is bitten.
    let near =
        mortised(40.0, 30.0).cut(&Contour::circle(CORNER + Vec2::new(3.0, -6.0), 3.5)).unwrap();
    let error = relieve(&near, &[CORNER], Relief::Side, 6.0).unwrap_err();
    assert!(matches!(error, ReliefError::BreaksOut { .. }));
    let error = relieve(&near, &[CORNER], Relief::Corner, f64::NAN).unwrap_err();
    assert!(matches!(error, ReliefError::NoBit { .. }));
}

/// The relieved part is the plain one less the bites: it never has wood where the plain had none.
#[test]
fn relief_only_takes_away() {
    let plain = mortised(40.0, 30.0);
    let relieved = relieve(&plain, &seats(40.0, 30.0), Relief::Side, 6.0).unwrap();
    assert!(region_of(&plain).contains(&region_of(&relieved)));
}
