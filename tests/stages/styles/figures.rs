//! Workings and part sizes against the formulas the styles were designed to, worked out anew
//! here in inches from the measures.

use crate::holder::{Feature, Holder, MarkKind, Purpose};
use crate::shop::Shop;
use proptest::prelude::*;

use super::{inches, made, near, part, shop, size, stops, text, usual_shop, usual_text};

/// Sheets and cleats that are not the 3/4 in their name says.
const SHEET: f64 = 23.0 / 32.0;
const CLEAT: f64 = 2.25;

fn thin_shop() -> Shop {
    let shed = usual_text().replacen("thickness = \"3/4\"", "thickness = \"23/32\"", 1);
    shop(&shed.replace("width = \"1 1/2\" ", "width = \"2 1/4\" "))
}

/// The next sixteenth of an inch up.
fn up(length: f64) -> f64 {
    (length * 16.0 - 1e-6).ceil() / 16.0
}

/// A length in sixteenths of an inch, as a tape is read.
fn sixteenths(range: std::ops::RangeInclusive<u32>) -> impl Strategy<Value = f64> {
    range.prop_map(|n| f64::from(n) / 16.0)
}

#[track_caller]
fn sized(holder: &Holder, name: &str, length: f64, width: f64, quantity: usize) {
    let got = size(holder, name);
    let right = (got.0 - length).abs() < 1e-6 && (got.1 - width).abs() < 1e-6 && got.2 == quantity;
    assert!(right, "{name} is {got:?}, not {:?}", (length, width, quantity));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn twin_arm(
        bar in sixteenths(3..=12),
        (stack_count, stack) in (2..6_u32, sixteenths(24..=120)),
        (count, spare) in (3..8_u32, 0..4_u32),
        (fit, margin) in (sixteenths(1..=4), sixteenths(24..=40)),
        (height, flank) in (sixteenths(128..=224), sixteenths(16..=60)),
        (lip, closed) in (sixteenths(0..=8), any::<bool>()),
    ) {
        let measures = format!(
            "bar_thickness = {bar}\nhead_width = 4\ntail_width = {bar}\nstack_count = {stack_count}\n\
             stack_depth = {stack}\ntool_length = 30\ntool_mass = \"2 kg\""
        );
        let choices = format!(
            "count = {count}\nspare = {spare}\nfit = {fit}\nnose_margin = {margin}\n\
             arm_height = {height}\nflank = {flank}\nlip = {lip}\nnose = \"{}\"",
            if closed { "strip" } else { "open" },
        );
        let holder = made(&text("twin-arm", &measures, &choices), &thin_shop());
        let places = f64::from(count + spare);
        let gap = bar + fit;
        let heads = places * up(stack / f64::from(stack_count));
        let arm = heads + margin;
        // Its middle is on a mark too.
        let back = 2.0 * up(gap / 2.0 + SHEET + flank);
        near(inches(&holder, "gap"), gap);
        near(inches(&holder, "arm_length"), arm);
        near(inches(&holder, "hang_width"), back);
        prop_assume!(stops(&holder).is_empty());
        sized(&holder, "arm", arm, height + lip, 2);
        sized(&holder, "back", back, height, 1);
        sized(&holder, "gap-filler", gap, height, 1);
        let there = |name: &str| holder.parts.iter().any(|part| part.name == name);
        prop_assert_eq!(there("nose-strip"), closed);
        prop_assert_eq!(there("second-filler"), !closed && heads > 12.0 + 1e-9);
        if closed {
            sized(&holder, "nose-strip", gap, 1.5, 1);
        }
        sized(&holder, "holder-cleat", back, CLEAT, 1);
        sized(&holder, "spacer-strip", back, CLEAT, 1);
        near(holder.size[0] / 25.4, back);
        near(holder.size[1] / 25.4, height + lip);
        near(holder.size[2] / 25.4, 2.0 * SHEET + arm);
    }

    #[test]
    fn slotted_shelf(
        (bar, head) in (sixteenths(2..=8), sixteenths(20..=40)),
        (count, spare) in (2..10_u32, 0..4_u32),
        (fingers, ends) in (sixteenths(8..=20), sixteenths(24..=40)),
        (depth, high) in (sixteenths(56..=80), sixteenths(64..=100)),
    ) {
        let measures = format!(
            "bar_thickness = {bar}\nhead_width = {head}\ntool_length = 30\ntool_mass = \"2 kg\""
        );
        let choices = format!(
            "count = {count}\nspare = {spare}\nfinger_gap = {fingers}\nend_margin = {ends}\n\
             depth = {depth}\ninset = 1 \nupright_height = {high}\nfit = \"1/16\""
        ).replace("inset = 1 ", "inset = \"1 1/4\"");
        let holder = made(&text("slotted-shelf", &measures, &choices), &thin_shop());
        // The default shop's drills and forstner bits up to 3/4 in.
        let bits = [
            1.0 / 16.0, 5.0 / 64.0, 3.0 / 32.0, 7.0 / 64.0, 0.125, 9.0 / 64.0, 5.0 / 32.0,
            11.0 / 64.0, 3.0 / 16.0, 13.0 / 64.0, 7.0 / 32.0, 0.25, 0.3125, 0.375, 0.4375, 0.5,
            0.625, 0.75,
        ];
        let slot = bits.into_iter().find(|bit| *bit >= bar + 0.0625 - 1e-9).unwrap();
        let places = f64::from(count + spare);
        let length = (places - 1.0) * (head + fingers) + 2.0 * ends;
        near(inches(&holder, "slot_width"), slot);
        near(inches(&holder, "pitch"), head + fingers);
        near(inches(&holder, "length"), length);
        prop_assume!(stops(&holder).is_empty());
        sized(&holder, "shelf", length, depth, 1);
        sized(&holder, "upright", length, high, 1);
        sized(&holder, "holder-cleat", length, CLEAT, 1);
        sized(&holder, "spacer-strip", length, 0.75, 1);
        // Each slot takes its straight sides and a half-round end out of the shelf.
        let reach = depth - 1.25;
        let hole = slot * reach + std::f64::consts::PI * slot * slot / 8.0;
        near(part(&holder, "shelf").region.area() / 645.16, length * depth - places * hole);
        near(holder.size[2] / 25.4, SHEET + depth);
    }

    #[test]
    fn hook_ledge(
        (foot, wide) in (sixteenths(4..=20), sixteenths(16..=40)),
        (count, spare) in (2..8_u32, 0..4_u32),
        face in sixteenths(72..=88),
    ) {
        let measures = format!(
            "foot_height = {foot}\nthroat = 2\nhead_width = {wide}\ntool_length = 30\n\
             tool_mass = \"3 kg\""
        );
        let choices = format!("count = {count}\nspare = {spare}\nface_height = {face}");
        let holder = made(&text("hook-ledge", &measures, &choices), &thin_shop());
        let lip = (foot + 0.25).max(0.75);
        let length = f64::from(count + spare - 1) * (wide + 0.75) + 4.0;
        near(inches(&holder, "lip"), lip);
        near(inches(&holder, "backer_height"), face - lip);
        prop_assume!(stops(&holder).is_empty());
        sized(&holder, "face", length, face, 1);
        sized(&holder, "backer", length, face - lip, 1);
        near(holder.size[2] / 25.4, SHEET + 0.75);
    }

    #[test]
    fn peg(
        wide in sixteenths(8..=48),
        (count, spare, pegs) in (1..20_u32, 0..6_u32, 1..4_u32),
        (reach, high, margin) in (sixteenths(64..=120), sixteenths(80..=120), sixteenths(16..=40)),
    ) {
        let measures = format!("tool_thickness = {wide}\ntool_mass = \"20 g\"");
        let choices = format!(
            "count = {count}\nspare = {spare}\npegs = {pegs}\nleast_reach = {reach}\n\
             back_height = {high}\nside_margin = {margin}\ntilt = \"0 deg\""
        );
        let holder = made(&text("peg", &measures, &choices), &thin_shop());
        let stands_out = reach.max(f64::from((count + spare).div_ceil(pegs)) * wide);
        let width = f64::from(pegs - 1) * 4.0 + 1.0 + 2.0 * margin;
        near(inches(&holder, "reach"), stands_out);
        prop_assume!(stops(&holder).is_empty());
        sized(&holder, "peg", stands_out + SHEET, 1.0, pegs as usize);
        sized(&holder, "back", width, high, 1);
        let holes = part(&holder, "back").drillings.iter().filter(|d| d.purpose == Purpose::Peg);
        let centers: Vec<(f64, f64)> = holes.map(|d| (d.at.x / 25.4, d.at.y / 25.4)).collect();
        assert_eq!(centers.len(), pegs as usize);
        near(centers.iter().map(|c| c.0).sum::<f64>() / f64::from(pegs), width / 2.0);
        assert!(centers.iter().all(|c| (c.1 - high / 2.0).abs() < 1e-6));
        near(holder.size[2] / 25.4, SHEET + SHEET + stands_out);
    }

    #[test]
    fn tongue(
        (inside, thick) in (sixteenths(24..=72), sixteenths(12..=32)),
        (count, spare, layers) in (1..8_u32, 0..4_u32, 1..4_u32),
        (play, margin) in (sixteenths(1..=4), sixteenths(24..=48)),
    ) {
        let measures =
            format!("inside_gap = {inside}\ntool_thickness = {thick}\ntool_mass = \"1 kg\"");
        let choices = format!(
            "count = {count}\nspare = {spare}\nlayers = {layers}\nfit = {play}\n\
             side_margin = {margin}\nback_height = 7"
        );
        let holder = made(&text("tongue", &measures, &choices), &thin_shop());
        let height = inside - play;
        // The nose rounds by at most 1/2 in and is level for 1/4 in; what is behind it is 1/4 in lower.
        let nose = (height / 3.0).min(0.5) + 0.25;
        let length = up(f64::from(count + spare) * thick + up(nose.max(thick / 2.0)));
        let width = 2.0 * up(f64::from(layers) * SHEET / 2.0 + margin);
        near(inches(&holder, "tongue_height"), height);
        near(inches(&holder, "tongue_length"), length);
        prop_assume!(stops(&holder).is_empty());
        sized(&holder, "tongue-layer", length, height, layers as usize);
        sized(&holder, "back", width, 7.0, 1);
        near(holder.size[2] / 25.4, SHEET + SHEET + length);
        // The tongue's footprint is marked in the middle of the base, a layer at a time.
        let base = part(&holder, "back");
        let footprints = base.marks.iter().filter(|m| m.label == "tongue-layer").map(|m| match m.kind {
            MarkKind::Footprint { area, .. } => area,
            ref other => panic!("{other:?}"),
        });
        let whole = footprints.reduce(|a, b| a.union(b)).unwrap();
        near(whole.width() / 25.4, f64::from(layers) * SHEET);
        near(whole.height() / 25.4, height - 0.25);
        near(whole.center().x / 25.4, width / 2.0);
        near(whole.center().y / 25.4, 3.5 - 0.125);
    }

    #[test]
    fn wall_cleat(
        (long, rows) in (sixteenths(400..=1500), 1..8_u32),
        first in sixteenths(16..=200),
    ) {
        let choices = format!("length = {long}\nrows = {rows}\nstud_first = {first}");
        let holder = made(&text("wall-cleat", "", &choices), &thin_shop());
        sized(&holder, "wall-cleat", long, CLEAT, rows as usize);
        let screws = part(&holder, "wall-cleat").drillings.iter();
        let screws: Vec<f64> = screws
            .filter(|d| d.purpose == Purpose::Clearance)
            .map(|d| d.at.x / 25.4)
            .collect();
        // Two side by side in each stud, 3/4 in apart, the outer 1/2 in from the end at least.
        let studs: Vec<f64> = (0..).map(|i| first + 16.0 * f64::from(i))
            .take_while(|x| *x <= long - 0.875 + 1e-9).collect();
        let mut wanted: Vec<f64> = studs.iter().flat_map(|x| [x - 0.375, x + 0.375]).collect();
        wanted.sort_by(f64::total_cmp);
        let mut screws = screws;
        screws.sort_by(f64::total_cmp);
        assert_eq!(screws.len(), wanted.len());
        for (screw, wanted) in screws.iter().zip(&wanted) {
            near(*screw, *wanted);
        }
    }
}

const SASH: &str =
    "bar_thickness = \"3/8\"\nhead_width = \"1 1/4\"\ntool_length = 30\ntool_mass = \"2 kg\"";

/// Common practice, no source: twelve tools at 2 in pitch with 2 in ends take a 26 in board.
#[test]
fn twelve_tools_take_a_26_inch_board() {
    let choices = "count = 12\nspare = 0\npitch = 2\nend_margin = 2\ninset = \"1 1/4\"";
    let holder = made(&text("slotted-shelf", SASH, choices), &usual_shop());
    near(size(&holder, "shelf").0, 26.0);
}

/// Common practice, no source: a 3/8 in bar hangs freely in a 1/2 in slot.
#[test]
fn a_bar_hangs_freely_in_its_slot() {
    let holder = made(&text("slotted-shelf", SASH, "inset = \"1 1/4\""), &usual_shop());
    near(inches(&holder, "slot_width"), 0.5);
    let rows = &part(&holder, "shelf").rows;
    let slots = rows.iter().find(|row| matches!(row.feature, Feature::Slot { .. })).unwrap();
    near(slots.feature.size() / 25.4, 0.5);
}

/// Common practice, no source: arms of 3/4 in around a 1 1/2 in gap are 3 in wide; with 3 in
/// flanks the back is 9 in and its center line at 4 1/2 in.
#[test]
fn a_back_is_nine_inches_wide() {
    let measures = "bar_thickness = \"1 3/8\"\nhead_width = 4\nstack_count = 3\nstack_depth = 6\n\
                    tool_length = 40\ntool_mass = \"3 kg\"";
    let holder = made(&text("twin-arm", measures, "nose_margin = 2\nflank = 3"), &usual_shop());
    near(inches(&holder, "gap"), 1.5);
    near(size(&holder, "back").0, 9.0);
    let center = part(&holder, "back").marks.iter().find_map(|mark| match mark.kind {
        MarkKind::Center { from, to } => Some((from.x, to.x)),
        _ => None,
    });
    let (from, to) = center.unwrap();
    near(from / 25.4, 4.5);
    near(to / 25.4, 4.5);
}

/// Common practice, no source: a 1 1/2 in tongue with 2 in each side wants a 5 1/2 in base.
#[test]
fn a_tongue_wants_a_five_and_a_half_inch_base() {
    let measures = "inside_gap = 3\ntool_thickness = 2\ntool_mass = \"1 kg\"";
    let holder = made(&text("tongue", measures, "layers = 2\nside_margin = 2"), &usual_shop());
    near(size(&holder, "back").0, 5.5);
}

/// Common practice, no source: a 5 in face over a 4 1/4 in backer leaves a 3/4 in lip.
#[test]
fn a_lip_is_what_the_face_stands_above_the_backer() {
    let measures = "foot_height = \"1/2\"\nthroat = 2\nhead_width = 2\ntool_length = 40\n\
                    tool_mass = \"3 kg\"";
    let holder = made(&text("hook-ledge", measures, ""), &usual_shop());
    near(size(&holder, "face").1, 5.0);
    near(size(&holder, "backer").1, 4.25);
    near(inches(&holder, "lip"), 0.75);
    let top = |name: &str| {
        let (_, high) = part(&holder, name).places[0].bounds();
        high[1] / 25.4
    };
    near(top("face") - top("backer"), 0.75);
}

/// Common practice, no source: a 13 in dowel through a 3/4 in base shows 12 1/4 in.
#[test]
fn a_dowel_shows_what_the_base_leaves_of_it() {
    let measures = "tool_thickness = \"1 3/4\"\ntool_mass = \"0.2 kg\"";
    let choices = "count = 6\nspare = 1\ntilt = \"0 deg\"";
    let holder = made(&text("peg", measures, choices), &usual_shop());
    near(size(&holder, "peg").0, 13.0);
    near(inches(&holder, "reach"), 12.25);
    let front = part(&holder, "back").places[0].bounds().1[2];
    near((part(&holder, "peg").places[0].bounds().1[2] - front) / 25.4, 12.25);
}

/// Common practice, no source: cleat screws stand 1 in from the ends, 1 in from the top where
/// the cleat is wide enough, and at most 4 in apart, evenly.
#[test]
fn cleat_screws_stand_evenly() {
    for count in 1..12 {
        let choices = format!("count = {count}\nspare = 0\npitch = \"2 3/4\"\ninset = \"1 1/4\"");
        let holder = made(&text("slotted-shelf", SASH, &choices), &thin_shop());
        let cleat = part(&holder, "holder-cleat");
        let holes = cleat.drillings.iter().filter(|d| d.purpose == Purpose::Clearance);
        let holes: Vec<_> = holes.map(|d| (d.at.x / 25.4, d.at.y / 25.4)).collect();
        // What even steps of sixteenths leave over is at the two ends.
        let (first, last) = (holes[0].0, cleat.length() / 25.4 - holes[holes.len() - 1].0);
        assert!((first - last).abs() <= 1.0 / 16.0 + 1e-6, "{first} {last}");
        assert!(first < 1.0 + holes.len() as f64 / 32.0 + 1.0 / 16.0, "{first}");
        for (x, y) in &holes {
            near(*y, CLEAT - 1.0);
            assert!(*x >= 1.0 - 1e-6);
        }
        let steps: Vec<f64> = holes.windows(2).map(|w| w[1].0 - w[0].0).collect();
        for step in &steps {
            near(*step, steps[0]);
            assert!(*step <= 4.0 + 1e-6, "{step}");
            near(step * 16.0, (step * 16.0).round());
        }
        // No more of them than that takes.
        let span = cleat.length() / 25.4 - 2.0;
        assert_eq!(steps.len(), (span / 4.0 - 1e-9).ceil() as usize);
    }
}

/// The tongue's top, from its back to its nose: lower by the lip where the clamps rest, and level for none.
#[test]
fn a_nose_stands_above_where_clamps_rest() {
    let measures = "inside_gap = 3\ntool_thickness = 2\ntool_mass = \"1 kg\"";
    for (lip, more, rest) in
        [("1/4", "", 2.625), ("1/2", "made_by = \"router\"", 2.375), ("0", "", 2.875)]
    {
        let holder =
            made(&text("tongue", measures, &format!("lip = \"{lip}\"\n{more}")), &usual_shop());
        assert!(stops(&holder).is_empty(), "{lip}: {:?}", holder.findings);
        let layer = part(&holder, "tongue-layer");
        let at_the_back = layer.region.outline().vertices().iter().filter(|v| v.at.x.abs() < 1e-6);
        let tops = at_the_back.map(|v| v.at.y / 25.4);
        near(tops.fold(0.0, f64::max), rest);
        near(layer.width() / 25.4, 2.875);
    }
}
