//! What a holder's assessment has to say: findings, with the change that mends.

use super::assess::{Assessment, assess};
use super::check::{Check, Question};
use super::mend::{Mend, mend};
use crate::holder::{Finding, Holder, Level};
use crate::length::Units;
use crate::shop::Shop;
use crate::style::HolderFile;

/// Above this part of what a place can, a second look is due. Common practice, no source.
pub const NEAR: f64 = 0.8;

/// Assesses a holder and adds what that finds to its findings. One that can't be made, or in which
/// nothing hangs, is left as it is.
pub fn judge(holder: &mut Holder, file: &HolderFile, shop: &Shop) -> Option<Assessment> {
    if holder.findings.iter().any(|f| f.level == Level::Stop) {
        return None;
    }
    if holder.bearers.is_empty() {
        if !holder.weights.is_empty() {
            let message = "The style says what hangs here, but not what bears it: no load was looked \
                           at. Add [[bears]] to the style, and prove it by a pull before you trust it.";
            holder.findings.push(Finding::warn("no-load-model", message.to_owned()));
        }
        return None;
    }
    let assessment = assess(holder, shop);
    holder.findings.extend(assessment.failed.iter().map(|failed| {
        let message = format!("What this carries could not be worked out: {failed}.");
        Finding::stop("load-not-worked-out", message)
    }));
    let told = told(&assessment);
    let mends = told.iter().any(|check| check.question.has_mend());
    let mend = if mends { mend(file, shop, holder) } else { None };
    let mut advice = advice(&assessment, mend.as_ref(), holder.units);
    for check in told {
        // The worst brings the advice; it holds for all.
        let with =
            if check.question.has_mend() { std::mem::take(&mut advice) } else { String::new() };
        holder.findings.push(finding(check, holder.units, &with));
    }
    holder.findings.sort_by_key(|finding| finding.level);
    Some(assessment)
}

/// What the holder could take as it is, and the change that mends.
fn advice(assessment: &Assessment, mend: Option<&Mend>, units: Units) -> String {
    let takes = assessment.could.map_or_else(String::new, |could| {
        format!(" As it is, the holder takes tools of {} in all.", units.mass(could))
    });
    let change = mend.map_or_else(
        || {
            "No change that was tried mends it: hang fewer or lighter tools, or make two holders."
                .to_owned()
        },
        Mend::say,
    );
    format!("{takes} {change}")
}

/// The checks worth a finding, the worst first: one for each place and question.
fn told(assessment: &Assessment) -> Vec<&Check> {
    let over = |check: &&Check| {
        let limit = if check.question.is_grave() { NEAR } else { 1.0 };
        check.ratio() > limit
    };
    let mut told: Vec<&Check> = Vec::new();
    for check in assessment.checks.iter().filter(over) {
        let same =
            |known: &&&mut &Check| known.what == check.what && known.question == check.question;
        match told.iter_mut().find(|known| same(&known)) {
            Some(known) if known.ratio() < check.ratio() => *known = check,
            Some(_) => {}
            None => told.push(check),
        }
    }
    told.sort_by(|a, b| b.ratio().total_cmp(&a.ratio()));
    told
}

fn finding(check: &Check, units: Units, advice: &str) -> Finding {
    let question = check.question;
    let (what, word) = (&check.what, question.word());
    let (asked, can) = (question.write(check.asked, units), question.write(check.can, units));
    match question {
        Question::EndGrain => Finding::warn(
            "screws-in-end-grain",
            format!(
                "{what}: the screws are pulled with {asked} each out of end grain, where no screw may \
                 be counted on: use the tab joint, a bracket or a cleat under it, or turn the grain."
            ),
        ),
        Question::Strip => Finding::warn(
            "hang-over-a-stud",
            format!(
                "{what}, {word}: asked {asked} with the tools knocked, can {can}. Hang it where a stud is \
                 behind it, or use wider cleats (width under [cleat] in shop.toml). An estimate, not a \
                 rating."
            ),
        ),
        Question::Sag => Finding::warn(
            "sags",
            format!(
                "{what}: it sags {asked} with time, {:.1} times what does not trouble the eye.{advice}",
                check.ratio()
            ),
        ),
        _ => {
            let ratio = check.ratio();
            let used = match ratio {
                r if !r.is_finite() => "nothing may be counted on".to_owned(),
                r if r > 1.0 => format!("{r:.2} times that"),
                r => format!("{r:.2} of it is used"),
            };
            let message = format!(
                "{what}, {word}: asked {asked} with the tools knocked, can {can}; {used}.{advice} An estimate, not a rating."
            );
            if ratio > 1.0 {
                Finding::stop("overloaded", message)
            } else {
                Finding::warn("near-its-limit", message)
            }
        }
    }
}
