//! Steps that name what they add, and the step that makes parts alike.

use std::collections::BTreeSet;

use crate::Inputs;
use crate::holder::{Holder, Part, Placement, ScrewJoint, Step, build, caution};
use crate::reading::Source;
use crate::shop::{Shop, read_shop};
use crate::style::{HolderFile, Library};
use crate::trial::Trial;
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

use super::{USUAL, made, shop, stops, sweep, usual_shop, usual_text};

/// A back, two slats that differ, and a cap that is not always made; the steps stand in no order.
const STYLE: &str = r#"
title = "Slats"
hangs = "battens"
makes = "slats on a back"
steps = [
  "Ease all edges.",
  { adds = ["back", "slat"], do = "Glue the slats to the back." },
  { last = true, adds = ["slat", "cap"], do = "Glue the cap onto the slats." },
  { early = true, adds = ["back"], do = "Lay the back down." },
]
[choices]
sheet = {}
cap = { ask = "Whether there is a cap", word = ["no cap", "a cap"] }
[parts.cap]
about = "closes it"
when = "cap = 'a cap'"
size = "4 in, 3 in"
sits = { faces = "front", at = "0, 0, 2 * sheet.thickness" }
[parts.back]
about = "carries all"
size = "8 in, 8 in"
sits = { faces = "front", at = "0, 0, 0" }
[parts.slat]
about = "differs by n"
repeat = "2"
size = "8 in, 1 in * n"
sits = { faces = "front", in_front_of = "back", y = "3 in * (n - 1)" }
"#;

/// A holder of the style `name` whose text is `style`.
fn own(style: &str, text: &str, shop: &Shop) -> Holder {
    let library = Library::with(&Inputs::new().with("styles/own.toml", style));
    let text = format!("style = \"own\"\n{text}");
    let file = HolderFile::read(Source::new("a.toml", text), "a", &library).unwrap();
    build(&file, shop).unwrap()
}

fn slats(cap: &str) -> Holder {
    own(STYLE, &format!("[choices]\ncap = \"{cap}\"\n"), &usual_shop())
}

/// What each step adds, by the names of parts.
fn added(holder: &Holder) -> Vec<Vec<&str>> {
    let name = |part: &usize| holder.parts[*part].name.as_str();
    holder.steps.iter().map(|step| step.adds.iter().map(name).collect()).collect()
}

/// The early step comes first and has the back; both slats are meant by their kind; what the last one names again is
/// what it is put on.
#[test]
fn a_part_is_added_by_the_first_step_that_names_it() {
    let [back, slats]: [&[&str]; 2] = [&["back"], &["slat-1", "slat-2"]];
    assert_eq!(added(&self::slats("a cap")), [back, &[], slats, &["cap"]]);
    // One without pieces is left out.
    assert_eq!(added(&self::slats("no cap")), [back, &[], slats, &[]]);
}

/// How far two boxes are apart along each axis, in mm; negative where they overlap.
fn apart(one: &Placement, other: &Placement) -> [f64; 3] {
    let ((low, high), (near, far)) = (one.bounds(), other.bounds());
    std::array::from_fn(|i| (near[i] - high[i]).max(low[i] - far[i]))
}

/// Whether two pieces meet over more than an edge, as far as the boxes around them tell.
fn touch(one: &Placement, other: &Placement) -> bool {
    let apart = apart(one, other);
    apart.iter().all(|gap| *gap < 0.01) && apart.iter().filter(|gap| **gap < -0.01).count() >= 2
}

fn meet(one: &Part, other: &Part) -> bool {
    one.places.iter().any(|place| other.places.iter().any(|there| touch(place, there)))
}

/// Whether a part covers one of a joint's heads: the place 2 mm behind it is within the box around a piece.
fn covers(part: &Part, joint: &ScrewJoint) -> bool {
    joint.screws.iter().any(|screw| {
        let behind: [f64; 3] = std::array::from_fn(|i| screw.head[i] - 2.0 * screw.ahead[i]);
        part.places.iter().any(|place| {
            let (low, high) = place.bounds();
            (0..3).all(|i| behind[i] > low[i] + 0.1 && behind[i] < high[i] - 0.1)
        })
    })
}

/// The step that adds each part, by the part's place.
fn when_added(holder: &Holder) -> Vec<Vec<usize>> {
    let adding = |part: usize| {
        let steps = holder.steps.iter().enumerate();
        steps.filter(|(_, step)| step.adds.contains(&part)).map(|(at, _)| at).collect()
    };
    (0..holder.parts.len()).map(adding).collect()
}

/// Screws that are driven once the holder hangs.
const KEPT: &str = "the holder's back to the keeper strip";

/// What is wrong with the order in which a holder is put together.
fn faults(holder: &Holder) -> Vec<String> {
    let mut faults = Vec::new();
    let parts = &holder.parts;
    let when = when_added(holder);
    for (part, steps) in parts.iter().zip(&when) {
        if steps.len() != usize::from(part.quantity() > 0) {
            faults.push(format!("{} is added by {} steps", part.name, steps.len()));
        }
    }
    if !faults.is_empty() {
        return faults;
    }
    let when: Vec<Option<usize>> = when.iter().map(|steps| steps.first().copied()).collect();
    let base = holder.steps.iter().flat_map(|step| &step.adds).next();
    for (at, part) in parts.iter().enumerate().filter(|(at, _)| Some(at) != base) {
        let Some(step) = when[at] else { continue };
        let stands = |other: &usize| *other != at && when[*other].is_some_and(|then| then <= step);
        if !(0..parts.len()).filter(stands).any(|other| meet(part, &parts[other])) {
            faults.push(format!("{} is added to nothing", part.name));
        }
    }
    for joint in &holder.screws {
        let ends = joint.screws.iter().filter_map(|screw| screw.into).map(|far| far.part);
        let ends: BTreeSet<usize> = ends.chain([joint.through]).collect();
        if ends.iter().any(|part| when[*part].is_none()) {
            faults.push(format!("{}: a part never stands", joint.about));
        }
        // The keeper strip goes in once the holder hangs, whatever stands before its screws by then: no order of
        // steps frees them.
        if joint.about == KEPT {
            continue;
        }
        // Screws into the wall are driven last.
        let to_wall = joint.screws.iter().all(|screw| screw.into.is_none());
        let driven = if to_wall { None } else { ends.iter().filter_map(|part| when[*part]).max() };
        let before = |part: &&usize| driven.is_none_or(|driven| when[**part] < Some(driven));
        let others: Vec<usize> = (0..parts.len()).filter(|part| !ends.contains(part)).collect();
        for part in others.iter().filter(before).filter(|part| covers(&parts[**part], joint)) {
            faults.push(format!(
                "{} covers {} before they are driven",
                parts[*part].name, joint.about
            ));
        }
    }
    faults.extend(ways_in(holder, &when));
    faults
}

/// What goes onto what stands by tabs goes on along one axis: that across the parts that take them.
fn ways_in(holder: &Holder, when: &[Option<usize>]) -> Vec<String> {
    let at = |name: &str| holder.parts.iter().position(|part| part.name == name).unwrap();
    let mut faults = Vec::new();
    for step in 0..holder.steps.len() {
        let joints = holder.joints.iter().map(|joint| [at(&joint.tabs), at(&joint.into)]);
        let now =
            joints.filter(|joint| joint.iter().filter_map(|part| when[*part]).max() == Some(step));
        // What is joined within the step comes first, and may go another way.
        let onto = now.filter(|joint| joint.iter().any(|part| when[*part] < Some(step)));
        let axes = onto.filter_map(|[_, into]| {
            let across = holder.parts[into].places.first()?.frame()[2];
            (0..3).find(|axis| across[*axis].abs() > 0.5)
        });
        let axes: BTreeSet<usize> = axes.collect();
        if axes.len() > 1 {
            faults.push(format!("{:?} goes on along {axes:?} at once", holder.steps[step].text));
        }
    }
    faults
}

#[track_caller]
fn builds(holder: &Holder, text: &str) {
    let faults = faults(holder);
    let told = || holder.steps.iter().zip(added(holder)).collect::<Vec<_>>();
    assert!(faults.is_empty(), "{faults:#?}\n{text}\n{:#?}", told());
}

/// Holders of each style that are tried.
const ROUNDS: usize = 80;

/// Holders of the sweep, every other one with tabs where the style has them.
#[test]
fn every_part_is_added_once_in_an_order_that_builds() {
    let library = Library::built_in();
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        let mut runner = TestRunner::deterministic();
        let (mut looked, mut tabbed) = (0, 0);
        for round in 0..ROUNDS {
            let (measures, choices, shop) =
                sweep::asked(&style).new_tree(&mut runner).unwrap().current();
            let mut text = sweep::file(&style, &shop, &measures, &choices);
            let has_tabs = style.choices().any(|(name, ..)| name == "joint");
            if round % 2 == 0 && has_tabs {
                text = text.replace("joint = \"butt\"", "");
                if !text.contains("joint = ") {
                    text += "\njoint = \"tab\"\n";
                }
            }
            let holder = made(&text, &shop);
            if stops(&holder).is_empty() {
                builds(&holder, &text);
                looked += 1;
                tabbed += usize::from(!holder.joints.is_empty());
            }
            // A sweep of what can't be made shows nothing.
            let last = round + 1 == ROUNDS;
            assert!(!last || looked >= 4, "{name}: {looked}");
            assert!(!last || !has_tabs || tabbed > 0, "{name}: none has tabs");
        }
    }
}

/// Wrong orders are found: a tray's bottom that would have to go into its ends and its back at once, a part that is added
/// to nothing, one that no step adds, a strip over screws that are still to be driven.
#[test]
fn a_wrong_order_is_found() {
    let tray = |joint: &str| {
        let (_, measures) = USUAL.iter().find(|(name, _)| *name == "tray").unwrap();
        made(&super::text("tray", measures, &format!("joint = \"{joint}\"")), &usual_shop())
    };
    let ordered = |joint: &str, order: &[&[&str]]| {
        let mut holder = tray(joint);
        assert!(faults(&holder).is_empty());
        let at = |name: &&str| holder.parts.iter().position(|part| part.name == *name).unwrap();
        let steps = order.iter().map(|adds| adds.iter().map(at).collect());
        holder.steps = steps.map(|adds| Step { text: String::new(), adds }).collect();
        faults(&holder)
    };
    let rest: &[&str] = &["front", "long-divider", "cross-divider", "spacer-strip", "holder-cleat"];
    let late = ordered("tab", &[&["back", "end"], &["bottom"], rest]);
    assert_eq!(late.len(), 1, "{late:?}");
    assert!(late[0].contains("goes on along {0, 2} at once"), "{late:?}");
    assert!(ordered("tab", &[&["bottom", "end"], &["back"], rest]).is_empty());
    let covered = ordered(
        "butt",
        &[&["back"], &["spacer-strip"], &["end", "bottom"], &["holder-cleat"], &rest[..3]],
    );
    let strip = "spacer-strip covers back to the bottom before they are driven";
    assert!(covered.iter().any(|fault| fault == strip), "{covered:?}");
    let left = ordered("butt", &[&["back", "end", "bottom"], &rest[1..]]);
    assert_eq!(left, ["front is added by 0 steps"]);
    let loose = ordered(
        "butt",
        &[
            &["spacer-strip"],
            &["front"],
            &["back", "end", "bottom"],
            &["holder-cleat", "long-divider", "cross-divider"],
        ],
    );
    assert_eq!(loose[0], "front is added to nothing");
}

/// The shop with a bearing bit `bit` wide.
fn with_bit(bit: &str) -> Shop {
    shop(&format!("{}\n[hand_router]\nflush_trim_bit = {bit}\n", usual_text()))
}

/// What the step that makes parts alike says; empty where there is none.
fn alike(holder: &Holder) -> String {
    let says = |step: &&Step| step.text.contains("as a stack") || step.text.contains("one master");
    let found: Vec<&Step> = holder.steps.iter().filter(says).collect();
    assert!(found.len() <= 1, "{found:?}");
    assert!(found.iter().all(|step| **step == holder.steps[0] && step.adds.is_empty()));
    found.first().map(|step| step.text.clone()).unwrap_or_default()
}

/// A back with `count` knees on it, each with the corner `corner` in its foot.
fn knees(count: usize, corner: &str, shop: &Shop, units: &str) -> Holder {
    let style = format!(
        r#"
title = "Knees"
hangs = "oars"
makes = "knees on a back"
include = ["making"]
steps = [{{ adds = ["back", "knee"], do = "Glue the knees to the back." }}]
[choices]
sheet = {{}}
[parts.back]
about = "carries all"
size = "20 in, 8 in"
sits = {{ z = 0 }}
[parts.knee]
about = "an oar lies on it"
outline = {{ polygon = {{ corners = ["0, 0", "6 in, 0", "6 in, 3 in", "3 in, 3 in", "3 in, 5 in", "0, 5 in"],
  radii = [0, 0, 0, "{corner}", 0, 0] }} }}
sits = {{ faces = "left", in_front_of = "back", x = "2 in * n", y = "1 in", repeat = {count} }}
"#
    );
    own(&style, &format!("units = \"{units}\"\n"), shop)
}

/// Three are worth a master where the shop has a bit with a bearing; two, or a shop without, are sawn as a stack. From so
/// many on, and so far outside the line: common practice, no source.
#[test]
fn three_alike_are_trimmed_to_a_master() {
    let holder = knees(3, "1/4 in", &with_bit("\"1/2\""), "in");
    assert_eq!(
        alike(&holder),
        "3 × knee: make one master from the pattern and smooth its edges. Rough out the others 1/8 in outside the line, \
         fix each to it with double-sided tape, and flush trim it with the 1/2 in bearing bit, the bearing on the master."
    );
    assert!(holder.flush_trimmed);
    let holder = knees(2, "1/4 in", &with_bit("\"1/2\""), "in");
    assert_eq!(
        alike(&holder),
        "2 × knee: trace the pattern once, tape the blanks together, the same face up, and saw and smooth them as a \
         stack, so that they match."
    );
    assert!(!holder.flush_trimmed);
    let holder = knees(3, "1/4 in", &usual_shop(), "in");
    assert!(alike(&holder).contains("as a stack, as many at once as the saw takes, so that"));
    assert!(!holder.flush_trimmed);
    assert_eq!(alike(&knees(1, "1/4 in", &with_bit("\"1/2\""), "in")), "");
}

/// The bit leaves its own radius in an inside corner: half of its diameter.
#[test]
fn what_the_bit_does_not_reach_is_told() {
    let told = |corner: &str, bit: &str| alike(&knees(3, corner, &with_bit(bit), "in"));
    let square = " Of knee these are left to saw, chisel or drill: inside corners that are square, where the bit leaves \
                  1/4 in.";
    assert!(told("0 in", "\"1/2\"").ends_with(square), "{}", told("0 in", "\"1/2\""));
    let round = told("1/8 in", "\"1/2\"");
    assert!(
        round.ends_with("inside corners of 1/8 in radius, where the bit leaves 1/4 in."),
        "{round}"
    );
    assert!(!told("1/8 in", "\"1/4\"").contains("left to"));
}

/// In mm figures are round there: 3 mm outside the line, a bit of 12 mm leaves 6 mm.
#[test]
fn in_mm_the_figures_are_round() {
    let text = alike(&knees(4, "0 in", &with_bit("\"12 mm\""), "mm"));
    assert!(text.contains("Rough out the others 3 mm outside the line"), "{text}");
    assert!(text.contains("with the 12 mm bearing bit") && text.contains("leaves 6 mm."), "{text}");
}

/// What the CNC router cuts is alike as it comes; a plain rectangle is sawn at the fence, also one with slots that no
/// bit goes into.
#[test]
fn rectangles_and_what_the_cnc_router_cuts_need_no_master() {
    let told = |style: &str, choices: &str| {
        let (_, measures) = USUAL.iter().find(|(name, _)| *name == style).unwrap();
        alike(&made(&super::text(style, measures, choices), &with_bit("\"1/2\"")))
    };
    let pegs = told("level-pegs", "");
    assert!(pegs.starts_with("4 × peg: make one master"), "{pegs}");
    assert_eq!(told("level-pegs", "made_by = \"router\""), "");
    assert_eq!(told("tray", "long_dividers = [1, 2, 3]\ncross_dividers = [2, 4, 6]"), "");
    assert_eq!(told("pigeonholes", ""), "");
}

/// Small parts held, fed against the turning, the plug pulled: common practice, no source. Told where the bit is used.
#[test]
fn the_bearing_bit_has_its_caution() {
    let told = |count: usize, shop: &Shop| {
        let holder = knees(count, "1/4 in", shop, "in");
        caution::for_making(&holder).any(|caution| caution.starts_with("Bearing bit: "))
    };
    assert!(told(3, &with_bit("\"1/2\"")));
    assert!(!told(2, &with_bit("\"1/2\"")) && !told(3, &usual_shop()));
}

/// Below 1/8 in none is sold with a bearing (common practice, no source); the table may also be empty.
#[test]
fn the_shop_file_tells_its_bit() {
    let read =
        |table: &str| read_shop(&Source::new("shop.toml", format!("units = \"in\"\n{table}")));
    let bit = |table: &str| read(table).unwrap().flush_trim_bit;
    assert_eq!(bit("[hand_router]\nflush_trim_bit = \"1/2\""), Some(12.7));
    assert_eq!(bit("[hand_router]\nflush_trim_bit = \"12 mm\""), Some(12.0));
    assert_eq!([bit("[hand_router]"), bit("")], [None, None]);
    let wrong = read("[hand_router]\nflush_trim_bit = \"1/16\"").unwrap_err().to_string();
    assert!(wrong.contains("hand_router.flush_trim_bit"), "{wrong}");
}

/// A style whose steps say what they add is told what none of them does; one whose steps say nothing of it is not.
#[test]
fn trying_a_style_tells_what_no_step_adds() {
    let tried = |style: &str| {
        let inputs = Inputs::new().with("styles/own.toml", style);
        Trial::of(&inputs, "own").unwrap().to_string()
    };
    let unnamed =
        "  slat: no step adds it. Name it under adds in the step that puts it in place.\n";
    let without =
        STYLE.replace("\"back\", \"slat\"", "\"back\"").replace("\"slat\", \"cap\"", "\"cap\"");
    assert!(tried(&without).contains(unnamed), "{}", tried(&without));
    assert!(!tried(STYLE).contains("no step adds it"));
    let silent = without.replace("adds = [\"back\"], ", "").replace("adds = [\"cap\"], ", "");
    assert!(!silent.contains("adds") && !tried(&silent).contains("no step adds it"));
}
