//! What a style has to say: its checks, its steps of making, and what it takes besides wood.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::hardware::{Hardware, HardwareKind};
use super::part::Part;
use super::step::{Step, added_once};
use super::told::{Told, told};
use crate::reading::Problems;
use crate::style::{CheckSpec, HardwareSpec, StepSpec};

/// What the style's checks find.
///
/// # Errors
/// When a check is wrong.
pub(super) fn checks(benches: &[Bench<'_>]) -> Result<Vec<Finding>, Problems> {
    let mut findings = Vec::new();
    for bench in benches {
        for check in &bench.layer.file.checks {
            bench.values.knows(&check.say, &bench.layer.source)?;
            let found = bench.rounds(check.repeat.as_ref(), |_: [f64; 2]| checked(bench, check));
            let found = told(found)?.tell(&mut findings);
            findings.extend(found.into_iter().flatten().flatten());
        }
    }
    Ok(findings)
}

fn checked(bench: &Bench<'_>, check: &CheckSpec) -> Result<Option<Finding>, Refusal> {
    if !bench.holds(Some(&check.when))? {
        return Ok(None);
    }
    let (level, code) = (check.level, check.name.get_ref().clone());
    Ok(Some(Finding { level, code, message: bench.say(&check.say)? }))
}

/// The steps of making, the early ones first, the last ones last, with what each adds of `parts`.
///
/// # Errors
/// When a step is wrong.
pub(super) fn steps(benches: &[Bench<'_>], parts: &[Part]) -> Result<Told<Vec<Step>>, Problems> {
    let [mut early, mut later, mut last] = [const { Vec::new() }; 3];
    let mut findings = Vec::new();
    // A style's own first, then those of its groups, each before what it takes in: that comes onto what it makes.
    let groups = benches.iter().skip(1).rev();
    for bench in benches.iter().take(1).chain(groups) {
        for spec in &bench.layer.file.steps {
            bench.values.knows(&spec.text, &bench.layer.source)?;
            let said = told(step(bench, spec, parts))?.tell(&mut findings).flatten();
            let steps = match (spec.early, spec.last) {
                (true, _) => &mut early,
                (false, false) => &mut later,
                (false, true) => &mut last,
            };
            steps.extend(said);
        }
    }
    early.append(&mut later);
    early.append(&mut last);
    added_once(&mut early);
    Ok(Told { value: early, findings })
}

fn step(bench: &Bench<'_>, spec: &StepSpec, parts: &[Part]) -> Result<Option<Step>, Refusal> {
    if !bench.holds(spec.when.as_ref())? {
        return Ok(None);
    }
    Ok(Some(Step::adding(bench.say(&spec.text)?, &spec.adds, parts)))
}

/// One thing that the style names.
///
/// # Errors
/// When a formula fails.
pub(super) fn hardware(
    bench: &Bench<'_>,
    spec: &HardwareSpec,
) -> Result<Option<Hardware>, Refusal> {
    if !bench.holds(spec.when.as_ref())? {
        return Ok(None);
    }
    let (item, size, shared) = (spec.item.clone(), spec.size.clone(), spec.shared);
    let what = HardwareKind::Named { item, size, shared };
    let quantity = bench.count(&spec.quantity)?;
    Ok(Some(Hardware { what, quantity, used_for: spec.used_for.clone() }))
}
