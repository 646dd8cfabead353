//! `load.md`: what a holder carries, told as a careful friend would.

use std::fmt::Write;

use super::steps::{plain, section};
use crate::carry::{Assessment, NEAR, Question};
use crate::holder::{Holder, caution};
use crate::length::Units;

/// The load sheet of `holder`, as Markdown.
pub fn write(holder: &Holder, assessment: &Assessment) -> String {
    let units = holder.units;
    let mut text =
        format!("# Loads: {}\n\n{}\n", plain(&holder.title), opening(holder, assessment));
    // Writing to a string does not fail.
    let _ = write!(text, "\n## The table\n\n{}", table(assessment, units));
    section(&mut text, "How each figure came about", with(assessment).into_iter());
    section(&mut text, "Formulas and their sources", formulas(assessment).into_iter());
    section(&mut text, "Counted and not counted", counted(assessment).into_iter());
    section(&mut text, "Before you trust it", caution::for_loads().map(|line| format!("- {line}")));
    text
}

fn opening(holder: &Holder, assessment: &Assessment) -> String {
    let units = holder.units;
    let mut told = vec!["This is an estimate for a home shop, not a rating.".to_owned()];
    if assessment.tools <= 0.0 {
        told.push(
            "No tools hang on it itself; what its file says hangs there is counted.".to_owned(),
        );
    } else {
        told.push(format!(
            "Tools of {} hang here; with its wood the wall carries {}.",
            units.mass(assessment.tools),
            units.mass(assessment.whole)
        ));
    }
    if let Some(limit) = assessment.limit() {
        let share = (limit.ratio() * 100.0).round();
        told.push(format!(
            "What limits it is {}, {}: {share:.0} % of what may be counted on.",
            limit.what,
            limit.question.word()
        ));
    }
    if let Some(could) = assessment.could {
        let verdict =
            if could >= assessment.tools { "It could take" } else { "It should have no more than" };
        let until = assessment.could_until.as_ref().map_or_else(String::new, |check| {
            format!("; then {} ({}) has all it can take", check.what, check.question.word())
        });
        told.push(format!("{verdict} tools of {} in all{until}.", units.mass(could)));
    }
    if assessment.studs > 0.0 {
        let studs = assessment.studs;
        let shared = if studs <= 1.0 {
            "It may hang on one stud alone".to_owned()
        } else {
            format!("Its cleat is {studs:.1} stud spacings long")
        };
        told.push(format!(
            "{shared}: up to {} comes down on one, knocks counted.",
            units.force(assessment.per_stud)
        ));
    }
    told.join(" ")
}

fn table(assessment: &Assessment, units: Units) -> String {
    let mut text =
        "| what | how | asked | can | asked / can |\n| --- | --- | --- | --- | --- |\n".to_owned();
    for check in &assessment.checks {
        let question = check.question;
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} | {} |",
            plain(&check.what),
            question.word(),
            question.write(check.asked, units),
            question.write(check.can, units),
            mark(check.ratio())
        );
    }
    text
}

/// A ratio, with a word where it wants one.
fn mark(ratio: f64) -> String {
    match ratio {
        r if !r.is_finite() => "**too much**".to_owned(),
        r if r > 1.0 => format!("**{r:.2}, too much**"),
        r if r > NEAR => format!("{r:.2}, near"),
        r => format!("{r:.2}"),
    }
}

/// One line for each place: what went into its figures.
fn with(assessment: &Assessment) -> Vec<String> {
    let mut told: Vec<String> = Vec::new();
    for check in &assessment.checks {
        let line = format!("- {}: {}.", plain(&check.what), check.with);
        if !told.contains(&line) {
            told.push(line);
        }
    }
    told
}

fn formulas(assessment: &Assessment) -> Vec<String> {
    let mut asked: Vec<Question> = Vec::new();
    for check in &assessment.checks {
        if !asked.contains(&check.question) {
            asked.push(check.question);
        }
    }
    let line = |q: Question| format!("- {}: {}. Source: {}.", q.word(), q.formula(), q.source());
    asked.into_iter().map(line).collect()
}

fn counted(assessment: &Assessment) -> Vec<String> {
    let mut told = vec![
        format!("Tools' weights are multiplied by {} for knocks and pulls (live_load).", assessment.live),
        "Loads stay for good: strengths of wood and screws are multiplied by 0.9 (NDS-2018 table 2.3.2)."
            .to_owned(),
        "Glue, friction on the bevel and 18 gauge nails, which only clamp while glue cures, are not counted."
            .to_owned(),
        "Wood is taken as dry, sound and clear of knots where it is stressed most.".to_owned(),
    ];
    let failed = |what: &String| format!("Not worked out: {what}.");
    told.extend(assessment.failed.iter().map(failed));
    told.extend(assessment.remarks.iter().cloned());
    told.into_iter().map(|line| format!("- {}", plain(&line))).collect()
}
