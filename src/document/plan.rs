//! `plan.md`: the order of work at the saw.

use super::finding::finding;
use super::parting;
use super::saw::sheet_name;
use super::saw::{CutRow, Saw};
use super::tree::{Block, Chapter, Document, Inline, Listing, Phrase, Shown, many, phrase, strong};
use crate::cutting::{
    CuttingPlan, KeptFrom, KeptOffcut, SawnSheet, Setup, SetupCount, StockUse, Verdict, millimeters,
};
use crate::holder::caution;
use crate::length::{Amount, Units};
use crate::router::{FOLDER as ROUTER, RouterPlan};

/// The order of work, figures in `units`; `router` for what is not sawn here.
pub(crate) fn plan(plan: &CuttingPlan, router: &RouterPlan, units: Units) -> Document {
    let PlanTold { mut head, notes, work, left, cautions } = PlanTold::of(plan, router, units);
    head.extend([notes, work, left, cautions].into_iter().flatten());
    Document { title: TITLE.to_owned(), units, blocks: head }
}

/// The same for the book: cautions first, and its drawings, `sheets`, before the work.
pub(super) fn with_sheets(
    plan: &CuttingPlan,
    router: &RouterPlan,
    units: Units,
    sheets: Vec<Shown>,
) -> Document {
    let PlanTold { head, notes, left, cautions, .. } = PlanTold::of(plan, router, units);
    let work = in_lines(plan);
    let sheets = Block::chapter("What is sawn of what", Block::Pictures(sheets));
    let behind = [notes, sheets, work, left].into_iter().flatten();
    let blocks = cautions.into_iter().chain(head).chain(behind).collect();
    Document { title: TITLE.to_owned(), units, blocks }
}

const TITLE: &str = "Cutting plan";

/// What is told of a plan, piece by piece.
struct PlanTold {
    head: Vec<Block>,
    notes: Option<Block>,
    work: Option<Block>,
    left: Option<Block>,
    cautions: Option<Block>,
}

impl PlanTold {
    fn of(plan: &CuttingPlan, router: &RouterPlan, units: Units) -> Self {
        let nothing = plan.setups.is_empty() && plan.sheets.is_empty() && plan.partings.is_empty();
        let left = plan.left.iter().map(|left| kept(plan, left)).collect();
        Self {
            head: match nothing {
                true => vec![Block::Paragraph("There is nothing to saw.".into())],
                false => head(plan, units),
            },
            notes: Block::chapter("Before you start", Block::List(notes(plan, router))),
            work: work(plan),
            left: Block::chapter("Offcuts to keep", Block::List(left)),
            cautions: Block::chapter("Cautions", Block::cautions(caution::for_sawing())),
        }
    }
}

/// What is sawn, how good that is, how often the saw is set.
fn head(plan: &CuttingPlan, units: Units) -> Vec<Block> {
    let stocks = plan.verdicts.iter().map(|stock| {
        let routed =
            plan.uses.iter().find(|uses| uses.stock == stock.stock && uses.kind == stock.kind);
        let routed = routed.map_or(0, |uses| uses.routed);
        let proved = verdict(stock);
        let proved = if routed > 0 { format!("At the saw {proved}") } else { sentence(&proved) };
        phrase![strong(&stock.stock), format!(": {}. {proved}.", used(stock, routed))]
    });
    let sawn = |uses: &&StockUse| {
        plan.verdicts.iter().any(|stock| stock.stock == uses.stock && stock.kind == uses.kind)
    };
    let routed = plan.uses.iter().filter(|uses| uses.routed > 0 && !sawn(uses)).map(|uses| {
        let used = many(uses.routed, uses.kind.word());
        phrase![strong(&uses.stock), format!(": {used} for the CNC router.")]
    });
    let how_often = format!("{}{}.", comparison(plan), steps(plan));
    vec![
        Block::List(stocks.chain(routed).collect()),
        Block::Paragraph(how_often.into()),
        Block::Paragraph(legend(units)),
    ]
}

/// What is used of a stock: "3 sheets, 1 of them for the CNC router, and 2 offcuts".
fn used(stock: &Verdict, routed: usize) -> String {
    let word = stock.kind.word();
    let new = match (routed, stock.used) {
        (0, used) => many(used, word),
        (routed, 0) => format!("{} for the CNC router", many(routed, word)),
        (routed, used) => {
            format!("{}, {routed} for the CNC router and {used} to saw", many(routed + used, word))
        }
    };
    let offcuts = (stock.offcuts > 0).then(|| many(stock.offcuts, "offcut"));
    let left = (stock.left > 0)
        .then(|| format!("{} that the CNC router leaves", many(stock.left, "remainder")));
    let all: Vec<String> = [Some(new), offcuts, left].into_iter().flatten().collect();
    all.join(if routed > 0 && stock.used > 0 { ", and " } else { " and " })
}

/// What the proof comes to, in words: "least possible: 2 sheets, proved".
fn verdict(verdict: &Verdict) -> String {
    let Verdict { used, least, proved, missing, .. } = *verdict;
    let word = verdict.kind.word();
    let (used_in_words, proved) = (many(used, word), proved || least == used);
    if missing > 0 {
        return format!("{used_in_words} at hand, not enough for {}", many(missing, "piece"));
    }
    match (used, proved) {
        (0, _) => "nothing new is needed".to_owned(),
        (_, true) => "the fewest possible, proved".to_owned(),
        (_, false) => format!("{} may be enough", least.max(1)),
    }
}

/// How often the saw is set, beside a plan that looks at waste alone.
fn comparison(plan: &CuttingPlan) -> String {
    let (ours, waste) = (plan.count, plan.plain);
    let told = format!("The plan takes {}", setups(ours));
    if waste.all() <= ours.all() {
        return told;
    }
    let less = 100.0 * (1.0 - ours.all() as f64 / waste.all() as f64);
    format!("{told}, {less:.0} % fewer than a plan for least waste alone ({})", waste.all())
}

fn setups(count: SetupCount) -> String {
    let SetupCount { rips, stops } = count;
    format!("{} ({} to rip, {} to crosscut)", many(count.all(), "setup"), rips, stops)
}

/// In how many steps the settings are told.
fn steps(plan: &CuttingPlan) -> String {
    let steps = plan.setups.len();
    if steps == plan.count.all() {
        return String::new();
    }
    format!(
        ", in {} below: for narrow strips the fence moves within a step, and a straightedge is \
         clamped on for each cut",
        many(steps, "step")
    )
}

/// How the tables are read.
fn legend(units: Units) -> Phrase {
    phrase![
        format!(
            "Sizes are in {}, along the grain first. Each piece has a letter, the same here, in the \
             drawings and in pieces.csv; ",
            units.word()
        ),
        strong("bold"),
        " is a finished piece or blank. What a cut takes off is named by the cut's number: cut 7 gives \
         strip 7. The remainder keeps its name. A blank larger than the size in the cut list is \
         left oversize for a shaped outline or to share a setup: saw it to its pattern."
    ]
}

fn notes(plan: &CuttingPlan, router: &RouterPlan) -> Vec<Phrase> {
    let routed = plan.pieces.iter().filter(|piece| piece.blank.is_none());
    let routed: Vec<&str> = routed.map(|piece| piece.letter.as_str()).collect();
    let findings = plan.findings.iter().map(finding);
    findings.chain((!routed.is_empty()).then(|| by_router(&routed, router))).collect()
}

fn by_router(letters: &[&str], router: &RouterPlan) -> Phrase {
    let sheets = router.sheets.iter().map(|s| format!("{ROUTER}/{}.svg", s.file));
    let sheets: Vec<String> = sheets.collect();
    let on = match sheets.as_slice() {
        [] => "the shop has no stock for them".to_owned(),
        _ => format!("see {}", sheets.join(", ")),
    };
    format!("Cut by the CNC router, not sawn here: {}; {on}.", letters.join(", ")).into()
}

/// Step by step; none where nothing is sawn.
fn work(plan: &CuttingPlan) -> Option<Block> {
    let saw = Saw { plan };
    let steps = plan.setups.iter().enumerate();
    let steps = steps.map(|(i, setting)| Block::Chapter(step(&saw, i + 1, setting)));
    let trims = [trim(plan), trim_routed(plan)].into_iter().flatten();
    let first = trims.map(Block::Paragraph).chain(parting::partings(plan));
    let blocks: Vec<Block> = first.chain(steps).collect();
    let chapter = Chapter { heading: "Order of work".into(), blocks };
    (!chapter.blocks.is_empty()).then_some(Block::Chapter(chapter))
}

/// The same, a line for each step with boxes to tick, for paper that is to be little.
fn in_lines(plan: &CuttingPlan) -> Option<Block> {
    let saw = Saw { plan };
    let steps = plan.setups.iter().map(|setting| line(&saw, setting)).collect();
    let trims = [trim(plan), trim_routed(plan)].into_iter().flatten();
    let first = trims.map(Block::Paragraph).chain(parting::partings(plan));
    Block::chapter_of("Order of work", first.chain([Block::Numbered(steps)]).collect())
}

/// How the saw is set, what to mind, and what each cut is of and gives.
fn line(saw: &Saw<'_>, setting: &Setup) -> Phrase {
    let how = saw.how(setting).map_or(".".to_owned(), |how| format!(". {how}"));
    let cuts = setting.cuts.iter().map(|cut| {
        let CutRow { number, sawn, gives, rest } = saw.row(cut);
        let told = phrase![" ", Inline::Tick, " ", strong(number.to_string()), ": "];
        told.then(sawn).then(" gives ".into()).then(gives).then("; left: ".into()).then(rest)
    });
    let cuts: Vec<Phrase> = cuts.collect();
    let between = |all: Phrase, cut: Phrase| all.then(cut).then(".".into());
    cuts.into_iter().fold(saw.heading(setting).then(how.into()), between)
}

/// Factory edges are taken off before anything is measured from them.
fn trim(plan: &CuttingPlan) -> Option<Phrase> {
    let trimmed: Vec<&SawnSheet> = plan.sheets.iter().filter(|s| s.edge_trim > 0).collect();
    let first = trimmed.first()?;
    let names: Vec<String> = trimmed.iter().map(|sheet| sheet_name(sheet)).collect();
    Some(phrase![
        "First of all, trim ",
        Amount::Length(millimeters(first.edge_trim)),
        format!(" off each of the four edges of {}: ", names.join(", ")),
        Amount::Sides(first.size.map(millimeters)),
        " is left of a sheet."
    ])
}

/// The same for the router's sheets, before they are sawn.
fn trim_routed(plan: &CuttingPlan) -> Option<Phrase> {
    let trim = plan.routed_trim.filter(|_| !plan.partings.is_empty())?;
    Some(phrase![
        "Trim ",
        Amount::Length(trim),
        " off each of the four edges of a new sheet that the CNC router takes, before it is sawn."
    ])
}

fn step(saw: &Saw<'_>, number: usize, setting: &Setup) -> Chapter {
    let how = saw.how(setting).map(|how| Block::Paragraph(how.into()));
    let heading = phrase![format!("{number}. ")].then(saw.heading(setting));
    let rows = setting.cuts.iter().map(|cut| told(saw.row(cut))).collect();
    let table = Block::Table(Listing { head: vec!["cut", "saw", "cut piece", "remainder"], rows });
    Chapter { heading, blocks: how.into_iter().chain([table]).collect() }
}

fn told(CutRow { number, sawn, gives, rest }: CutRow) -> Vec<Phrase> {
    vec![number.to_string().into(), sawn, gives, rest]
}

fn kept(plan: &CuttingPlan, left: &KeptOffcut) -> Phrase {
    let from = match &left.from {
        KeptFrom::Sheet(index) => index
            .of(&plan.sheets)
            .map_or(String::new(), |sheet| format!("of {}", sheet_name(sheet))),
        KeptFrom::Router(name) => name.clone(),
        KeptFrom::Uncut => "not cut".to_owned(),
    };
    let what = if left.beveled { "cleat strip, beveled, " } else { "" };
    let size = Amount::Sides([left.length, left.width]);
    phrase![format!("{what}{}, ", left.of), size, format!(", {from}")]
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}
