//! The styles whose measures are lists: places and sizes worked out anew, tool by tool.

use crate::holder::{Holder, Purpose};
use kurbo::Point;
use proptest::prelude::*;

use super::{IN, inches, made, near, part, shop, size, space, stops, text, usual_shop};

/// A length in sixteenths of an inch.
fn sixteenths(range: std::ops::RangeInclusive<u32>) -> impl Strategy<Value = f64> {
    range.prop_map(|n| f64::from(n) / 16.0)
}

fn list(figures: &[f64]) -> String {
    let texts: Vec<String> = figures.iter().map(|f| format!("\"{f} in\"")).collect();
    format!("[{}]", texts.join(", "))
}

/// The next sixteenth of an inch up.
fn up(length: f64) -> f64 {
    (length * 16.0 - 1e-6).ceil() / 16.0
}

/// The middles of things side by side, each on the next sixteenth, the first `start` in; and where the last ends.
fn line(widths: &[f64], gap: f64, start: f64) -> (Vec<f64>, f64) {
    let mut right = start - gap;
    let middle = |width: &f64| {
        let middle = up(right + gap + width / 2.0);
        right = middle + width / 2.0;
        middle
    };
    (widths.iter().map(middle).collect(), right)
}

fn middles(widths: &[f64], gap: f64, start: f64) -> Vec<f64> {
    line(widths, gap, start).0
}

/// The length of things side by side, so far from either end.
fn long(widths: &[f64], gap: f64, ends: f64) -> f64 {
    up(line(widths, gap, ends).1 + ends)
}

#[track_caller]
fn all_near(got: &[f64], wanted: &[f64]) {
    let near =
        got.len() == wanted.len() && got.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6);
    assert!(near, "{got:?}, not {wanted:?}");
}

#[track_caller]
fn sized(holder: &Holder, name: &str, length: f64, width: f64, quantity: usize) {
    let got = size(holder, name);
    all_near(&[got.0, got.1, got.2 as f64], &[length, width, quantity as f64]);
}

/// Left and right of every mouth in the lower edge of a part, in inches, from the left.
fn mouths(holder: &Holder, name: &str) -> Vec<f64> {
    let part = part(holder, name);
    let on_edge = part.region.outline().vertices().iter().filter(|v| v.at.y.abs() < 1e-6);
    let mut places: Vec<f64> = on_edge.map(|v| v.at.x / IN).collect();
    places.sort_by(f64::total_cmp);
    let inner = places.get(1..places.len() - 1).unwrap_or_default();
    inner.to_vec()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Each hole is the next bit up, its middle half of its own head on from the gap.
    #[test]
    fn hole_rail(
        tools in prop::collection::vec((sixteenths(2..=16), sixteenths(4..=24)), 1..7),
        gap in sixteenths(6..=20), margin in sixteenths(8..=32),
    ) {
        let shanks: Vec<f64> = tools.iter().map(|t| t.0).collect();
        let heads: Vec<f64> = tools.iter().map(|t| t.0 + t.1).collect();
        let measures = format!(
            "shank_diameter = {}\nhead_width = {}\nwidest_below = \"1/16\"\nneck_thickness = \"1/16\"\ntool_mass = \"0.1 kg\"",
            list(&shanks), list(&heads)
        );
        let choices = format!("finger_gap = {gap}\nend_margin = {margin}");
        let holder = made(&text("hole-rail", &measures, &choices), &usual_shop());
        near(inches(&holder, "length"), long(&heads, gap, margin));
        prop_assume!(stops(&holder).is_empty());
        let holes = part(&holder, "shelf").drillings.iter().filter(|d| d.purpose == Purpose::Tool);
        let (at, diameters): (Vec<f64>, Vec<f64>) =
            holes.map(|d| (d.at.x / IN, d.diameter / IN)).unzip();
        all_near(&at, &middles(&heads, gap, margin));
        // The bits of the usual shop from 1/8 in up.
        let bits = [2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 14.0,
            16.0, 18.0, 20.0].map(|n| n / 16.0);
        let wanted: Vec<f64> = shanks.iter()
            .map(|shank| *bits.iter().find(|bit| **bit >= shank + 1.0 / 32.0 - 1e-9).unwrap())
            .collect();
        all_near(&diameters, &wanted);
    }

    /// Slots no narrower than the kerf or the router's bit, each in the middle of its handle.
    #[test]
    fn till(
        tools in prop::collection::vec((1..12_u32, sixteenths(16..=80), sixteenths(10..=24)), 1..6),
        gap in sixteenths(8..=32), router in any::<bool>(),
    ) {
        let blades: Vec<f64> = tools.iter().map(|t| f64::from(t.0) / 32.0).collect();
        let reaches: Vec<f64> = tools.iter().map(|t| t.1).collect();
        let heads: Vec<f64> = tools.iter().map(|t| t.2).collect();
        let measures = format!(
            "blade_thickness = {}\nblade_width = {}\nhead_width = {}\ntool_mass = \"0.1 kg\"",
            list(&blades), list(&reaches), list(&heads)
        );
        let made_by = if router { "router" } else { "hand" };
        let choices = format!("finger_gap = {gap}\nmade_by = \"{made_by}\"");
        let holder = made(&text("till", &measures, &choices), &usual_shop());
        let deepest = reaches.iter().copied().fold(0.0, f64::max);
        near(inches(&holder, "depth"), deepest + 0.25 + 0.5 + 0.75);
        prop_assume!(stops(&holder).is_empty());
        // A slot as wide as the bit would trap it: 0.1 mm more (RELIEF_SLACK on each side).
        let least = if router { 0.25 + 0.1 / 25.4 } else { 0.125 };
        let wanted: Vec<f64> = middles(&heads, gap, 0.75 + 0.75).iter().zip(&blades)
            .flat_map(|(middle, blade)| {
                let half = f64::max(least, blade + 1.0 / 32.0) / 2.0;
                [middle - half, middle + half]
            })
            .collect();
        all_near(&mouths(&holder, "shelf"), &wanted);
        // As deep as the blade is wide and the room beside it.
        let shelf = &part(&holder, "shelf").region;
        for (middle, reach) in middles(&heads, gap, 1.5).iter().zip(&reaches) {
            prop_assert!(!shelf.contains(Point::new(middle * IN, (reach + 0.24) * IN)));
            prop_assert!(shelf.contains(Point::new(middle * IN, (reach + 0.26) * IN)));
        }
    }

    /// Rounded mouths are two radii wider than the necks and their play.
    #[test]
    fn dock(
        tools in prop::collection::vec((sixteenths(16..=32), sixteenths(24..=40)), 1..4),
        depth in sixteenths(20..=40), radius in sixteenths(2..=10),
    ) {
        let necks: Vec<f64> = tools.iter().map(|t| t.0).collect();
        let bodies: Vec<f64> = tools.iter().map(|t| t.0 + t.1).collect();
        let measures = format!(
            "neck_thickness = {}\nneck_depth = {depth}\nbody_width = {}\noverhang = 1\ntool_mass = \"1 kg\"",
            list(&necks), list(&bodies)
        );
        let choices = format!("mouth_radius = {radius}\nmade_by = \"router\"");
        let holder = made(&text("dock", &measures, &choices), &usual_shop());
        near(inches(&holder, "opening"), depth + 0.25 + 0.5 + radius);
        near(inches(&holder, "depth"), depth + 0.75 + radius + 1.25 + 0.75);
        prop_assume!(stops(&holder).is_empty());
        let wanted: Vec<f64> = middles(&bodies, 1.0, 0.75 + 0.5).iter().zip(&necks)
            .flat_map(|(middle, neck)| {
                let half = (neck + 0.25) / 2.0 + radius;
                [middle - half, middle + half]
            })
            .collect();
        all_near(&mouths(&holder, "shelf"), &wanted);
    }

    /// Half-laps: the slots of both kinds together are as high as a divider, and meet in space.
    #[test]
    fn tray(
        (length, width, height) in (sixteenths(128..=400), sixteenths(64..=200), sixteenths(32..=96)),
        across in 0..4_u32, along in 0..3_u32,
    ) {
        let even = |count: u32, run: f64| -> Vec<f64> {
            (1..=count).map(|i| run * f64::from(i) / f64::from(count + 1)).collect()
        };
        let (across, along) = (even(across, length), even(along, width));
        let measures = format!(
            "inside_length = {length}\ninside_width = {width}\ninside_height = {height}\nload_mass = \"2 kg\""
        );
        let choices = format!("cross_dividers = {}\nlong_dividers = {}\nback_height = 8\nbase_sheet = \"plywood 3/4\"\ndivider_sheet = \"plywood 3/4\"", list(&across), list(&along));
        let holder = made(&text("tray", &measures, &choices), &usual_shop());
        prop_assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
        sized(&holder, "front", length + 1.5, height + 0.75, 1);
        sized(&holder, "end", width, height + 0.75, 2);
        sized(&holder, "bottom", length, width, 1);
        let kinds = [("cross-divider", &across, &along, width), ("long-divider", &along, &across, length)];
        for (name, places, others, run) in kinds {
            if places.is_empty() {
                prop_assert!(!holder.parts.iter().any(|p| p.name == name));
                continue;
            }
            let high = up(height * 0.75);
            sized(&holder, name, run, high, places.len());
            let slot = (0.75 + 0.008) * IN * (high / 2.0 + 0.008) * IN;
            let whole = run * high * IN * IN;
            let area = part(&holder, name).region.area();
            prop_assert!((whole - area - slot * others.len() as f64).abs() < 1e-3);
        }
        prop_assert!(space::faults(&holder).is_empty(), "{:?}", space::faults(&holder));
    }

    /// A lip in front that stands as far above the shelf, or the board on it, as asked for.
    #[test]
    fn shelf_lip(
        jars in prop::collection::vec(sixteenths(16..=80), 2..7), gap in sixteenths(8..=20),
        lip in sixteenths(16..=40), kept in any::<bool>(),
    ) {
        let measures = format!("tool_width = {}\ntool_mass = \"0.5 kg\"", list(&jars));
        let jar_board = if kept { "openings" } else { "none" };
        let choices = format!("finger_gap = {gap}\nlip = {lip}\njar_board = \"{jar_board}\"");
        let holder = made(&text("shelf-lip", &measures, &choices), &usual_shop());
        prop_assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
        let length = long(&jars, gap, 1.25);
        let depth = f64::max(jars.iter().copied().fold(0.0, f64::max) + 1.125, 4.0);
        let lip_height = lip + 0.75 + if kept { 0.75 } else { 0.0 };
        let got = size(&holder, "lip");
        all_near(&[got.0, got.1], &[length, lip_height]);
        let got = size(&holder, "shelf");
        all_near(&[got.0, got.1], &[length, depth]);
        // A bracket at either end and none more than 18 in from the next.
        let spans = (length / 18.0 - 1e-9).ceil().max(1.0);
        prop_assert_eq!(size(&holder, "bracket").2, spans as usize + 1);
        if kept {
            let openings: Vec<(f64, f64)> = part(&holder, "jar-board").region.openings().iter()
                .map(|o| (o.bounds().center().x / IN + 0.75, o.bounds().width() / IN)).collect();
            let mut openings = openings;
            openings.sort_by(|a, b| a.0.total_cmp(&b.0));
            let (at, wide): (Vec<f64>, Vec<f64>) = openings.into_iter().unzip();
            all_near(&at, &middles(&jars, gap, 1.25));
            all_near(&wide, &jars.iter().map(|jar| jar + 0.125).collect::<Vec<_>>());
        }
    }

    /// The ramp leans as asked, no farther out than it must be, the dividers come flush with the
    /// sides' slope, and the screws of the sides hit the middle of its edge.
    #[test]
    fn plane_ramp(
        planes in prop::collection::vec(sixteenths(24..=48), 1..5), lean in 15.0..38.0_f64,
        ramp in sixteenths(100..=240), tall in sixteenths(12..=32),
    ) {
        let measures = format!(
            "tool_width = {}\ntool_length = 10\ntool_height = 5\ntool_mass = \"1 kg\"", list(&planes)
        );
        let choices =
            format!("lean = \"{lean} deg\"\nramp_height = {ramp}\ndivider_height = {tall}");
        let holder = made(&text("plane-ramp", &measures, &choices), &usual_shop());
        prop_assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
        let at = |name: &str, x: f64, y: f64, depth: f64| {
            let place = &part(&holder, name).places[0];
            space::in_space(place, Point::new(x * IN, y * IN), depth * IN).map(|mm| mm / IN)
        };
        let (foot, top) = (at("ramp", 0.0, 0.0, 0.5), at("ramp", 0.0, ramp, 0.5));
        let fall = (foot[2] - top[2]).atan2(top[1] - foot[1]).to_degrees();
        near(fall, lean);
        near(foot[1], 0.0);
        // Cleat and back are 3/4 in each: it bears on the back, or the upper end of a plane is just clear of the wall.
        let end = at("ramp", 0.0, 1.25 + 10.0, 0.0)[2];
        prop_assert!(top[2] > 1.5 - 1e-6 && end > 0.25 - 1e-6, "{top:?}, {end}");
        prop_assert!(top[2] < 1.5 + 1e-6 || end < 0.25 + 1.0 / 16.0, "{top:?}, {end}");
        let side_top = at("left-side", 0.0, inches(&holder, "side_height"), 0.0)[1];
        // What is told is told to 0.001 mm.
        let highest = side_top.max(inches(&holder, "back_height"));
        prop_assert!((holder.size[1] / IN - highest).abs() < 0.001 / IN * 2.0, "{highest}");
        // The slope of a side, from its corners in space, and how far the ramp's face lies below it.
        let side = part(&holder, "left-side");
        let corners: Vec<_> = side.region.outline().vertices().iter().map(|v| v.at).collect();
        let out = |top: bool| {
            let level = if top { side.region.bounds().y1 } else { 0.0 };
            let far = corners.iter().filter(|c| (c.y - level).abs() < 1e-6).map(|c| c.x);
            Point::new(far.fold(0.0, f64::max), level)
        };
        let (low, high) = (out(false), out(true));
        let slope = (high - low).normalize();
        let local = |p: space::Space| Point::new((p[2] - 1.5) * IN, p[1] * IN);
        for y in [0.0, ramp] {
            let face = local(at("ramp", 0.0, y, 0.0));
            near(slope.cross(face - low) / IN, tall);
        }
        for hole in side.drillings.iter().filter(|d| d.purpose == Purpose::Clearance) {
            near(slope.cross(hole.at - low) / IN, tall + 0.25);
        }
        if planes.len() > 1 {
            // Between two bays: a plane's width and its play from the side.
            let divider = part(&holder, "divider");
            prop_assert_eq!(divider.quantity(), planes.len() - 1);
            let bay = planes[0] + 0.375;
            near(divider.places[0].at[0] / IN, 0.75 + up(bay / 2.0) + bay / 2.0);
            near(slope.cross(local(at("divider", tall, 1.0, 0.0)) - low) / IN, 0.0);
        }
        prop_assert!(space::faults(&holder).is_empty(), "{:?}", space::faults(&holder));
    }
}

/// A blade wider than its hole slides in from the front: a keyhole where the neck is thinner
/// than the ferrule, else a slot that widens to the front.
#[test]
fn wide_blades_slide_in_from_the_front() {
    let measures = "shank_diameter = [\"1/2\", \"1/2\", \"1/2\"]\nhead_width = 1\nwidest_below = [1, 1, \"1/4\"]\n\
                    neck_thickness = [\"1/4\", \"1/2\", \"1/4\"]\ntool_mass = \"0.2 kg\"";
    let holder = made(&text("hole-rail", measures, ""), &shop(crate::shop::DEFAULT_SHOP));
    assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
    let at = middles(&[1.0, 1.0, 1.0], 0.5, 0.75);
    // 1/32 in more than the neck of 1/4 in; 5/8 in and 1/8 in of flare for the one of 1/2 in.
    let wanted = [at[0] - 9.0 / 64.0, at[0] + 9.0 / 64.0, at[1] - 0.375, at[1] + 0.375];
    all_near(&mouths(&holder, "shelf"), &wanted);
    let bored =
        |purpose| part(&holder, "shelf").drillings.iter().filter(|d| d.purpose == purpose).count();
    assert_eq!((bored(Purpose::SlotEnd), bored(Purpose::Tool)), (2, 1));
}

/// Batteries wider than their bodies stand a finger's room apart, and the bracket between them as far from either.
#[test]
fn the_wider_of_body_and_battery_keeps_tools_apart() {
    let holder = |more: &str| {
        let measures = format!(
            "neck_thickness = [\"1 1/2\", \"1 1/2\"]\nneck_depth = 2\nbody_width = [3, \"2 1/2\"]\n\
             overhang = 1\ntool_mass = \"1 kg\"\n{more}"
        );
        made(&text("dock", &measures, "bracket_count = 3"), &usual_shop())
    };
    // 3/4 in of bracket and 1/2 in at either end.
    near(inches(&holder(""), "length"), 2.0 * 1.25 + 3.0 + 1.0 + 2.5);
    let wide = holder("battery_width = [\"2 3/4\", \"3 1/4\"]");
    near(inches(&wide, "length"), 2.0 * 1.25 + 3.0 + 1.0 + 3.25);
    let mut lefts: Vec<f64> =
        part(&wide, "bracket").places.iter().map(|place| place.bounds().0[0] / IN).collect();
    lefts.sort_by(f64::total_cmp);
    all_near(&lefts, &[0.0, 1.25 + 3.0 + 0.125, 2.0 * 1.25 + 7.25 - 0.75]);
}

/// A handle 4 3/4 in deep over a blade of 2 1/4 in reaches 2 1/2 in past it: 1 1/2 in of that over upright and cleat,
/// and 1/4 in stays free of the wall.
#[test]
fn a_deep_handle_asks_for_a_deeper_shelf() {
    let behind = |more: &str| {
        let measures = format!(
            "blade_thickness = [\"1/4\"]\nblade_width = \"2 1/4\"\nhead_width = 1\ntool_mass = \"0.5 kg\"\n{more}"
        );
        let holder = made(&text("till", &measures, ""), &usual_shop());
        assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
        inches(&holder, "behind")
    };
    near(behind(""), 0.5);
    near(behind("handle_depth = [\"4 3/4\"]"), 1.25);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Compartments are as wide and high as a box and its room, in whole rows.
    #[test]
    fn pigeonholes(
        (wide, high, deep) in (sixteenths(32..=96), sixteenths(24..=64), sixteenths(48..=160)),
        (count, columns) in (1..17_u32, 1..6_u32), lip in sixteenths(3..=12),
    ) {
        let measures = format!(
            "tool_width = {wide}\ntool_height = {high}\ntool_depth = {deep}\ntool_mass = \"0.2 kg\""
        );
        let choices = format!(
            "count = {count}\nspare = 0\ncolumns = {columns}\nlip = {lip}\nsheet = \"plywood 1/2\""
        );
        let holder = made(&text("pigeonholes", &measures, &choices), &usual_shop());
        prop_assume!(stops(&holder).is_empty());
        let rows = count.div_ceil(columns);
        let (across, up) = (wide + 0.75, high + lip + 1.0);
        let length = f64::from(columns) * across + 0.5;
        sized(&holder, "side", deep + 0.25, f64::from(rows) * up, 2);
        sized(&holder, "shelf", length - 1.0, deep + 0.25, rows as usize);
        sized(&holder, "lip", length, lip + 0.5, rows as usize);
        let foot = |name: &str| -> Vec<[i64; 2]> {
            let places = part(&holder, name).places.iter().map(|place| place.bounds().0);
            let mut feet: Vec<[i64; 2]> =
                places.map(|low| [low[1], low[0]].map(|mm| (mm / IN * 64.0).round() as i64)).collect();
            feet.sort_unstable();
            feet
        };
        let sixty_fourths = |inches: f64| (inches * 64.0).round() as i64;
        if columns > 1 {
            sized(&holder, "divider", deep + 0.25, up - 0.5, (rows * (columns - 1)) as usize);
            let of_row = |row: u32| (1..columns).map(move |column| {
                [f64::from(row) * up + 0.5, f64::from(column) * across].map(sixty_fourths)
            });
            prop_assert_eq!(foot("divider"), (0..rows).flat_map(of_row).collect::<Vec<_>>());
        }
        let shelves = (0..rows).map(|row| [f64::from(row) * up, 0.5].map(sixty_fourths));
        prop_assert_eq!(foot("shelf"), shelves.collect::<Vec<_>>());
    }
}
