//! What all holders bring to one stud, by hand: whole ones side by side, two that meet at a stud, wide ones, what the
//! stud's screws take of it, and that the change which is told mends.

use std::f64::consts::PI;

use crate::carry::{LoadQuestion, WallLoad, assess, unknown_apart, wall_load};
use crate::holder::{Finding, Holder, Level, Weight};
use crate::length::{MM_PER_INCH as INCH, NEWTONS_PER_POUND as POUND, STANDARD_GRAVITY as G};
use crate::shop::{DEFAULT_SHOP, NdsGravity, Screw, Shop};
use crate::strength::{LateralJoint, fastener_ratio};
use crate::{Inputs, work_out};

use super::styles::{made, shop};

/// The built-in shop with wall cleats 2 1/4 in wide, held by two of a screw in each stud.
fn shed_text(screw: &str) -> String {
    let screw = format!("screw = \"{screw}\"");
    let stated = [
        ("width = \"1 1/2\" ", "width = \"2 1/4\" "),
        ("screw = 12", screw.as_str()),
        ("screws = 2", "screws = 2"),
    ];
    stated.iter().fold(DEFAULT_SHOP.to_owned(), |text, (line, stated)| {
        assert_eq!(text.matches(&format!("# {line}")).count(), 1, "{line}");
        text.replace(&format!("# {line}"), stated)
    })
}

fn shed(screw: &str) -> Shop {
    shop(&shed_text(screw))
}

const RACK: &str = "style = \"twin-arm\"\nunits = \"in\"\n[measures]\nbar_thickness = \"3/8\"\nhead_width = 2\n\
                    stack_count = 3\nstack_depth = 5\ntool_length = 30\ntool_mass = \"2 kg\"";

/// A rack of so many kg and so many inches wide, whose wood weighs nothing and whose load bears in the middle of the
/// bevel's face: 3/4 in / 2 cos² 45° = 3/4 in out.
fn rack(name: &str, kg: f64, inches: f64) -> Holder {
    let mut rack = made(RACK, &shed("#12 x 3"));
    rack.parts.iter_mut().for_each(|part| part.stock.density = 0.0);
    rack.weights = vec![Weight { mass: kg, out: 0.75 * INCH }];
    (rack.name, rack.mass, rack.size[0]) = (name.to_owned(), 0.0, inches * INCH);
    rack
}

fn on_wall(holders: &[&Holder], screw: &str) -> WallLoad {
    wall_load(holders, &shed(screw)).unwrap()
}

#[track_caller]
fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-9 * wanted.abs(), "{found}, not {wanted}");
}

/// What part of one of two screws of `inches` shank, in a stud of spruce behind 3/4 in of plywood and 1/2 in of drywall,
/// so many kg take. W tan 45° draws the strip off the wall and pries it about its foot: W acts 3/8 in out, its thrust as
/// hard 1 1/2 + 3/8 in up, and the screw is 1 1/8 in up (1 1/2 in less 1.5 shanks, at a mark), so the pull is
/// W (3/8 + 1 7/8) / 1 1/8 = 2 W. W' = 2850 G² D for each inch of thread, no more than is in the stud and half of the point left out, one shank (NDS-2018 eq.
/// 12.2-2); Z' the least of six modes; eq. 12.4-1; both × 0.9 (table 2.3.2). The head, two shanks wide with a cone of 82°,
/// pulls through at 690 π D_H G² t × 0.9 (eq. 12.2-6a), t what is left of the strip under the cone.
fn share_of(kg: f64, number: f64, long: f64) -> f64 {
    let each = kg * G / 2.0;
    let screw = Screw::numbered(number).unwrap();
    let (spruce, plywood) = (NdsGravity(0.42), NdsGravity(0.50));
    let deep = long - 0.75 - 0.5;
    let shank = 0.060 + 0.013 * number;
    let pull = 0.9 * 2850.0 * 0.42 * 0.42 * shank * (deep.min(long * 2.0 / 3.0) - shank) * POUND;
    let (near, far) = ((0.75 * INCH, plywood), (deep * INCH, spruce));
    let joint = LateralJoint::of_screw(screw, near, far, 0.5 * INCH).unwrap();
    let across = 0.9 * joint.yields().unwrap().value;
    let under_head = 0.75 - shank / 2.0 / 41_f64.to_radians().tan();
    let head = 0.9 * 690.0 * PI * 2.0 * shank * 0.25 * under_head * POUND;
    fastener_ratio(2.0 * each, each, Some(pull), across).unwrap().max(2.0 * each / head)
}

/// Two racks of 41 kg on two #14 × 3 1/2 in one stud: each is at 97 % with knocks counted (1.5), both at 129 % at rest.
#[test]
fn two_racks_that_are_fine_alone_are_too_much_side_by_side() {
    let screw = "#14 x 3 1/2";
    let [a, b] = ["rack-a", "rack-b"].map(|name| rack(name, 41.0, 8.0));
    let alone = on_wall(&[&a], screw);
    near(alone.cases[0].still, 41.0);
    near(alone.cases[0].share, share_of(41.0, 14.0, 3.5));
    near(alone.cases[0].knocked_share, share_of(61.5, 14.0, 3.5));
    assert!(alone.findings.is_empty(), "{alone:?}");
    let both = on_wall(&[&a, &b], screw);
    let [case] = &both.cases[..] else { panic!("{both:?}") };
    assert_eq!(case.holders, ["rack-a", "rack-b"]);
    assert!(!case.meet);
    near(case.still, 82.0);
    near(case.knocked, 123.0);
    near(case.share, share_of(82.0, 14.0, 3.5));
    near(case.can(), 82.0 / share_of(82.0, 14.0, 3.5));
    near(both.screws.most(), case.can());
    let [told] = &both.findings[..] else { panic!("{both:?}") };
    assert_eq!((told.level, told.code.as_str()), (Level::Stop, "stud-overloaded"));
    for said in
        ["on one stud if rack-a and rack-b hang side by side", "its 2 screws #14 × 3 1/2 in hold"]
    {
        assert!(told.message.contains(said), "{}", told.message);
    }
    // No screw that is sold is enough; a stud spacing between them is, for then each is alone on its stud.
    let fix = "Fix: hang rack-a and rack-b a stud spacing (16 in) apart, and write";
    assert!(told.message.contains(fix), "{}", told.message);
}

/// What the finding says to write under `[wall]`, line by line.
fn told_lines(told: &Finding) -> Vec<String> {
    let (_, fix) = told.message.split_once("Fix: ").unwrap();
    let (lines, _) = fix.split_once(" under [wall] in shop.toml").unwrap();
    lines.split(" and ").map(str::to_owned).collect()
}

/// The shop with these lines in place of those that say the same.
fn with_lines(text: &str, lines: &[String]) -> Shop {
    let key = |line: &str| line.split('=').next().unwrap().trim().to_owned();
    let kept = text
        .lines()
        .map(|line| lines.iter().find(|told| key(told) == key(line)).map_or(line, |told| told));
    shop(&kept.collect::<Vec<_>>().join("\n"))
}

/// Two of 20 kg on two #12 × 3: enough at rest, 123 % with knocks.
#[test]
fn the_screws_that_are_told_are_enough() {
    let racks = ["rack-a", "rack-b"].map(|name| rack(name, 20.0, 8.0));
    let now = on_wall(&racks.each_ref(), "#12 x 3");
    let [told] = &now.findings[..] else { panic!("{now:?}") };
    assert_eq!(told.level, Level::Warn, "{}", told.message);
    near(now.cases[0].knocked_share, share_of(60.0, 12.0, 3.0));
    let lines = told_lines(told);
    assert_eq!(lines, ["screw = \"#14 x 3 1/2 in\""]);
    let mended = wall_load(&racks.each_ref(), &with_lines(&shed_text("#12 x 3"), &lines)).unwrap();
    assert!(mended.findings.iter().all(|found| found.level == Level::Note), "{mended:?}");
    near(mended.cases[0].knocked_share, share_of(60.0, 14.0, 3.5));
    // Only thicker or only longer ones are not enough.
    assert!(share_of(60.0, 14.0, 3.0) > 1.0 && share_of(60.0, 12.0, 4.0) > 1.0);
}

/// The other fix that is told: no two of those on one stud, which the shop file then says.
#[test]
fn those_that_are_kept_apart_are_not_counted_on_one_stud() {
    let racks = ["rack-a", "rack-b", "rack-c"].map(|name| rack(name, 20.0, 8.0));
    let now = on_wall(&racks.each_ref(), "#12 x 3");
    let lines = "apart = [\"rack-a\", \"rack-b\", \"rack-c\"]";
    assert!(now.findings[0].message.contains(lines), "{}", now.findings[0].message);
    let text = shed_text("#12 x 3").replace("screws = 2", &format!("screws = 2\n{lines}"));
    let mended = wall_load(&racks.each_ref(), &shop(&text)).unwrap();
    let [told] = &mended.findings[..] else { panic!("{mended:?}") };
    assert_eq!((told.level, told.code.as_str()), (Level::Note, "hang-apart"));
    near(mended.cases[0].still, 20.0);
    assert!(unknown_apart(&shop(&text), ["rack-a", "rack-b", "rack-c"].into_iter()).is_none());
    let unknown = unknown_apart(&shop(&text), ["rack-a", "rack-b"].into_iter()).unwrap();
    assert!(unknown.message.contains("\"rack-c\""), "{}", unknown.message);
}

/// With one screw in each stud a second one is the least change.
#[test]
fn a_second_screw_in_each_stud_is_told_first() {
    let text = shed_text("#12 x 3").replace("screws = 2", "screws = 1");
    let racks = ["rack-a", "rack-b"].map(|name| rack(name, 15.0, 8.0));
    let now = wall_load(&racks.each_ref(), &shop(&text)).unwrap();
    let [told] = &now.findings[..] else { panic!("{now:?}") };
    assert_eq!(told.level, Level::Stop, "{}", told.message);
    assert_eq!(told_lines(told), ["screws = 2"]);
    let mended = wall_load(&racks.each_ref(), &with_lines(&text, &told_lines(told))).unwrap();
    assert!(mended.findings.iter().all(|found| found.level == Level::Note), "{mended:?}");
    near(mended.cases[0].share, now.cases[0].share / 2.0);
}

/// Two of 9 in do not fit within 16; where they meet at a stud it gets 1 - 4.5 / 16 of each, as of a beam from stud to
/// stud: 60 kg × 23 / 32.
#[test]
fn two_that_meet_at_a_stud_share_it_with_the_next_ones() {
    let racks = ["rack-a", "rack-b"].map(|name| rack(name, 30.0, 9.0));
    let wall = on_wall(&racks.each_ref(), "#12 x 3");
    assert!(wall.cases[0].meet);
    near(wall.cases[0].still, 60.0 * 23.0 / 32.0);
    near(wall.cases[0].share, share_of(43.125, 12.0, 3.0));
}

/// Of three of 5 in and 10 kg, one of 12 in and 25 kg and one of 24 in and 28 kg the wide one over a stud with two small
/// ones beside it brings most, more than the small ones side by side: it counts as one spacing wide.
#[test]
fn wide_and_narrow_ones_are_put_together_as_they_fit() {
    let sizes = [
        ("a", 10.0, 5.0),
        ("b", 25.0, 12.0),
        ("c", 10.0, 5.0),
        ("d", 28.0, 24.0),
        ("e", 10.0, 5.0),
    ];
    let racks = sizes.map(|(name, kg, inches)| rack(name, kg, inches));
    let wall = on_wall(&racks.each_ref(), "#12 x 3");
    assert_eq!(wall.cases[0].holders, ["d", "a", "c"]);
    near(wall.cases[0].still, 28.0 + 20.0 * (1.0 - 10.5 / 16.0));
    // Without the wide one: b over the stud, its middle 8 1/2 in from those of two small ones.
    let small = on_wall(&[&racks[0], &racks[1], &racks[2]], "#12 x 3");
    assert_eq!(small.cases[0].holders, ["b", "a", "c"]);
    near(small.cases[0].still, 25.0 + 20.0 * (1.0 - 8.5 / 16.0));
    let [wide, narrow] = [&racks[3], &racks[0]];
    let wall = on_wall(&[wide, narrow], "#12 x 3");
    assert_eq!(wall.cases[0].holders, ["d", "a"]);
    near(wall.cases[0].still, 28.0 + 10.0 * (1.0 - 10.5 / 16.0));
}

/// A shelf of 30 clamps, more than three stud spacings long and less than four: three studs are sure to be behind it.
/// With only the left half on it, e off the middle, the left stud gets 1/3 + e / 2 spacings of that (a stiff beam on
/// three supports), more than a third of all.
#[test]
fn half_the_tools_can_bring_more_to_a_stud_than_all() {
    let shelf = "style = \"slotted-shelf\"\nunits = \"in\"\n[measures]\nbar_thickness = \"5/16\"\n\
                 head_width = \"1 1/8\"\ntool_length = 40\ntool_mass = \"0.5 kg\"\n[choices]\ncount = 30\nspare = 0";
    let shop = shed("#12 x 3");
    let mut holder = made(shelf, &shop);
    holder.parts.iter_mut().for_each(|part| part.stock.density = 0.0);
    holder.mass = 0.0;
    let cleat = holder.parts.iter().find(|part| part.name == "holder-cleat").unwrap();
    assert!((48.0..64.0).contains(&(cleat.length() / INCH)), "{}", cleat.length() / INCH);
    let middle = cleat.places[0].bounds().0[0] + cleat.length() / 2.0;
    let mut off: Vec<f64> = holder.tools.iter().map(|tool| middle - tool.at[0]).collect();
    off.sort_by(|a, b| b.total_cmp(a));
    assert_eq!(off.len(), 30);
    let off = off[..15].iter().sum::<f64>() / 15.0;
    let found = assess(&holder, &shop);
    assert_eq!(found.studs, 3);
    let stud = 7.5 * (1.0 / 3.0 + off / (32.0 * INCH));
    assert!(stud > 5.0 && stud < 7.5, "{stud}");
    near(found.per_stud, stud * 1.5 * G);
    let studs = found.checks.iter().find(|check| check.id.question == LoadQuestion::Studs).unwrap();
    assert!(studs.ratio() >= share_of(stud * 1.5, 12.0, 3.0) * (1.0 - 1e-9));
}

/// The wall cleats of a project are held against what all its holders bring, standing still as they are worked out; with
/// the figure that is told all is well.
#[test]
fn wall_cleats_are_held_against_all_that_hangs_on_them() {
    let told = |per_stud: &str| {
        let cleats = format!(
            "style = \"wall-cleat\"\nunits = \"in\"\n[choices]\nper_stud = \"{per_stud}\"\n"
        );
        let rack = RACK.replace("2 kg", "1 kg");
        let inputs = Inputs::new()
            .with("shop.toml", &shed_text("#12 x 3"))
            .with("holders/wall.toml", &cleats);
        let inputs = inputs.with("holders/rack-a.toml", &rack).with("holders/rack-b.toml", &rack);
        let worked = work_out(&inputs.with_cutting_steps(1)).unwrap();
        let note = worked.holders.iter().flat_map(|worked| &worked.holder.findings);
        assert!(note.into_iter().any(|found| found.code == "stud-takes"));
        worked.wall.as_deref().unwrap().clone()
    };
    let wall = told("5 lb");
    assert!((wall.planned.unwrap() - 5.0 * POUND / G).abs() < 1e-9, "{wall:?}");
    let [found] = &wall.findings[..] else { panic!("{wall:?}") };
    assert_eq!((found.level, found.code.as_str()), (Level::Warn, "more-than-planned"));
    let (_, fix) = found.message.split_once("Fix: per_stud = \"").unwrap();
    let (per_stud, end) = fix.split_once('"').unwrap();
    assert_eq!(end, " in wall.toml; its screws hold that.");
    let mended = told(per_stud);
    assert!(mended.findings.is_empty(), "{mended:?}");
    // A pound less is not enough.
    let less = per_stud.strip_suffix(" lb").unwrap().parse::<f64>().unwrap() - 1.0;
    assert_eq!(told(&format!("{less} lb")).findings.len(), 1);
}
