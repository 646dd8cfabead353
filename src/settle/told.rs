//! What is said of a choice that was settled: what it is, what it would be, and why it is not.

use super::change::Change;
use super::trial::{Files, Trial};
use crate::carry::{Check, LoadQuestion, told as told_checks};
use crate::holder::{Finding, Level, SettledChoice};
use crate::length::Units;

/// Each of `changes` with its reason: what comes about where it alone is not made.
pub(super) fn told(files: Files<'_>, start: &Trial, changes: &[Change]) -> Vec<SettledChoice> {
    let told = changes.iter().filter_map(|change| {
        let Change::Choice { name, from, value } = change else { return None };
        let without = files.tried(changes.iter().filter(|other| *other != change));
        let because = why(without.as_ref().unwrap_or(start));
        let [default, value] = [from, value].map(|value| value.clone().into());
        Some(SettledChoice { choice: name.clone(), default, value, because })
    });
    told.collect()
}

/// The note on a settled choice: `arm_height is 9 in, not 6 in: at 6 in …`.
pub(super) fn note(settled: &SettledChoice, units: Units) -> Finding {
    let SettledChoice { choice, default, value, because } = settled;
    let [default, value] = [default, value].map(|value| value.write(units));
    let with = if settled.default.is_figure() { "at" } else { "with" };
    let message = format!("{choice} is {value}, not {default}: {with} {default} {because}.");
    Finding::note("settled", message)
}

/// What is wrong with a holder, in half a sentence.
fn why(trial: &Trial) -> String {
    let worst = trial.holder.findings.iter().find(|finding| finding.level != Level::Note);
    match (worst, told_checks(&trial.checked.checks).first()) {
        (Some(finding), _) => lowered(what(&finding.message)),
        (None, Some(check)) => overloaded(check),
        (None, None) => "it can't be worked out".to_owned(),
    }
}

/// What a message says is wrong, without its way out, which follows the last colon.
fn what(message: &str) -> &str {
    let what = message.rsplit_once(": ").map_or(message, |(what, _)| what);
    what.trim_end_matches('.')
}

/// With a small letter first, as it goes on in a sentence.
fn lowered(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

fn overloaded(check: &Check) -> String {
    let place = check.id.place.words();
    match check.id.question {
        LoadQuestion::Staying => "the tools would turn it off the cleat".to_owned(),
        LoadQuestion::Sag => format!("{place} would sag too much"),
        question => {
            let share = (100.0 * check.ratio()).ceil();
            format!("{place} ({}) would be at {share:.0} % of what is allowable", question.word())
        }
    }
}
