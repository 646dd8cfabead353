//! What a holder's assessment has to say: findings, with the change that mends.

use super::assess::{Assessment, assess};
use super::check::{Check, NEAR};
use super::mend::mend;
use super::say;
use crate::holder::{Holder, Level};
use crate::shop::Shop;
use crate::style::HolderFile;

/// Assesses a holder and adds what that finds to its findings. One that can't be made, or in which
/// nothing hangs, is left as it is.
pub fn judge(holder: &mut Holder, file: &HolderFile, shop: &Shop) -> Option<Assessment> {
    if holder.findings.iter().any(|f| f.level == Level::Stop) {
        return None;
    }
    if holder.bearers.is_empty() {
        if !holder.weights.is_empty() {
            holder.findings.push(say::no_load_model());
        }
        return None;
    }
    let assessment = assess(holder, shop);
    holder.findings.extend(assessment.failed.iter().map(say::not_worked_out));
    let told = told(&assessment);
    // The worst that a change can mend brings the advice; it holds for all.
    let mended = told.iter().position(|check| check.id.question.has_mend());
    let mend = mended.and_then(|_| mend(file, shop, holder));
    for (index, check) in told.into_iter().enumerate() {
        let advice = (Some(index) == mended).then_some((&assessment, mend.as_ref()));
        holder.findings.push(say::finding(check, holder.units, advice));
    }
    holder.findings.sort_by_key(|finding| finding.level);
    Some(assessment)
}

/// The checks worth a finding, the worst first: one for each place and question.
fn told(assessment: &Assessment) -> Vec<&Check> {
    let over = |check: &&Check| {
        let limit = if check.id.question.is_grave() { NEAR } else { 1.0 };
        check.ratio() > limit
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
