//! What a holder's checks have to say: findings.

use super::check::{Check, LoadQuestion};
use super::close_all::close_screws;
use super::remark::NotWorkedOut;
use super::say;
use crate::holder::{Finding, Holder, Level};
use crate::shop::Shop;

/// What the loads find: what could not be worked out, then the checks, the worst first. The one that a change can mend
/// begins with the `headline` and ends with the `advice`, which holds for all.
pub(crate) fn load_findings(
    holder: &Holder,
    checks: &[Check],
    failed: &[NotWorkedOut],
    headline: &str,
    advice: &str,
) -> Vec<Finding> {
    if holder.carriers.is_empty() && !holder.weights.is_empty() {
        return vec![say::no_load_model()];
    }
    let told = told(checks);
    let bad = |check: &&Check| check.level() != Some(Level::Note) && check.id.question.has_mend();
    let mended = told.iter().position(bad);
    let found = told.iter().enumerate().map(|(index, check)| match Some(index) == mended {
        true => say::finding(check, holder.units, advice).after(headline),
        false => say::finding(check, holder.units, ""),
    });
    let fit = checks.iter().filter_map(|check| say::on_edge(check, holder.units));
    failed.iter().map(say::not_worked_out).chain(found).chain(fit).collect()
}

/// What is said of screws that stand where wood may split or break out.
pub(crate) fn close_calls(holder: &Holder, shop: &Shop) -> Vec<Finding> {
    close_screws(holder, shop).iter().map(|close| say::close_screw(close, holder.units)).collect()
}

/// Whether the wall cleat bears the holder over a stud alone.
pub(crate) fn hangs_over_a_stud(checks: &[Check]) -> bool {
    checks.iter().any(|check| check.id.question == LoadQuestion::OverStud)
}

/// The checks worth a finding, the worst first: one for each place and question.
pub(crate) fn told(checks: &[Check]) -> Vec<&Check> {
    let mut told: Vec<&Check> = Vec::new();
    for check in checks.iter().filter(|check| check.level().is_some()) {
        match told.iter_mut().find(|known| known.id == check.id) {
            Some(known) if known.ratio() < check.ratio() => *known = check,
            Some(_) => {}
            None => told.push(check),
        }
    }
    told.sort_by(|a, b| a.level().cmp(&b.level()).then(b.ratio().total_cmp(&a.ratio())));
    told
}
