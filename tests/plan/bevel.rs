//! Two bevelled strips from one rip, by areas of the cross-section.

use cleatwright::cutting::{Fence, Sawn, double_width};
use geo::{Area, BooleanOps, LineString, Polygon};

use super::{SAW, cleat, holder, planned, ply};

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
    let holders = [holder("wall", vec![cleat("rail", 1500.0, 60.0, 4)])];
    let plan = planned(&holders, &ply("", SAW));
    let strips: Vec<&Vec<Vec<usize>>> = plan
        .blanks
        .iter()
        .filter_map(|blank| match blank {
            Sawn::Strip(strip) => plan.strips.get(*strip),
            Sawn::Piece(_) => None,
        })
        .collect();
    assert_eq!(strips.len(), 2);
    assert!(strips.iter().all(|strip| strip.len() == 2));
    let first = plan.settings.iter().position(|s| matches!(s.fence, Fence::Bevel { .. })).unwrap();
    let rest = plan.settings.iter().skip(first + 1);
    assert!(rest.clone().all(|s| matches!(s.fence, Fence::Stop(_))), "no rip after the bevel");
    let bevels = &plan.settings[first].cuts;
    assert_eq!(bevels.len(), 2);
    let blank = double_width(60.0, 18.0, 45.0, 3.0);
    assert!(bevels.iter().all(|cut| (cut.area.size[1] as f64 / 1000.0 - blank).abs() < 0.001));
}
