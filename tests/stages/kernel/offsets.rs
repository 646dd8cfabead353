use std::f64::consts::PI;

use crate::kernel::{BitSide, Contour, OffsetError, Region, open_slot, polygon, rectangle};
use geo::{Area, Buffer, Validation};
use kurbo::{Point, Vec2};
use proptest::prelude::*;

use super::{board, polygon_of, region_of, slack};

/// Corners round a circle: always convex.
fn convex() -> impl Strategy<Value = Contour> {
    (prop::collection::vec(0.2..1.0_f64, 3..9), 20.0..200.0_f64).prop_filter_map(
        "too flat",
        |(steps, reach)| {
            let all: f64 = steps.iter().sum();
            let mut angle = 0.0;
            let corners: Vec<(Point, f64)> = steps
                .iter()
                .map(|step| {
                    angle += step / all * 2.0 * PI;
                    (Point::new(300.0, 200.0) + Vec2::from_angle(angle) * reach, 0.0)
                })
                .collect();
            polygon(&corners).ok()
        },
    )
}

/// A shelf with a keyhole slot, a rounded mortise and a hole, all wide enough for a 12 mm bit.
fn shelf() -> Region {
    let keyhole = open_slot(Point::new(60.0, 70.0), Point::new(60.0, -1.0), 14.0, 24.0).unwrap();
    let mortise = rectangle(Point::new(100.0, 40.0), 60.0, 30.0, [7.0; 4]).unwrap();
    let hole = Contour::circle(Point::new(180.0, 20.0), 10.0);
    [keyhole, mortise, hole].iter().fold(board(200.0, 120.0), |r, c| r.cut(c).unwrap())
}

/// The way of a bit round the outline and in the openings.
fn path(region: &Region, bit: f64) -> Result<Region, OffsetError> {
    let openings = region.openings().iter().map(|o| o.path_of_bit(bit, BitSide::Inside));
    Ok(Region::new(
        region.outline().path_of_bit(bit, BitSide::Outside)?,
        openings.collect::<Result<_, _>>()?,
    ))
}

proptest! {
    /// Steiner's formula for parallel sets of convex figures: A + P d + pi d².
    #[test]
    fn convex_outlines_grow_by_steiners_formula(contour in convex(), by in 0.5..30.0) {
        let grown = contour.grown(by).unwrap();
        let steiner = contour.area() + contour.perimeter() * by + PI * by * by;
        prop_assert!((grown.area() - steiner).abs() < 1e-6 * steiner);
        // And each corner left behind is rounded by a true arc of that radius.
        let arcs: Vec<_> = grown.segments().filter_map(|s| s.arc()).collect();
        prop_assert_eq!(arcs.len(), contour.vertices().len());
        prop_assert!(arcs.iter().all(|a| (a.radius - by).abs() < 1e-4));
        prop_assert!(polygon_of(&grown).is_valid());
        // Inward again it is itself.
        let back = grown.grown(-by).unwrap();
        prop_assert!((back.area() - contour.area()).abs() < 1e-4 * steiner);
    }

    /// The winding does not matter to the size, and is kept.
    #[test]
    fn winding_is_kept(contour in convex(), by in 0.5..30.0) {
        let (one, two) = (contour.grown(by).unwrap(), contour.reversed().grown(by).unwrap());
        prop_assert!((one.area() + two.area()).abs() < 1e-6 * one.area());
    }

    /// The path runs half a bit beside every edge, in the waste; `geo`'s buffer agrees on its area.
    #[test]
    fn the_bits_path(bit in 2.0..12.0) {
        let region = shelf();
        let path = path(&region, bit).unwrap();
        let buffered = region_of(&region).buffer(bit / 2.0);
        let off = path.area() - buffered.unsigned_area();
        // geo rounds a corner with chords of its own, so it may be short by a little for each.
        prop_assert!(off.abs() < slack(path.perimeter()) + 0.02 * bit * bit, "{off}");
        for point in path.contours().flat_map(|c| c.flatten(0.01)) {
            prop_assert!((region.room_at(point) + bit / 2.0).abs() < 0.002);
        }
    }

    #[test]
    fn odd_figures(by in any::<f64>(), bit in any::<f64>(), much in -1e5..1e5_f64) {
        let _ = shelf().outline().grown(much);
        let _ = path(&shelf(), much);
        let _ = shelf().outline().grown(by);
        let _ = path(&shelf(), bit);
    }
}

#[test]
fn refusals_carry_their_figures() {
    let region = board(200.0, 120.0).cut(&Contour::circle(Point::new(50.0, 60.0), 5.0)).unwrap();
    let error = path(&region, 12.7).unwrap_err();
    assert!(matches!(error, OffsetError::Vanishes { width, .. } if (width - 10.0).abs() < 1e-9));

    // Two rooms joined by a passage narrower than the bit.
    let rooms = [(40.0, 40.0), (100.0, 40.0)]
        .map(|(x, y)| rectangle(Point::new(x, y), 40.0, 40.0, [0.0; 4]).unwrap());
    let passage = rectangle(Point::new(79.0, 58.0), 22.0, 4.0, [0.0; 4]).unwrap();
    let region = rooms.iter().chain([&passage]).fold(board(200.0, 120.0), |r, c| r.cut(c).unwrap());
    assert_eq!(region.openings().len(), 1);
    assert!(matches!(path(&region, 6.0), Err(OffsetError::Splits { pieces: 2, .. })));
    assert!(path(&region, 3.0).is_ok());

    // A slot in the outline narrower than the bit would silently be left out.
    let slot = open_slot(Point::new(50.0, 60.0), Point::new(50.0, -1.0), 6.0, 6.0).unwrap();
    let region = board(200.0, 120.0).cut(&slot).unwrap();
    assert!(matches!(
        path(&region, 8.0),
        Err(OffsetError::OutOfReach { bit: 8.0, distance, .. }) if distance > 4.0
    ));
    assert!(matches!(path(&region, 0.0), Err(OffsetError::NoBit { .. })));
}
