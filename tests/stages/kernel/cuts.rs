use crate::kernel::{Contour, CutError, Region, closed_slot, open_slot, polygon, rectangle};
use geo::{Area, BooleanOps, MultiPolygon, Validation};
use kurbo::{Point, Vec2};
use proptest::prelude::*;

use super::{board, cutter, polygon_of, region_of, ring, slack, turned};

/// Valid to `geo`, of the same area there, wound as promised, free of needless vertices.
fn assert_proper(region: &Region) {
    let other = region_of(region);
    assert!(other.is_valid(), "{:?}\n{region:?}", other.check_validation());
    assert!((other.unsigned_area() - region.area()).abs() <= slack(region.perimeter()));
    assert!(region.outline().area() > 0.0);
    assert!(region.openings().iter().all(|o| o.area() < 0.0));
    for contour in region.contours() {
        assert!(contour.segments().all(|s| s.length() >= 0.001), "{contour:?}");
    }
}

/// `geo`'s difference, without the pieces no larger than `crumb` in mm².
fn second_opinion(region: &Region, cutter: &Contour, crumb: f64) -> MultiPolygon<f64> {
    let pieces =
        MultiPolygon::from(region_of(region)).difference(&MultiPolygon::from(polygon_of(cutter)));
    pieces.into_iter().filter(|p| p.unsigned_area() > crumb).collect()
}

/// Holds a cut, made or refused, against `geo`'s.
fn compare(region: &Region, cutter: &Contour) -> Option<Region> {
    // Flattened arcs leave slivers along edges that coincide.
    let other = second_opinion(region, cutter, 0.05);
    let removed = region.area() - other.unsigned_area();
    let slack = 0.05 + slack(region.perimeter() + cutter.perimeter());
    match region.cut(cutter) {
        Ok(cut) => {
            assert_eq!(other.0.len(), 1, "{region:?} {cutter:?}");
            assert!((cut.area() - other.unsigned_area()).abs() <= slack, "{region:?} {cutter:?}");
            assert_proper(&cut);
            return Some(cut);
        }
        Err(CutError::Misses { .. }) => assert!(removed <= slack, "{region:?} {cutter:?}"),
        Err(CutError::RemovesAll) => assert!(other.0.is_empty(), "{region:?} {cutter:?}"),
        Err(CutError::Splits { loose, .. } | CutError::FreesIsland { area: loose, .. }) => {
            // A round that touches an edge parts the wood there; its chords fall just short. Even
            // a crumb counts as a piece.
            let crumb = (loose / 10.0).min(0.05);
            let wider = second_opinion(region, &cutter.grown(0.003).unwrap(), crumb);
            assert!(wider.0.len() > 1, "{region:?} {cutter:?}");
        }
        // Edges that only touch: to `geo` these may be one piece or two.
        Err(CutError::LeavesNoWood { .. }) => {}
        Err(error) => panic!("{error} {region:?} {cutter:?}"),
    }
    None
}

/// Every arc of the result lies on a circle of the board or of a cutter.
fn assert_arcs_kept(region: &Region, sources: &[Contour]) {
    let arcs = |c: &Contour| c.segments().filter_map(|s| s.arc()).collect::<Vec<_>>();
    let known: Vec<_> = sources.iter().flat_map(arcs).collect();
    for arc in region.contours().flat_map(arcs) {
        let kept = known.iter().any(|k| {
            (k.center - arc.center).hypot() < 0.001 && (k.radius - arc.radius).abs() < 0.001
        });
        assert!(kept, "{arc:?} {region:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Cut after cut, each held against `geo`; arcs stay the arcs they were.
    #[test]
    fn any_cuts(cutters in prop::collection::vec(cutter(), 1..6), radius in 0.0..30.0) {
        let blank = rectangle(Point::ORIGIN, 200.0, 120.0, [radius; 4]).unwrap();
        let mut region = Region::new(blank.clone(), vec![]);
        let mut sources = vec![blank];
        sources.extend(cutters.iter().cloned());
        for cutter in &cutters {
            region = compare(&region, cutter).unwrap_or(region);
            assert_arcs_kept(&region, &sources);
        }
    }

    /// Rectangles and circles on a coarse grid: edges that coincide, corners and rounds that touch.
    #[test]
    fn cuts_on_a_grid(
        cuts in prop::collection::vec((-1..6_i32, -1..6_i32, 1..4_i32, 1..4_i32, 0..4), 1..7),
        angle in prop::sample::select(vec![0.0, 90.0, 17.0]),
    ) {
        let square = rectangle(Point::ORIGIN, 60.0, 60.0, [0.0; 4]).unwrap();
        let mut region = Region::new(turned(&square, angle, Point::ORIGIN), vec![]);
        for (x, y, w, h, kind) in cuts {
            let at = Point::new(f64::from(x) * 10.0, f64::from(y) * 10.0);
            let (w, h) = (f64::from(w) * 10.0, f64::from(h) * 10.0);
            let cutter = match kind {
                0 => Contour::circle(at, w / 2.0),
                1 => closed_slot(at, at + Vec2::new(w, 0.0), 10.0, 10.0).unwrap(),
                _ => rectangle(at, w, h, [0.0; 4]).unwrap(),
            };
            region = compare(&region, &turned(&cutter, angle, Point::ORIGIN)).unwrap_or(region);
        }
    }

    /// Edges that miss each other by less than the snap, about it, and just more.
    #[test]
    fn nearly_coincident_edges(power in 3.0..12.0_f64, sign in prop::sample::select(vec![-1.0, 1.0])) {
        let off = sign * f64::powf(10.0, -power);
        let notch = rectangle(Point::new(40.0, off), 30.0, 20.0, [0.0; 4]).unwrap();
        let made = board(200.0, 120.0).cut(&notch);
        if let Ok(cut) = made {
            assert_proper(&cut);
            prop_assert!((cut.area() - 24_000.0 + 600.0).abs() < 0.1);
        } else {
            // A notch that stops short of the edge leaves a film of wood.
            prop_assert!(off > 0.0, "{off:e} {made:?}");
        }
    }

    #[test]
    fn odd_figures(n in prop::collection::vec(-1e9..1e9_f64, 6), circle in any::<bool>()) {
        let cutter = if circle {
            Contour::circle(Point::new(n[0], n[1]), n[2])
        } else {
            let corner = |i: usize| (Point::new(n[i], n[i + 1]), 0.0);
            let Ok(made) = polygon(&[corner(0), corner(2), corner(4)]) else { return Ok(()) };
            made
        };
        let _ = board(200.0, 120.0).cut(&cutter);
    }
}

/// Places side by side.
fn row(start: Point, pitch: f64, count: usize) -> impl Iterator<Item = Point> {
    (0..count).map(move |i| Point::new(start.x + pitch * i as f64, start.y))
}

#[test]
fn a_notch_with_its_mouth_on_the_edge() {
    let notch = rectangle(Point::new(40.0, 0.0), 30.0, 20.0, [0.0; 4]).unwrap();
    let cut = board(200.0, 120.0).cut(&notch).unwrap();
    assert_eq!(cut.outline().vertices().len(), 8);
    assert!(cut.openings().is_empty());
    assert!((cut.area() - 23_400.0).abs() < 1e-9);
}

#[test]
fn a_corner_notch_on_two_edges() {
    let notch = rectangle(Point::ORIGIN, 30.0, 20.0, [0.0; 4]).unwrap();
    let cut = board(200.0, 120.0).cut(&notch).unwrap();
    assert_eq!(cut.outline().vertices().len(), 6);
    assert!((cut.area() - 23_400.0).abs() < 1e-9);
}

#[test]
fn neighboring_notches_join_without_a_seam() {
    let notch = |x: f64| rectangle(Point::new(x, -1.0), 30.0, 21.0, [0.0; 4]).unwrap();
    let cut = board(200.0, 120.0).cut(&notch(40.0)).unwrap().cut(&notch(70.0)).unwrap();
    assert_eq!(cut.outline().vertices().len(), 8);
    let mortise = |x: f64| rectangle(Point::new(x, 40.0), 30.0, 21.0, [0.0; 4]).unwrap();
    let cut = board(200.0, 120.0).cut(&mortise(40.0)).unwrap().cut(&mortise(70.0)).unwrap();
    assert_eq!(cut.openings().len(), 1);
    assert_eq!(cut.openings()[0].vertices().len(), 4);
}

#[test]
fn a_cut_joins_every_opening_it_overlaps() {
    let mut region = board(200.0, 120.0);
    for at in row(Point::new(40.0, 60.0), 40.0, 4) {
        region = region.cut(&Contour::circle(at, 8.0)).unwrap();
    }
    assert_eq!(region.openings().len(), 4);
    let groove = rectangle(Point::new(30.0, 58.0), 90.0, 4.0, [0.0; 4]).unwrap();
    let joined = region.cut(&groove).unwrap();
    assert_eq!(joined.openings().len(), 2);
    let through = rectangle(Point::new(-1.0, 58.0), 170.0, 4.0, [0.0; 4]).unwrap();
    assert!(joined.cut(&through).unwrap().openings().is_empty());
}

#[test]
fn a_shelf_of_twelve_slots_keeps_twelve_arcs() {
    let inch = 25.4;
    let mut shelf = board(26.0 * inch, 3.5 * inch);
    for end in row(Point::new(2.0 * inch, 2.5 * inch), 2.0 * inch, 12) {
        let mouth = Point::new(end.x, -1.0);
        shelf = shelf.cut(&open_slot(end, mouth, 12.7, 12.7).unwrap()).unwrap();
    }
    assert_eq!(shelf.outline().vertices().len(), 4 + 12 * 4);
    let arcs: Vec<_> = shelf.outline().segments().filter_map(|s| s.arc()).collect();
    assert_eq!(arcs.len(), 12);
    assert!(arcs.iter().all(|a| (a.radius - 6.35).abs() < 1e-9));
    assert!(arcs.iter().all(|a| (a.sweep + std::f64::consts::PI).abs() < 1e-9));
}

#[test]
fn refusals() {
    let plain = board(200.0, 120.0);
    let bar = |x, y, w, h| rectangle(Point::new(x, y), w, h, [0.0; 4]).unwrap();
    let right_through = bar(150.0, -1.0, 10.0, 122.0);
    let split = plain.cut(&right_through).unwrap_err();
    assert!(
        matches!(split, CutError::Splits { pieces: 2, loose } if (loose - 4800.0).abs() < 1e-6)
    );
    assert_eq!(plain.cut(&bar(-1.0, -1.0, 300.0, 300.0)), Err(CutError::RemovesAll));
    assert_eq!(plain.cut(&bar(0.0, 0.0, 200.0, 120.0)), Err(CutError::RemovesAll));
    assert!(matches!(plain.cut(&bar(300.0, 0.0, 9.0, 9.0)), Err(CutError::Misses { .. })));
    // Beside an edge, and touching it round.
    assert!(matches!(plain.cut(&bar(200.0, 0.0, 9.0, 9.0)), Err(CutError::Misses { .. })));
    let beside = Contour::circle(Point::new(205.0, 60.0), 5.0);
    assert!(matches!(plain.cut(&beside), Err(CutError::Misses { .. })));
    // Touching an edge from within leaves no wood there.
    let within = Contour::circle(Point::new(195.0, 60.0), 5.0);
    let touch = plain.cut(&within).unwrap_err();
    assert!(
        matches!(touch, CutError::LeavesNoWood { at } if (at - Point::new(200.0, 60.0)).hypot() < 0.01)
    );
    // A second cut in what is open already.
    let opened = plain.cut(&bar(50.0, 50.0, 40.0, 40.0)).unwrap();
    assert!(matches!(opened.cut(&bar(60.0, 60.0, 9.0, 9.0)), Err(CutError::Misses { .. })));
    let bow = Contour::new(
        [(0.0, 0.0), (9.0, 9.0), (9.0, 0.0), (0.0, 9.0)]
            .map(|(x, y)| crate::kernel::Vertex::line(x, y)),
    );
    assert!(matches!(plain.cut(&bow.unwrap()), Err(CutError::SelfCrossing { .. })));
    let nowhere = Contour::circle(Point::new(f64::NAN, 0.0), 1.0);
    assert_eq!(plain.cut(&nowhere), Err(CutError::OutOfReach));
}

#[test]
fn an_island_is_refused() {
    // Three sides of a frame, then the fourth.
    let corner = |x: f64, y: f64| (Point::new(x, y), 0.0);
    let frame = polygon(&[
        corner(50.0, 30.0),
        corner(60.0, 30.0),
        corner(60.0, 80.0),
        corner(120.0, 80.0),
        corner(120.0, 30.0),
        corner(130.0, 30.0),
        corner(130.0, 90.0),
        corner(50.0, 90.0),
    ]);
    let opened = board(200.0, 120.0).cut(&frame.unwrap()).unwrap();
    let fourth = rectangle(Point::new(50.0, 25.0), 80.0, 10.0, [0.0; 4]).unwrap();
    let error = opened.cut(&fourth).unwrap_err();
    assert!(
        matches!(error, CutError::FreesIsland { area, .. } if (area - 60.0 * 45.0).abs() < 1e-6)
    );
    // Not when the cut takes the wood within as well.
    let whole = rectangle(Point::new(50.0, 25.0), 80.0, 60.0, [0.0; 4]).unwrap();
    assert_eq!(opened.cut(&whole).unwrap().openings().len(), 1);
}

/// A bar that meets a slanting notch a tenth of a millimeter short of its corner.
#[test]
fn a_crumb_is_a_piece() {
    let quad =
        |corners: [(f64, f64); 4]| polygon(&corners.map(|(x, y)| (Point::new(x, y), 0.0))).unwrap();
    let notch = quad([(63.644, 124.96), (92.485, 73.818), (99.035, 77.512), (70.195, 128.654)]);
    let bar = quad([(55.785, 96.481), (58.87, 93.935), (80.832, 120.547), (77.747, 123.093)]);
    let notched = board(200.0, 120.0).cut(&notch).unwrap();
    let error = notched.cut(&bar).unwrap_err();
    assert!(matches!(error, CutError::Splits { pieces, .. } if pieces > 1), "{error}");
    assert!(compare(&notched, &bar).is_none());
}

#[test]
fn the_same_cut_gives_the_same_bytes() {
    let cut = || {
        let slot = closed_slot(Point::new(40.0, 50.0), Point::new(90.0, 71.0), 9.0, 13.0).unwrap();
        board(200.0, 120.0).cut(&slot).unwrap().cut(&Contour::circle(Point::ORIGIN, 20.0)).unwrap()
    };
    assert_eq!(format!("{:?}", cut()), format!("{:?}", cut()));
    let _ = ring(cut().outline());
}
