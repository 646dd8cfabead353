//! The way out where what is open does not suffice: a change of what is stated, or of the shop, that was tried.

use super::candidate::{Candidate, Files};
use super::knob::other_knobs;
use super::lasting::lasting;
use super::moved::search;
use super::worth::Worth;
use crate::carry::{Assessment, Check};
use crate::holder::{Finding, Level, Values};
use crate::length::Units;

/// Changes that are told at once: more is another holder.
const TOLD_AT_ONCE: usize = 2;

/// The change that mends what a holder's `loads` find, or how little it takes as it is; empty where they find nothing
/// that a change could mend.
pub(super) fn advice(files: Files<'_>, carried: &Assessment, loads: &[Finding]) -> String {
    if loads.iter().all(|finding| finding.level == Level::Note) {
        return String::new();
    }
    let lighter = lighter(carried, files.units());
    let over = carried.could_over_stud.is_some_and(|could| could >= carried.tools);
    match (mended(files), lighter) {
        (Some(Tried { words, share, clears: true }), _) => format!(
            " Fix: {words}; then every load is at most {:.0} % of its allowable.",
            (100.0 * share).ceil()
        ),
        // Hung over a stud it holds.
        _ if over => String::new(),
        (_, Some(lighter)) => lighter,
        (Some(Tried { words, share, .. }), None) if share.is_finite() => format!(
            " It helps to write {words}, and then the highest load is at {:.0} % of its allowable.",
            (100.0 * share).ceil()
        ),
        _ => " No change that was tried is enough.".to_owned(),
    }
}

/// How little the holder takes as it is, where no change is enough; `None` where it takes nothing.
fn lighter(carried: &Assessment, units: Units) -> Option<String> {
    let less = |could: Option<f64>| could.filter(|could| *could > 0.0 && *could < carried.tools);
    let told = match (less(carried.could), less(carried.could_over_stud)) {
        (Some(anywhere), Some(over)) if over > anywhere => {
            format!("{}, or {} over a stud", units.mass(anywhere), units.mass(over))
        }
        (None, Some(could)) | (Some(could), _) => units.mass(could),
        (None, None) => return None,
    };
    Some(format!(" No change that was tried is enough: hang no more than {told}."))
}

/// The change that mends what keeps tools from coming to their places and staying there; empty where none was found.
pub(super) fn room_advice(files: Files<'_>, found: &[Finding]) -> String {
    let light = found.iter().all(|finding| finding.level == Level::Note);
    let fix = if light { None } else { mended(files) };
    fix.map_or_else(String::new, |fix| format!(" Fix: {}.", fix.words))
}

/// A change that was tried.
struct Tried {
    words: String,
    /// The highest share of an allowable then.
    share: f64,
    /// Whether nothing that a change could mend is found then.
    clears: bool,
}

/// The best change that leaves less to be found and no load nearer to its limit.
fn mended(files: Files<'_>) -> Option<Tried> {
    let values = Values::new(files.file, files.shop).ok()?;
    let knobs = other_knobs(files.file, &values, files.shop);
    let now = files.tried([])?;
    let lasting = lasting(files.file, &values, &now, &knobs);
    let good = |worth: &Worth| worth.found() == lasting;
    let found = search(files, &now, &knobs, TOLD_AT_ONCE, good)?;
    let better = found.worth.found() < now.worth([0, 0]).found();
    let then = highest(&files.tried(&found.changes)?);
    let words: Vec<String> =
        found.changes.iter().map(|change| change.words(files.units())).collect();
    let told = Tried { words: words.join(" and "), share: then, clears: good(&found.worth) };
    (better && then <= highest(&now).max(1.0)).then_some(told)
}

/// The highest share of an allowable.
fn highest(candidate: &Candidate) -> f64 {
    candidate.checked.checks.iter().map(Check::ratio).fold(0.0, f64::max)
}
