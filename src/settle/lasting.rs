//! What no open choice can change.

use std::collections::BTreeSet;

use super::candidate::Candidate;
use super::change::Change;
use super::knob::Knob;
use crate::holder::{Level, Values};
use crate::style::HolderFile;

/// How many stops and how many warnings of `start` come from checks of the style that rest on none of `knobs`:
/// they stay, whatever is moved.
pub(super) fn lasting(
    file: &HolderFile,
    values: &Values<'_>,
    start: &Candidate,
    knobs: &[Knob],
) -> [usize; 2] {
    let moved: BTreeSet<&str> = knobs.iter().filter_map(|knob| choice(knob)).collect();
    let checks = file.style.layers.iter().flat_map(|layer| &layer.file.checks);
    let fixed: BTreeSet<&str> = checks
        .filter(|check| values.rests_on(&check.when.formula).is_disjoint(&moved))
        .map(|check| check.name.get_ref().as_str())
        .collect();
    [Level::Stop, Level::Warn].map(|level| {
        let lasts = |code: &str| fixed.contains(code);
        let found = start.holder.findings.iter().filter(|finding| finding.level == level);
        found.filter(|finding| lasts(&finding.code)).count()
    })
}

/// The choice that a knob sets.
fn choice(knob: &Knob) -> Option<&str> {
    match knob.changes.first()? {
        Change::Choice { name, .. } => Some(name),
        _ => None,
    }
}
