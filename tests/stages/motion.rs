//! Holders come on their cleats: ways that are found are walked again in small steps, by hand-worked figures and at
//! random.

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use kurbo::{Affine, Point, Vec2};
use proptest::prelude::*;
use serde_json::Value;

use super::settled::{Set, file, sets, settled, shop};
use crate::holder::{Finding, Holder, Level, build};
use crate::length::{Units, read};
use crate::motion::{
    CLEARANCE, Hanging, HeldPose, Hooking, HungView, WayOff, hang_finding, hanging, least_lift,
    straight,
};
use crate::settle::settle;
use crate::{Inputs, Options, render, work_out};

/// A holder on a cleat: sizes in mm, the bevel in degrees.
#[derive(Debug, Clone, Copy)]
struct Hook {
    thickness: f64,
    bevel: f64,
    cleat: f64,
    back: f64,
    height: f64,
    strip: f64,
    shelf: f64,
}

const PLAIN: Hook = Hook {
    thickness: 18.0,
    bevel: 45.0,
    cleat: 57.0,
    back: 18.0,
    height: 150.0,
    strip: 0.0,
    shelf: 0.0,
};

fn ring(corners: &[[f64; 2]]) -> Vec<Point> {
    corners.iter().map(|[x, y]| Point::new(*x, *y)).collect()
}

fn rectangle(x0: f64, y0: f64, x1: f64, y1: f64) -> Vec<Point> {
    ring(&[[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
}

impl Hook {
    fn rise(&self) -> f64 {
        self.thickness * self.bevel.to_radians().tan()
    }

    fn view(&self) -> HungView {
        let (t, low, rise) = (self.thickness, self.height - self.cleat, self.rise());
        let hook = ring(&[[0.0, low], [t, low + rise], [t, self.height], [0.0, self.height]]);
        let foot = low + rise - self.cleat;
        let wall = ring(&[[0.0, foot], [t, foot], [t, low + rise], [0.0, low]]);
        let mut moving = vec![hook, rectangle(t, 0.0, t + self.back, self.height)];
        if self.strip > 0.0 {
            moving.push(rectangle(0.0, 0.0, t, self.strip));
        }
        if self.shelf > 0.0 {
            moving.push(rectangle(t, self.height, t + self.shelf, self.height + 18.0));
        }
        HungView { moving, fixed: vec![wall], clearance: CLEARANCE }
    }
}

fn way(hooking: Hooking) -> WayOff {
    match hooking {
        Hooking::FromFront(way) => way,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_plain_hook_rises_by_its_thickness_times_the_tangent_of_its_bevel() {
    for (thickness, bevel) in [(18.0, 45.0), (19.05, 45.0), (12.0, 30.0), (22.0, 55.0)] {
        let hook = Hook { thickness, bevel, ..PLAIN };
        let found = way(straight(&hook.view()));
        assert!((found.lift - hook.rise()).abs() < 0.005, "{found:?}");
        assert_eq!(found.tilt, 0.0);
    }
}

/// Where a point of the hung body is in a pose.
fn moved(pose: HeldPose, at: Point) -> Point {
    let turn = Affine::rotate(pose.tilt.to_radians());
    turn * at + Vec2::new(pose.out, pose.up)
}

/// A pose, and how far on it is from one to the next: 0 to 1.
fn between(from: HeldPose, to: HeldPose, share: f64) -> HeldPose {
    let mix = |a: f64, b: f64| a + (b - a) * share;
    HeldPose { out: mix(from.out, to.out), up: mix(from.up, to.up), tilt: mix(from.tilt, to.tilt) }
}

/// Steps from one pose to the next in which nothing moves more than about 1/4 mm.
fn steps(from: HeldPose, to: HeldPose) -> usize {
    let turn = (to.tilt - from.tilt).abs().to_radians() * 400.0;
    let way = (to.out - from.out).hypot(to.up - from.up) + turn;
    (way / 0.25).ceil().max(1.0) as usize
}

fn sides(ring: &[Point]) -> Vec<[Point; 2]> {
    (0..ring.len()).map(|at| [ring[at], ring[(at + 1) % ring.len()]]).collect()
}

fn to_side(at: Point, [a, b]: [Point; 2]) -> f64 {
    let run = b - a;
    let share = ((at - a).dot(run) / run.dot(run)).clamp(0.0, 1.0);
    (at - (a + run * share)).hypot()
}

fn to_ring(at: Point, ring: &[Point]) -> f64 {
    sides(ring).into_iter().map(|side| to_side(at, side)).fold(f64::INFINITY, f64::min)
}

fn is_inside(at: Point, ring: &[Point]) -> bool {
    let crossed = sides(ring).into_iter().filter(|[a, b]| {
        (a.y > at.y) != (b.y > at.y) && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y)
    });
    crossed.count() % 2 == 1
}

/// Points all along a polygon, no further than 1 mm from one another.
fn all_along(ring: &[Point]) -> Vec<Point> {
    let on = |[a, b]: [Point; 2]| {
        let count = (b - a).hypot().ceil().max(1.0) as usize;
        (0..count).map(move |at| a.lerp(b, at as f64 / count as f64)).collect::<Vec<_>>()
    };
    sides(ring).into_iter().flat_map(on).collect()
}

/// How far two polygons are apart; below zero, how deep a point on the one lies in the other.
fn apart(one: &[Point], other: &[Point]) -> f64 {
    let from = |one: &[Point], other: &[Point]| {
        let each = all_along(one).into_iter().map(|at| {
            let far = to_ring(at, other);
            if is_inside(at, other) { -far } else { far }
        });
        each.fold(f64::INFINITY, f64::min)
    };
    from(one, other).min(from(other, one))
}

/// What may be less than the distance that is kept, in mm: chords that turning bodies leave.
const SLACK: f64 = 0.02;

/// Walks a way in small steps: all distances are kept, it rises as high as it says, and ends in front of everything.
fn walk(view: &HungView, way: &WayOff) {
    let kept = |hung: f64| if hung < 0.01 { 0.0 } else { hung.min(view.clearance) };
    let nearest = |ring: &[Point]| ring.iter().map(|at| at.x).fold(f64::INFINITY, f64::min);
    let top = |rings: &[Vec<Point>]| rings.iter().flatten().map(|at| at.y).fold(-1e9, f64::max);
    let wanted: Vec<(f64, Vec<f64>)> = view
        .moving
        .iter()
        .map(|ring| {
            let each = view.fixed.iter().map(|fixed| kept(apart(ring, fixed)));
            (kept(nearest(ring)), each.collect())
        })
        .collect();
    let (mut rise, mut tilt) = (0.0_f64, 0.0_f64);
    let mut last = Vec::new();
    for pair in way.poses.windows(2) {
        let count = steps(pair[0], pair[1]);
        for step in 0..=count {
            let pose = between(pair[0], pair[1], step as f64 / count as f64);
            let moved: Vec<Vec<Point>> = view
                .moving
                .iter()
                .map(|ring| ring.iter().map(|at| moved(pose, *at)).collect())
                .collect();
            for (ring, (from_wall, each)) in moved.iter().zip(&wanted) {
                assert!(nearest(ring) > from_wall - SLACK, "{pose:?} in the wall");
                for (fixed, kept) in view.fixed.iter().zip(each) {
                    let apart = apart(ring, fixed);
                    assert!(apart > kept - SLACK, "{apart} of {kept} at {pose:?}");
                }
            }
            rise = rise.max(top(&moved) - top(&view.moving));
            tilt = tilt.max(pose.tilt.abs());
            last = moved;
        }
    }
    assert!((rise - way.lift).abs() < SLACK, "{rise} and {}", way.lift);
    assert!((tilt - way.tilt).abs() < 1e-9);
    let front = view.fixed.iter().flatten().map(|at| at.x).fold(0.0, f64::max);
    assert!(last.iter().all(|ring| nearest(ring) >= front + view.clearance - SLACK));
}

fn hooks() -> impl Strategy<Value = Hook> {
    let cleat = (9.0..25.0, 20.0..50.0, 12.0..60.0);
    let rest = (10.0..20.0, 0.0..120.0, 8.0..40.0, prop_oneof![Just(0.0), 60.0..350.0]);
    (cleat, rest).prop_map(|((thickness, bevel, solid), (back, room, strip, shelf))| {
        let hook = Hook { thickness, bevel, back, strip, shelf, ..PLAIN };
        let cleat = hook.rise() + solid;
        // The strip stands so much below the wall cleat.
        let height = 2.0 * cleat - hook.rise() + strip + room;
        Hook { cleat, height, ..hook }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn every_way_that_is_found_can_be_walked(hook in hooks()) {
        let view = hook.view();
        let level = straight(&view);
        let best = least_lift(&view);
        for found in [&level, &best] {
            if let Hooking::FromFront(way) = found {
                walk(&view, way);
            }
        }
        if let Hooking::FromFront(level) = level {
            prop_assert!(way(best).lift <= level.lift + 0.1);
        }
    }
}

#[test]
fn a_strip_comes_out_from_under_the_wall_cleat_where_it_has_the_lift_as_room() {
    let with_room = |room: f64| {
        let strip = 19.0;
        let height = 2.0 * PLAIN.cleat - PLAIN.rise() + strip + room;
        straight(&Hook { strip, height, ..PLAIN }.view())
    };
    // The strip's inner corner passes the wall cleat's foot as the hook passes its top.
    let least = PLAIN.rise() + CLEARANCE;
    assert!((way(with_room(least + 0.1)).lift - PLAIN.rise()).abs() < 0.003);
    assert_eq!(with_room(least - 0.5), Hooking::FromEnd);
}

/// A shelf for sash clamps whose upright and strip are so high.
fn shelf(upright: &str, strip: &str) -> Holder {
    let text = format!(
        "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"1/4\"\nhead_width = 1\n\
         tool_length = 22\ntool_mass = \"1 lb\"\n[choices]\nupright_height = \"{upright}\"\nstrip_height = \"{strip}\"\n"
    );
    settle(&file(&text), &shop(Units::Inches, None)).unwrap().holder
}

/// The figures told as fixes are the least that do: a mark of the tape less and it does not hook on.
#[test]
fn the_fixes_that_are_told_are_the_least_that_do() {
    let low = shelf("3 1/4", "3/4");
    let found = not_from_the_front(&low).unwrap();
    assert_eq!(found.level, Level::Warn);
    let (why, fixes) =
        found.message.split_once(": slide it on from the end of the cleat, or ").unwrap();
    assert_eq!(why, WHY);
    let figure = |from: &str| {
        let (_, rest) = fixes.split_once(from).unwrap();
        let (text, _) = rest.split_once(" in high").unwrap();
        let mm = read(&format!("{text} in")).unwrap().value;
        let less = |mm: f64| Units::Inches.length(mm).trim_end_matches(" in").to_owned();
        (text.to_owned(), less(mm - 25.4 / 16.0), less(mm + 25.4 / 16.0))
    };
    let (back, less, _) = figure("make the back at least ");
    assert_eq!(not_from_the_front(&shelf(&back, "3/4")), None, "{back}");
    assert!(not_from_the_front(&shelf(&less, "3/4")).is_some(), "{less}");
    let (strip, _, more) = figure("make spacer-strip at most ");
    assert_eq!(not_from_the_front(&shelf("3 1/4", &strip)), None, "{strip}");
    assert!(not_from_the_front(&shelf("3 1/4", &more)).is_some(), "{more}");
    assert!(low.steps.iter().any(|step| step.text == "Slide it on from the end of the cleat."));
}

/// Of the built-in shop's cleats the shelf above has this.
const WHY: &str = "spacer-strip leaves 1/4 in of room below the wall cleat, too little to hook the holder on from the \
                   front";

#[test]
fn a_strip_behind_the_wall_cleat_stops() {
    let holder = shelf("2 3/4", "3/4");
    let found = not_from_the_front(&holder).unwrap();
    assert_eq!((found.level, found.code.as_str()), (Level::Stop, "wall-cleat-in-the-way"));
    let what = "spacer-strip and the wall cleat would share the same space, 1/4 in deep: make the back at least ";
    assert!(found.message.starts_with(what), "{}", found.message);
    assert!(
        !holder.steps.iter().any(|step| step.text.contains("Slide") || step.text.contains("Hook"))
    );
}

/// A plane ramp 12 in high on rows so many inches apart, and what is noted of it.
fn on_rows(spacing: u32) -> (Value, Vec<String>) {
    let rows = format!(
        "style = \"wall-cleat\"\nunits = \"in\"\n[choices]\nrows = 3\nrow_spacing = \"{spacing}\"\n"
    );
    let ramp = std::fs::read_to_string("samples/boat-shed/holders/planes.toml").unwrap();
    let ramp = format!("{ramp}\n[choices]\nback_height = 12\n");
    let inputs = Inputs::new().with("holders/rows.toml", &rows).with("holders/planes.toml", &ramp);
    let mut made = BTreeMap::new();
    let worked = work_out(&inputs.with_cutting_steps(1)).unwrap();
    render(&worked, &Options::default(), &mut made).unwrap();
    let summary: Value = serde_json::from_slice(&made["summary.json"]).unwrap();
    let ramp = summary["holders"][0].clone();
    let notes = ramp["findings"].as_array().unwrap().iter();
    let notes = notes.filter(|found| found["code"] == "hangs-on-one-row");
    let notes = notes.map(|found| found["message"].as_str().unwrap().to_owned()).collect();
    (ramp, notes)
}

#[test]
fn a_row_below_may_be_in_the_way() {
    let (ramp, notes) = on_rows(10);
    assert_eq!(ramp["hooking"]["row"], "lowest");
    assert_eq!(notes.len(), 1);
    assert!(notes[0].starts_with(
        "With rows 10 in apart the wall cleat of the row below is in its way: hang it on"
    ));
    let steps = ramp["hook_lift"].as_f64().unwrap();
    assert!((18.0..20.0).contains(&steps), "{steps}");
    let (ramp, notes) = on_rows(24);
    assert_eq!((&ramp["hooking"]["row"], notes.len()), (&Value::from("any"), 0));
    assert_eq!(ramp["hooking"]["fixed"].as_array().unwrap().len(), 1);
}

/// From the side a wall cleat fits under the holder cleat: they share the bevel and nothing else, and the back lies on
/// both. A keeper strip is left out.
#[test]
fn from_the_side_the_bevels_meet() {
    let text = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"1/4\"\nhead_width = 1\n\
                tool_length = 22\ntool_mass = \"1 lb\"\n[choices]\nupright_height = 6\nkeeper_strip = \"yes\"\n";
    let holder = build(&file(text), &shop(Units::Inches, None)).unwrap();
    assert!(holder.parts.iter().any(|part| part.name == "keeper-strip"));
    let hanging = hanging(&holder, &shop(Units::Inches, None)).unwrap();
    // Shelf, upright, holder cleat, spacer strip.
    assert_eq!(hanging.view.moving.len(), 4);
    let wall = &hanging.view.fixed[0];
    let bevel = |ring: &[Point], end: usize| {
        let slanted = |side: &[Point; 2]| side[0].x != side[1].x && side[0].y != side[1].y;
        let [a, b] = sides(ring).into_iter().find(slanted).unwrap();
        let mut ends = [a, b];
        ends.sort_by(|a, b| a.x.total_cmp(&b.x));
        ends[end]
    };
    let hook = hanging.view.moving.iter().find(|ring| {
        sides(ring).iter().any(|[a, b]| (a.x - b.x).abs() > 1.0 && (a.y - b.y).abs() > 1.0)
    });
    for end in 0..2 {
        assert!((bevel(wall, end) - bevel(hook.unwrap(), end)).hypot() < 1e-9);
    }
    assert!((bevel(wall, 0).x).abs() < 1e-9 && bevel(wall, 0).y < bevel(wall, 1).y);
}

/// A holder of a set, and how it comes on its cleat.
fn hung(set: &Set, holder: &Holder) -> Option<(Hanging, Duration)> {
    let shop = shop(set.units, None);
    let start = Instant::now();
    let hanging = hanging(holder, &shop)?;
    Some((hanging, start.elapsed()))
}

/// What comes on otherwise than from the front, by what its findings say.
fn not_from_the_front(holder: &Holder) -> Option<&Finding> {
    let codes = ["slides-on-from-the-end", "wall-cleat-in-the-way"];
    holder.findings.iter().find(|found| codes.contains(&found.code.as_str()))
}

#[test]
fn the_tools_of_a_shed_come_to_holders_that_hook_on_from_the_front() {
    for set in sets().iter().step_by(5) {
        let holder = settled(set, None);
        assert_eq!(not_from_the_front(&holder), None, "{} ({})", set.name, set.style);
        assert!(
            holder.steps.iter().any(|step| step.text.starts_with("Hook it on from the front: "))
                || hung(set, &holder).is_none(),
            "{}",
            set.name
        );
    }
}

/// `cargo test --lib every_style_hooks -- --ignored --nocapture` prints how each set's holder comes on, with its
/// style's defaults and settled.
#[test]
#[ignore = "prints a table"]
#[allow(clippy::print_stdout)]
fn every_style_hooks() {
    for set in sets() {
        let plain = build(&file(&set.text()), &shop(set.units, None)).unwrap();
        for (holder, how) in [(plain, "default"), (settled(&set, None), "settled")] {
            let Some((hanging, took)) = hung(&set, &holder) else { continue };
            let lift = hanging.hooking.way().map(|way| (way.lift, way.tilt));
            let found = not_from_the_front(&holder).map(|found| found.message.as_str());
            println!(
                "{} | {} | {how} | {} | {lift:.3?} | {took:?} | {}",
                set.style,
                set.name,
                hanging.hooking.word(),
                found.unwrap_or_default()
            );
            let soon = hang_finding(&holder, &shop(set.units, None), &hanging);
            println!("    {:?}", soon.map(|found| found.message));
            println!(
                "    {:?}",
                holder.settled.iter().map(|s| (&s.choice, &s.because)).collect::<Vec<_>>()
            );
        }
    }
}
