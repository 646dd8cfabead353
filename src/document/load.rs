//! `load.md`: what a holder carries, told as a careful friend would.

use super::tree::{Block, Document, Inline, Listing, Phrase, phrase, strong};
use crate::carry::{Assessment, Check, LoadQuestion, NEAR, hangs_over_a_stud, say};
use crate::holder::{Holder, caution};
use crate::length::{Amount, STANDARD_GRAVITY, Units};
use crate::shop::{Service, WoodKind};
use crate::strength::{kept_by_screws, kept_by_wood};

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
    let told = opening(assessment);
    let blocks = std::iter::once(headline(assessment, holder.units).into()).chain(told);
    let blocks = blocks.map(Block::Paragraph);
    Document {
        title: format!("Loads: {}", holder.title),
        units: holder.units,
        blocks: blocks.chain(chapters.into_iter().flatten()).collect(),
    }
}

/// What stands behind the headline, short of where figures come from.
pub(super) fn in_short(assessment: &Assessment) -> Vec<Block> {
    let opening = opening(assessment).into_iter().map(Block::Paragraph);
    opening.chain([Block::Table(table(&assessment.checks))]).collect()
}

/// What it takes and what hangs.
pub(super) fn headline(assessment: &Assessment, units: Units) -> String {
    match say::headline(assessment, units) {
        empty if empty.is_empty() => {
            "No tools hang on it directly; the load named in its file is counted.".to_owned()
        }
        headline => headline,
    }
}

/// What is nearest to its limit and the studs, then how far to trust it.
fn opening(assessment: &Assessment) -> Vec<Phrase> {
    let nearest =
        [limit(assessment), over_a_stud(assessment), studs(assessment), pulled_off(assessment)];
    let nearest = nearest.into_iter().flatten();
    let nearest = nearest.reduce(|all, next| all.then(phrase![" "]).then(next));
    let weighs = (assessment.tools > 0.0)
        .then(|| phrase!["Holder and tools together weigh ", Amount::Mass(assessment.whole), ". "]);
    let trust: Phrase =
        "Knocks are counted, glue is not. This is an estimate for a home shop, not a rating."
            .into();
    let last = weighs.into_iter().fold(phrase![], Phrase::then).then(trust);
    nearest.into_iter().chain([last]).collect()
}

fn limit(assessment: &Assessment) -> Option<Phrase> {
    let limit = assessment.highest()?;
    let share = match limit.ratio() {
        share if share.is_finite() => format!("at {} of its allowable", say::percent(share)),
        _ => "where nothing can be counted on".to_owned(),
    };
    let near = if limit.ratio() > 1.0 { "Past its limit" } else { "Nearest to its limit" };
    let (what, how) = (limit.id.place.words(), limit.id.question.word());
    let how = if what.contains(how) { String::new() } else { format!(", {how}") };
    Some(format!("{near}: {what}{how}, {share}.").into())
}

fn over_a_stud(assessment: &Assessment) -> Option<Phrase> {
    hangs_over_a_stud(&assessment.checks).then(|| {
        let held_by = if assessment.in_masonry { "plug" } else { "stud" };
        format!("Hang it with the marked middle of its cleat over a {held_by}: between two it bends the wall cleat too far.").into()
    })
}

fn pulled_off(assessment: &Assessment) -> Option<Phrase> {
    let pull = assessment.pulled_off?;
    Some(phrase![
        "Empty, a straight pull of ",
        Amount::Force(pull),
        " toward you slides it off a smooth cleat; a keeper strip (keeper_strip = \"yes\") holds it."
    ])
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
        let (can, share, still) = match check.is_rated() {
            true if check.can > 0.0 => (phrase![can], mark(check.ratio()), at_rest(check)),
            true => ("nothing".into(), mark(check.ratio()), at_rest(check)),
            false => ("not rated".into(), "as the plug's maker says".into(), "".into()),
        };
        vec![
            check.id.place.words().into(),
            check.id.question.word().into(),
            phrase![asked],
            can,
            phrase![share],
            still,
        ]
    });
    let head = vec!["where", "what", "load, knocks counted", "allowable", "share", "share at rest"];
    Listing { head, rows: rows.collect() }
}

/// The share of what hangs still, and with what else holds.
fn at_rest(check: &Check) -> Phrase {
    let share = |share: f64| match share.is_finite() {
        true => format!("{:.0} %", 100.0 * share),
        false => "too much".to_owned(),
    };
    let besides =
        check.besides.filter(|_| check.ratio() > 1.0).map_or_else(String::new, |besides| {
            format!("; with {} {}", say::held_by(besides.by), share(besides.still))
        });
    (share(check.still) + &besides).into()
}

/// A ratio, with a word where it wants one.
fn mark(ratio: f64) -> Inline {
    match ratio {
        r if !r.is_finite() => strong("too much"),
        r if r > 1.0 => strong(format!("{}, too much", say::percent(r))),
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
        "Glue is not counted, nor friction on the bevel beyond the least that was measured on wood (0.12).".to_owned(),
        "Wood is taken to be dry, sound and clear of knots where the load is highest.".to_owned(),
    ];
    let damp = (assessment.service == Service::Damp).then(damp);
    let failed = assessment.failed.iter();
    let failed = failed.map(|failed| format!("Not worked out: {}.", say::failure(failed)));
    let remarks = assessment.remarks.iter().map(|remark| say::remark(remark, units));
    let told = usual.into_iter().chain(damp).chain(failed).chain(remarks);
    told.map(Phrase::from).collect()
}

/// What a damp shop takes from strengths.
fn damp() -> String {
    let [sawn, panel] =
        [WoodKind::Softwood, WoodKind::Plywood].map(|k| kept_by_wood(k, Service::Damp));
    format!(
        "The shop is damp (damp in shop.toml): what screws bear is multiplied by {} (NDS-2018 table 11.3.3), sawn \
         wood by {} in bending, {} in shear, {} in crushing and {} in stiffness (NDS Supplement table 4A), panels by \
         {} and in stiffness by {} (NDS ch. 9).",
        kept_by_screws(Service::Damp),
        sawn.bending,
        sawn.shear,
        sawn.crushing,
        sawn.stiffness,
        panel.bending,
        panel.stiffness
    )
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
