//! Tools of several sizes in one slotted shelf, each with a slot of its own.

use crate::holder::{Feature, Holder, Part};
use crate::length::Dimension;

use super::{IN, made, near, part, size, stops, text, try_made, usual_shop};

/// Two slim clamps and a wide one.
const MIXED: &str = "bar_thickness = [\"1/4\", \"1/4\", \"3/8\"]\nhead_width = [1, 1, 2]\ntool_length = 22\n\
                     tool_mass = [\"1 kg\", \"1 kg\", \"3 kg\"]";

/// The same clamp, as often as it is counted.
const ALIKE: &str =
    "bar_thickness = \"1/4\"\nhead_width = 1\ntool_length = 22\ntool_mass = \"1 kg\"";

fn shelf(measures: &str, choices: &str) -> Holder {
    let holder = made(&text("slotted-shelf", measures, choices), &usual_shop());
    assert!(stops(&holder).is_empty(), "{:?}", holder.findings);
    holder
}

/// Middle and width of every slot, in inches, from the left.
fn slots(holder: &Holder) -> Vec<(f64, f64)> {
    let rows = &part(holder, "shelf").rows;
    let slots = rows.iter().filter(|row| matches!(row.feature, Feature::Slot { .. }));
    let mut slots: Vec<(f64, f64)> = slots
        .flat_map(|row| row.centers.iter().map(|at| (at.x / IN, row.feature.size() / IN)))
        .collect();
    slots.sort_by(|a, b| a.0.total_cmp(&b.0));
    slots
}

#[track_caller]
fn stand(holder: &Holder, wanted: &[(f64, f64)]) {
    let got = slots(holder);
    assert_eq!(got.len(), wanted.len(), "{got:?}");
    for (got, wanted) in got.iter().zip(wanted) {
        near(got.0, wanted.0);
        near(got.1, wanted.1);
    }
}

/// Heads of 1, 1 and 2 in with 3/4 in between: 1 3/4 in, then 2 1/4 in, then 2 3/4 in to the spare one.
#[test]
fn each_has_its_own_slot_and_a_spare_one_is_as_the_widest() {
    let holder = shelf(MIXED, "count = 3\nspare = 1\nend_margin = 2");
    stand(&holder, &[(2.0, 0.375), (3.75, 0.375), (6.0, 0.5), (8.75, 0.5)]);
    near(size(&holder, "shelf").0, 10.75);
    let hangs: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
    near(hangs, 8.0);
}

#[test]
fn a_stated_pitch_holds_for_all() {
    let holder = shelf(MIXED, "count = 3\nspare = 1\npitch = 3");
    stand(&holder, &[(2.0, 0.375), (5.0, 0.375), (8.0, 0.5), (11.0, 0.5)]);
}

/// A list of the same figure comes to what the one figure does.
#[test]
fn one_figure_stands_for_all() {
    let list = "bar_thickness = [\"1/4\", \"1/4\"]\nhead_width = [1, 1]\ntool_length = 22\n\
                tool_mass = [\"1 kg\", \"1 kg\"]";
    let holders = [list, ALIKE].map(|measures| shelf(measures, "count = 2\nspare = 1"));
    assert_eq!(holders[0], holders[1]);
    let head = holders[0].values["head_width"].figure(Dimension::LENGTH);
    near(head.unwrap() / IN, 1.0);
}

#[test]
fn a_list_of_another_length_is_told_once() {
    let file = text("slotted-shelf", MIXED, "count = 4");
    let told = try_made(&file, &usual_shop()).unwrap_err().to_string();
    for says in ["measures.head_width has 3 entries, count is 4", "line 6"] {
        assert!(told.contains(says), "{told}");
    }
    assert_eq!(told.matches("head_width has").count(), 1, "{told}");
}

/// The blocks fill what the slots leave of the front edge, but for 1/16 in on either side of each.
#[test]
fn a_lip_stands_between_the_slots() {
    let holder = shelf(ALIKE, "count = 3\nspare = 0\nlip = \"1/2\"");
    let (left, right) = (size(&holder, "left-lip-block"), size(&holder, "right-lip-block"));
    near(left.0, 2.0 - 0.1875 - 0.0625);
    near(right.0, left.0);
    let between = holder.parts.iter().filter(|part| part.kind == "lip-block");
    assert_eq!(between.clone().map(Part::quantity).sum::<usize>(), 2);
    between.for_each(|part| near(part.length() / IN, 1.75 - 0.375 - 0.125));
    let front = part(&holder, "shelf").places[0].bounds().1[2];
    near(part(&holder, "left-lip-block").places[0].bounds().1[2], front);
}
