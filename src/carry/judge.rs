//! What a holder's assessment has to say: findings, with the change that mends.

use super::assess::{Assessment, assess};
use super::check::{Check, NEAR};
use super::close::close_screws;
use super::mend::mend;
use super::say;
use crate::holder::{Finding, Holder, Level};
use crate::shop::Shop;
use crate::style::HolderFile;

/// Assesses a holder and adds what that finds to its findings. One that can't be made, or in which
/// nothing hangs, is left as it is.
pub(crate) fn judge(holder: &mut Holder, file: &HolderFile, shop: &Shop) -> Option<Assessment> {
    if holder.findings.iter().any(|f| f.level == Level::Stop) {
        return None;
    }
    let assessment = (!holder.carriers.is_empty()).then(|| assess(holder, shop));
    let mut found = match &assessment {
        Some(assessment) => findings(assessment, holder, file, shop),
        None if holder.weights.is_empty() => Vec::new(),
        None => vec![say::no_load_model()],
    };
    found.extend(close_screws(holder).iter().map(|close| say::close_screw(close, holder.units)));
    holder.findings.extend(found);
    holder.findings.sort_by_key(|finding| finding.level);
    assessment
}

/// What an assessment finds: what could not be worked out, then the checks, the worst first.
fn findings(
    assessment: &Assessment,
    holder: &Holder,
    file: &HolderFile,
    shop: &Shop,
) -> Vec<Finding> {
    let mut found: Vec<Finding> = assessment.failed.iter().map(say::not_worked_out).collect();
    let told = told(assessment);
    // The worst that a change can mend brings the advice; it holds for all.
    let mended = told.iter().position(|check| check.id.question.has_mend());
    let mend = mended.and_then(|_| mend(file, shop, holder));
    found.extend(told.into_iter().enumerate().map(|(index, check)| {
        let advice = (Some(index) == mended).then_some((assessment, mend.as_ref()));
        say::finding(check, holder.units, advice)
    }));
    found
}

/// The checks worth a finding, the worst first: one for each place and question.
fn told(assessment: &Assessment) -> Vec<&Check> {
    let over = |check: &&Check| {
        let limit = if check.id.question.is_grave() { NEAR } else { 1.0 };
        check.ratio() > limit || !check.is_rated()
    };
    let mut told: Vec<&Check> = Vec::new();
    for check in assessment.checks.iter().filter(over) {
        match told.iter_mut().find(|known| known.id == check.id) {
            Some(known) if known.ratio() < check.ratio() => *known = check,
            Some(_) => {}
            None => told.push(check),
        }
    }
    told.sort_by(|a, b| b.ratio().total_cmp(&a.ratio()));
    told
}
