//! The way out where what is open does not suffice: a change of what is stated, or of the shop, that was tried.

use super::candidate::Files;
use super::knob::other_knobs;
use super::moved::search;
use super::worth::Worth;
use crate::carry::{Assessment, Check, LoadQuestion};
use crate::holder::{Finding, Level, Values};
use crate::length::Units;

/// Changes that are told at once: more is another holder.
const TOLD_AT_ONCE: usize = 2;

/// What the holder could take as it is, and the change that mends what its `loads` find; empty where they find
/// nothing that a change could mend.
pub(super) fn advice(files: Files<'_>, carried: &Assessment, loads: &[Finding]) -> String {
    if loads.iter().all(|finding| finding.level == Level::Note) {
        return String::new();
    }
    let change = mended(files).map(|(words, share)| {
        format!(
            " Fix: {words}; then every load is at most {:.0} % of its allowable.",
            100.0 * share
        )
    });
    let change = change.unwrap_or_else(|| {
        " No change that was tried is enough: hang fewer or lighter tools, make two holders, or rip wider \
         cleats."
            .to_owned()
    });
    takes(carried, files.units()) + &change
}

/// The change that mends what keeps tools from coming to their places and staying there; empty where none was found.
pub(super) fn room_advice(files: Files<'_>, found: &[Finding]) -> String {
    let light = found.iter().all(|finding| finding.level == Level::Note);
    let fix = if light { None } else { mended(files) };
    fix.map_or_else(String::new, |(words, _)| format!(" Fix: {words}."))
}

/// What the holder takes as it is, where more or fewer tools are the matter.
fn takes(carried: &Assessment, units: Units) -> String {
    let tips = carried.limit().is_some_and(|check| check.id.question == LoadQuestion::Staying);
    let could = carried.could.filter(|could| *could > 0.0 && !tips);
    could.map_or_else(String::new, |could| {
        format!(" As drawn it carries {} of tools.", units.mass(could))
    })
}

/// The best change that leaves less to be found, in words, and the highest share of an allowable then.
fn mended(files: Files<'_>) -> Option<(String, f64)> {
    let values = Values::new(files.file, files.shop).ok()?;
    let knobs = other_knobs(files.file, &values, files.shop);
    let good = |worth: &Worth| worth.found() == [0, 0];
    let now = files.tried([])?;
    let found = search(files, &now, &knobs, TOLD_AT_ONCE, good)?;
    if found.worth.found() >= now.worth([0, 0]).found() {
        return None;
    }
    let highest = files.tried(&found.changes)?.checked.checks.into_iter();
    let shares = highest.filter(|check| check.id.question.is_grave());
    let share = shares.map(|check: Check| check.ratio()).fold(0.0, f64::max);
    let words: Vec<String> =
        found.changes.iter().map(|change| change.words(files.units())).collect();
    Some((words.join(" and "), share))
}
