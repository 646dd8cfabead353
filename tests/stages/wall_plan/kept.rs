//! Places that are kept, and what is said where none serves.

use super::{INCH, hangers, obstacle, planned, shop, told, wall};
use crate::holder::Level;
use crate::record::KeptPlace;
use crate::wall::{HungPlace, Pin, PinnedRow, WallHanger, WallJob, WallPlan, plan_walls};

fn named(name: &str) -> WallHanger {
    hangers().iter().find(|hanger| hanger.name == name).unwrap().clone()
}

fn place<'p>(plan: &'p WallPlan, name: &str) -> &'p HungPlace {
    plan.walls.iter().flat_map(|wall| &wall.places).find(|place| place.holder == name).unwrap()
}

fn pin(holder: &str, left: f64, row: PinnedRow) -> Pin {
    Pin { holder: holder.to_owned(), wall: None, left: Some(left * INCH), row: Some(row) }
}

#[test]
fn a_pin_is_kept_to_the_letter() {
    let mut asked = wall(120.0, 96.0, &[40.0, 60.0]);
    asked.pins.push(pin("chisels", 33.3, PinnedRow::Height(60.0 * INCH)));
    let plan = planned(&asked, &[named("chisels"), named("glues")]);
    let chisels = place(&plan, "chisels");
    assert!((chisels.taken.x0 - 33.3 * INCH).abs() < 1e-9);
    assert_eq!((chisels.row, chisels.kept), (Some(1), true));
}

#[test]
fn a_pin_over_a_window_is_told_with_the_place_that_serves() {
    let mut asked = wall(120.0, 96.0, &[40.0, 60.0]);
    asked.walls[0].obstacles.push(obstacle("window", [30.0, 36.0, 40.0, 40.0]));
    asked.pins.push(pin("chisels", 40.0, PinnedRow::Number(1)));
    let plan = planned(&asked, &[named("chisels")]);
    assert_eq!(plan.findings[0].level, Level::Stop);
    assert!(told(&plan).contains("window"), "{}", told(&plan));
    assert!(plan.left_over.is_empty());
}

#[test]
fn too_small_a_wall_names_what_is_left_and_a_fix() {
    let asked = wall(60.0, 96.0, &[48.0]);
    let some: Vec<WallHanger> = hangers().iter().take(8).cloned().collect();
    let plan = planned(&asked, &some);
    assert!(!plan.left_over.is_empty());
    let told = told(&plan);
    assert!(plan.left_over.iter().all(|name| told.contains(name)), "{told}");
    assert!(told.contains("Fix: ") || told.contains("No change that was tried"), "{told}");
}

#[test]
fn what_hangs_stays_where_it_is() {
    let asked = wall(144.0, 96.0, &[]);
    let all = hangers();
    let before = planned(&asked, &all[..6]);
    let rows: Vec<f64> = before.walls[0].rows.iter().map(|row| row.height).collect();
    let kept = before.walls[0].places.iter().map(|place| KeptPlace {
        holder: place.holder.clone(),
        wall: String::new(),
        left: place.wood.x0,
        height: place.row.map_or(place.origin.y, |row| rows[row]),
        rows: rows.clone(),
    });
    let kept: Vec<KeptPlace> = kept.collect();
    let narrower = |_: &str| None;
    let after = plan_walls(WallJob {
        asked: &asked,
        shop: shop(),
        hangers: &all[..7],
        kept: &kept,
        narrower: &narrower,
    });
    for old in &before.walls[0].places {
        let new = place(&after, &old.holder);
        assert!(
            (new.taken.x0 - old.taken.x0).abs() < 1e-6 && new.row == old.row,
            "{} was moved",
            old.holder
        );
    }
}

#[test]
fn the_same_wall_gives_the_same_plan() {
    let asked = wall(144.0, 96.0, &[]);
    assert_eq!(planned(&asked, &hangers()[..9]), planned(&asked, &hangers()[..9]));
}
