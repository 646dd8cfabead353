//! What someone at a table saw would look for.

use std::sync::Arc;

use crate::cutting::Fence;
use crate::holder::{Grain, Holder};

use super::super::folder;
use super::{SAW, holder, mixed, part, planned, ply};

#[test]
fn the_sample_takes_a_fifth_fewer_settings_than_least_waste() {
    let plan = &folder::sample().plans.cutting;
    assert!(plan.missing.is_empty());
    assert!(plan.verdicts.iter().all(|verdict| verdict.proved), "{:?}", plan.verdicts);
    let (ours, plain) = (plan.count.all(), plan.plain.all());
    assert!(ours * 10 <= plain * 8, "{ours} settings against {plain}");
    // None of it is narrow between fence and blade.
    assert!(plan.cuts().all(|(_, cut)| !cut.push_stick));
}

#[test]
fn one_width_is_set_once_for_all_sheets() {
    let holders = [holder("rack", vec![part("shelf", 2000.0, 200.0, 10, Grain::Length)])];
    let plan = planned(&holders, &ply("", SAW));
    assert_eq!(plan.sheets.len(), 2);
    assert_eq!((plan.count.rips, plan.count.stops), (1, 1), "{:?}", plan.setups);
    assert_eq!(plan.cuts().filter(|(fence, _)| *fence == Fence::Rip(200_000)).count(), 10);
}

#[test]
fn narrow_strips_fall_off_on_the_free_side() {
    let holders = [holder("rack", vec![part("lip", 900.0, 19.0, 4, Grain::Length)])];
    let plan = planned(&holders, &ply("", SAW));
    assert!(plan.cuts().all(|(_, cut)| !cut.push_stick));
    assert!(plan.cuts().any(|(fence, _)| matches!(fence, Fence::Narrow(19_000))));
}

#[test]
fn the_same_steps_give_the_same_plan() {
    let (holders, shop) = (mixed(), ply("", SAW));
    let [a, b] = [planned(&holders, &shop), planned(&holders, &shop)];
    assert_eq!(a.setups, b.setups);
    assert_eq!(a.blanks, b.blanks);
}

#[test]
fn five_hundred_pieces_are_planned() {
    let parts = (0..50).map(|i| {
        let size = f64::from(i);
        part(&format!("p{i}"), 150.0 + 17.0 * size, 60.0 + 5.0 * size, 10, Grain::Length)
    });
    let holders: [Arc<Holder>; 1] = [holder("many", parts.collect())];
    let plan = planned(&holders, &ply("", SAW));
    assert!(plan.missing.is_empty() && plan.pieces.len() == 500);
}
