//! Two beveled strips from one rip, by areas of the cross-section.

use crate::cutting::{BlankUse, Fence, PieceIndex, double_width, narrow_face};
use crate::document::plan as order;
use crate::export::{cut_tables, md};
use crate::length::Units;
use crate::router;
use geo::{Area, BooleanOps, BoundingRect, LineString, Polygon};

use super::{SAW, cleat, dowel, holder, planned, ply, replay, shop};

fn polygon(corners: &[(f64, f64)]) -> Polygon {
    Polygon::new(LineString::from(corners.to_vec()), vec![])
}

/// The blank's section, less the slanting band that the blade takes, is two strips: each as wide
/// as wanted on one face and narrower by thickness × tan(angle) on the other.
#[test]
fn the_blade_parts_the_blank_into_two_alike() {
    for (width, thickness, angle, kerf) in
        [(57.0, 18.0, 45.0, 3.0), (60.0, 18.26, 30.0, 3.2), (90.0, 25.0, 15.0, 2.4)]
    {
        let blank = double_width(width, thickness, angle, kerf);
        let (tan, wide) = (f64::to_radians(angle).tan(), kerf / f64::to_radians(angle).cos());
        let section = polygon(&[(0.0, 0.0), (blank, 0.0), (blank, thickness), (0.0, thickness)]);
        // The first strip shows its whole width below, the second above.
        let top = width - thickness * tan;
        let band = polygon(&[
            (width, 0.0),
            (width + wide, 0.0),
            (top + wide, thickness),
            (top, thickness),
        ]);
        let strips = section.difference(&band);
        let areas: Vec<f64> = strips.iter().map(Area::unsigned_area).collect();
        let wanted = (width - thickness * tan / 2.0) * thickness;
        assert_eq!(areas.len(), 2);
        assert!(areas.iter().all(|area| (area - wanted).abs() < 1e-4), "{areas:?} {wanted}");
    }
}

#[test]
fn rails_come_in_pairs_and_bevels_last() {
    let holders = [holder("wall", vec![cleat("cleat", 1500.0, 60.0, 4)])];
    let plan = planned(&holders, &ply("", SAW));
    let strips: Vec<&Vec<Vec<PieceIndex>>> = plan
        .blanks
        .iter()
        .filter_map(|blank| match blank {
            BlankUse::Strip(strip) => strip.of(&plan.strips),
            BlankUse::Piece(_) => None,
        })
        .collect();
    assert_eq!(strips.len(), 2);
    assert!(strips.iter().all(|strip| strip.len() == 2));
    let first = plan.setups.iter().position(|s| matches!(s.fence, Fence::Bevel { .. })).unwrap();
    let rest = plan.setups.iter().skip(first + 1);
    assert!(rest.clone().all(|s| matches!(s.fence, Fence::Stop(_))), "no rip after the bevel");
    let bevels = &plan.setups[first].cuts;
    assert_eq!(bevels.len(), 2);
    let blank = double_width(60.0, 18.0, 45.0, 3.0);
    assert!(bevels.iter().all(|cut| (cut.area.size[1] as f64 / 1000.0 - blank).abs() < 0.001));
}

/// The section as it lies on the saw: table y = 0, fence x = 0 on the right, the blade to its left
/// leaning away. The fence stands off the blade by the narrow face; the strip at the fence is wide
/// above and nothing of it lies under the blade, so that it can be lifted off.
#[test]
fn the_blade_leans_away_from_the_fence_and_the_wide_face_is_up() {
    // 1 17/32 in for 2 1/4 in of 23/32 in at 45°, in mm.
    assert!((narrow_face(57.15, 18.256_25, 45.0) - (1.0 + 17.0 / 32.0) * 25.4).abs() < 1e-3);
    for (wide, thickness, angle, kerf) in
        [(57.15, 18.256, 45.0, 3.175), (60.0, 18.0, 30.0, 3.0), (90.0, 25.0, 15.0, 2.4)]
    {
        let fence = narrow_face(wide, thickness, angle);
        let radians = f64::to_radians(angle);
        let (lean, kerf) = (thickness * radians.tan(), kerf / radians.cos());
        let blank = double_width(wide, thickness, angle, 0.0) + kerf;
        let section = polygon(&[(0.0, 0.0), (-blank, 0.0), (-blank, thickness), (0.0, thickness)]);
        let band = polygon(&[
            (-fence, 0.0),
            (-fence - kerf, 0.0),
            (-fence - kerf - lean, thickness),
            (-fence - lean, thickness),
        ]);
        let strips = section.difference(&band);
        let held = strips.iter().find(|strip| strip.bounding_rect().unwrap().max().x > -1e-3);
        let held = held.unwrap();
        let widths = |polygon: &Polygon, y: f64| {
            let at = polygon.exterior().points().filter(|p| (p.y() - y).abs() < 1e-3);
            let xs: Vec<f64> = at.map(geo::Point::x).collect();
            xs.iter().copied().fold(f64::MIN, f64::max)
                - xs.iter().copied().fold(f64::MAX, f64::min)
        };
        assert!((widths(held, 0.0) - fence).abs() < 1e-3);
        assert!((widths(held, thickness) - wide).abs() < 1e-3);
        let other = strips.iter().find(|strip| *strip != held).unwrap();
        assert!((widths(other, 0.0) - wide).abs() < 1e-3);
        assert!((widths(other, thickness) - fence).abs() < 1e-3);
    }
}

#[test]
fn the_plan_sets_the_fence_to_the_narrow_face() {
    let holders = [holder("wall", vec![cleat("cleat", 1500.0, 60.0, 2)])];
    let plan = planned(&holders, &ply("", SAW));
    let fences: Vec<Fence> = plan.setups.iter().map(|setup| setup.fence).collect();
    assert!(fences.contains(&Fence::Bevel { wide: 60_000, narrow: 42_000, angle: 45_000 }));
    let text = md::write(&order(&plan, &router::RouterPlan::default(), Units::Millimeters));
    assert!(text.contains(
        "away from the fence, which stands at 42 mm at the table; wide face of 60 mm up"
    ));
}

/// A board too narrow for a pair is ripped to single strips; nothing is short.
#[test]
fn a_pair_is_made_only_where_it_fits() {
    let holders = [holder("wall", vec![cleat("cleat", 900.0, 60.0, 2)])];
    let board = "[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2000\nwidth = 90\n";
    let plan = planned(&holders, &shop(&format!("units = \"mm\"\n{board}{SAW}")));
    assert!(plan.missing.is_empty(), "{:?}", plan.findings);
    assert!(plan.strips.iter().all(|strip| strip.len() == 1));
}

#[test]
fn what_is_left_of_a_cleat_strip_is_kept_as_such() {
    let mut strips = 0;
    for length in [900.0, 1700.0, 2000.0] {
        let holders = [holder("wall", vec![cleat("cleat", length, 60.0, 2)])];
        let plan = planned(&holders, &ply("", SAW));
        let kept = plan.left.iter().filter(|left| left.beveled).count();
        strips += kept;
        let text = cut_tables::offcuts(&plan, Units::Millimeters);
        assert_eq!(text.matches("# Cleat strip, beveled, of ply:").count(), kept);
        assert!(plan.left.iter().all(|left| left.length.max(left.width) >= 304.8));
    }
    assert!(strips > 0);
}

/// A board as wide as one strip: by hand 1190 + 690, 1140 + 210 and 1050 + 860 mm, on three. What
/// takes the least wood as blanks, 860 + 210 in one strip, would take four.
#[test]
fn narrow_boards_are_ripped_to_as_few_strips_as_there_can_be() {
    let rails = [1190.0, 1140.0, 1050.0, 860.0, 690.0, 210.0].iter().enumerate();
    let rails = rails.map(|(at, length)| cleat(&format!("rail-{at}"), *length, 60.0, 1));
    let holders = [holder("wall", rails.collect())];
    let board = "[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2000\nwidth = 90\n";
    let shop = shop(&format!("units = \"mm\"\n{board}{SAW}"));
    let plan = planned(&holders, &shop);
    assert!(plan.missing.is_empty(), "{:?}", plan.findings);
    assert_eq!((plan.verdicts[0].used, plan.verdicts[0].proved), (3, true));
    replay::check(&holders, &shop);
}

/// Dowels: 500 + 300 + 194 and 400 + 400 + 194 mm with two kerfs each are all of two rods, where
/// the longest first, each where it leaves least, takes three.
#[test]
fn dowels_are_cut_from_as_few_as_there_can_be() {
    let lengths = [500.0, 400.0, 400.0, 300.0, 194.0, 194.0].iter().enumerate();
    let pegs = lengths.map(|(at, length)| dowel(&format!("peg-{at}"), *length));
    let holders = [holder("pegs", pegs.collect())];
    let rod = "[[dowel]]\nname = \"rod\"\ndiameter = 25\nlength = 1000\n";
    let shop = shop(&format!("units = \"mm\"\n{rod}{SAW}"));
    let plan = planned(&holders, &shop);
    assert!(plan.missing.is_empty(), "{:?}", plan.findings);
    assert_eq!((plan.verdicts[0].used, plan.verdicts[0].proved), (2, true));
    replay::check(&holders, &shop);
}
