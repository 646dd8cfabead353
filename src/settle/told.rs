//! What is said of a choice that was settled: what it is, what it would be, and why it is not.

use super::candidate::{Candidate, Files};
use super::moved::{Agreed, Moved};
use crate::carry::say::lowered;
use crate::carry::{Check, LoadQuestion, told as told_checks};
use crate::holder::{Finding, Level, SETTLED, SettledChoice};
use crate::length::Units;

/// What is said where a default does not even come to a holder.
const UNKNOWN: &str = "it can't be worked out";

/// Each choice that is `moved`, with its reason: what comes about where it alone is not.
pub(super) fn told(files: Files<'_>, moved: &Moved) -> Vec<SettledChoice> {
    let changes = &moved.changes;
    let mut told: Vec<SettledChoice> = Vec::new();
    for change in changes {
        let without = files.tried(changes.iter().filter(|other| *other != change));
        let because = without.as_ref().map_or_else(|| UNKNOWN.to_owned(), why);
        let [default, value] = change.of_shop(files.shop);
        told.push(SettledChoice { choice: change.name().to_owned(), default, value, because });
    }
    for Agreed { change, part } in &moved.agreed {
        let [default, value] = change.of_shop(files.shop);
        match told.iter_mut().find(|told| told.choice == change.name()) {
            Some(told) => told.value = value,
            None => told.push(SettledChoice {
                choice: change.name().to_owned(),
                default,
                value,
                because: format!("the saw would be set once more, for the {part}"),
            }),
        }
    }
    told
}

/// The note on a settled choice: `arm_height is 9 in, not 6 in: at 6 in …`.
pub(crate) fn note(settled: &SettledChoice, units: Units) -> Finding {
    let SettledChoice { choice, default, value, because } = settled;
    let [default, value] = [default, value].map(|value| value.write(units));
    let with = if settled.default.is_figure() { "at" } else { "with" };
    let message = format!("{choice} is {value}, not {default}: {with} {default} {because}.");
    Finding::note(SETTLED, message)
}

/// What is wrong with a holder, in half a sentence.
fn why(candidate: &Candidate) -> String {
    let worst = candidate.holder.findings.iter().find(|finding| finding.level != Level::Note);
    let told = told_checks(&candidate.checked.checks);
    let over = told.into_iter().find(|check| check.level() != Some(Level::Note));
    let hung =
        candidate.close.iter().chain(&candidate.hung).find(|finding| finding.level != Level::Note);
    match (worst, over, hung) {
        (Some(finding), ..) | (None, None, Some(finding)) => lowered(what(&finding.message)),
        (None, Some(check), _) => overloaded(check),
        (None, None, None) => UNKNOWN.to_owned(),
    }
}

/// What a message says is wrong, without its way out, which follows the last colon.
fn what(message: &str) -> &str {
    let what = message.rsplit_once(": ").map_or(message, |(what, _)| what);
    what.trim_end_matches('.')
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
