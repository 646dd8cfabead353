//! `load.md`: what a holder carries, told as a careful friend would.

use super::tree::{Block, Document, Inline, Listing, Phrase, phrase, strong};
use crate::carry::{Assessment, Check, LoadQuestion, NEAR, say};
use crate::holder::{Holder, caution};
use crate::length::{Amount, STANDARD_GRAVITY, Units};

/// The load sheet of `holder`.
pub(crate) fn load(holder: &Holder, assessment: &Assessment) -> Document {
    let chapters = [
        Block::chapter("Loads and allowables", Block::Table(table(&assessment.checks))),
        Block::chapter(
            "Where the figures come from",
            Block::List(grounds(&assessment.checks, holder.units)),
        ),
        Block::chapter(
            "Formulas and their sources",
            Block::List(formulas(&assessment.checks, holder.units)),
        ),
        Block::chapter("What is counted", Block::List(counted(assessment, holder.units))),
        Block::chapter("Before you trust it", Block::cautions(caution::for_loads())),
    ];
    let blocks = [Block::Paragraph(opening(assessment))];
    Document {
        title: format!("Loads: {}", holder.title),
        units: holder.units,
        blocks: blocks.into_iter().chain(chapters.into_iter().flatten()).collect(),
    }
}

fn opening(assessment: &Assessment) -> Phrase {
    let told = [hanging(assessment), limit(assessment), could(assessment), studs(assessment)];
    let first = phrase!["This is an estimate for a home shop, not a rating."];
    told.into_iter().flatten().fold(first, |all, next| all.then(phrase![" "]).then(next))
}

fn hanging(assessment: &Assessment) -> Option<Phrase> {
    let [tools, whole] = [assessment.tools, assessment.whole].map(Amount::Mass);
    Some(if assessment.tools <= 0.0 {
        phrase!["No tools hang on it directly; the load named in its file is counted."]
    } else {
        phrase![tools, " of tools hang here; holder and tools together weigh ", whole, "."]
    })
}

fn limit(assessment: &Assessment) -> Option<Phrase> {
    let limit = assessment.highest()?;
    let share = match 100.0 * limit.ratio() {
        share if share.is_finite() => format!("at {share:.0} % of its allowable"),
        _ => "where nothing can be counted on".to_owned(),
    };
    let (what, how) = (limit.id.place.words(), limit.id.question.word());
    Some(format!("Highest load: {what}, {how}, {share}.").into())
}

fn could(assessment: &Assessment) -> Option<Phrase> {
    let could = assessment.could?;
    let verdict = if could >= assessment.tools { "It could carry" } else { "Hang no more than" };
    // The strip between two studs is not counted in it.
    let strip = assessment.checks.iter().any(|c| c.id.question == LoadQuestion::Strip);
    let hung = match (strip, assessment.in_masonry) {
        (true, false) => ", hung over a stud.",
        (_, true) => ", as far as its own wood and screws go: the plugs decide.",
        (false, _) => ".",
    };
    Some(phrase![verdict, " ", Amount::Mass(could), " of tools in all", hung])
}

fn studs(assessment: &Assessment) -> Option<Phrase> {
    let studs = assessment.studs;
    let (one, each, held_by) = match assessment.in_masonry {
        true => ("at one place alone", "the screws at one place", "place"),
        false => ("on a single stud", "one stud", "stud"),
    };
    let shared = match studs {
        1 => format!("It may hang {one}"),
        _ => format!(
            "{studs} {held_by}s at least share it, under all tools or only those of one half"
        ),
    };
    // As a weight, the way the wall cleats are told what hangs on them.
    let most = Amount::Mass(assessment.per_stud / STANDARD_GRAVITY);
    let told = phrase![shared, ": ", each, " may have to carry ", most, ", knocks counted."];
    (studs > 0).then_some(told)
}

fn table(checks: &[Check]) -> Listing {
    let rows = checks.iter().map(|check| {
        let [asked, can] = [check.asked, check.can].map(|value| check.id.question.amount(value));
        let (can, share) = match check.is_rated() {
            true => (phrase![can], mark(check.ratio())),
            false => ("not rated".into(), "as the plug's maker says".into()),
        };
        vec![
            check.id.place.words().into(),
            check.id.question.word().into(),
            phrase![asked],
            can,
            phrase![share],
        ]
    });
    Listing { head: vec!["where", "what", "load", "allowable", "share"], rows: rows.collect() }
}

/// A ratio, with a word where it wants one.
fn mark(ratio: f64) -> Inline {
    match ratio {
        r if !r.is_finite() => strong("too much"),
        r if r > 1.0 => strong(format!("{} %, too much", (100.0 * r).ceil())),
        r if r > NEAR => format!("{:.0} %, close", 100.0 * r).into(),
        r => format!("{:.0} %", 100.0 * r).into(),
    }
}

/// One line for each place: what went into its figures.
fn grounds(checks: &[Check], units: Units) -> Vec<Phrase> {
    each_once(checks.iter().map(|check| {
        let told = say::grounds(&check.grounds, units);
        format!("{}: {told}.", check.id.place.words()).into()
    }))
}

fn formulas(checks: &[Check], units: Units) -> Vec<Phrase> {
    let line =
        |q: LoadQuestion| format!("{}: {}. Source: {}.", q.word(), q.formula(units), q.source());
    each_once(checks.iter().map(|check| line(check.id.question).into()))
}

fn counted(assessment: &Assessment, units: Units) -> Vec<Phrase> {
    let live = assessment.live;
    let usual = [
        format!("Tool weights are multiplied by {live} for knocks and pulls (live_load)."),
        "The load is lasting: strengths of wood and screws are multiplied by 0.9 (NDS-2018 table 2.3.2)."
            .to_owned(),
        "Glue and friction on the bevel are not counted."
            .to_owned(),
        "Wood is taken to be dry, sound and clear of knots where the load is highest.".to_owned(),
    ];
    let failed = assessment.failed.iter();
    let failed = failed.map(|failed| format!("Not worked out: {}.", say::failure(failed)));
    let remarks = assessment.remarks.iter().map(|remark| say::remark(remark, units));
    let told = usual.into_iter().chain(failed).chain(remarks);
    told.map(Phrase::from).collect()
}

fn each_once(phrases: impl Iterator<Item = Phrase>) -> Vec<Phrase> {
    let mut told: Vec<Phrase> = Vec::new();
    for phrase in phrases {
        if !told.contains(&phrase) {
            told.push(phrase);
        }
    }
    told
}
