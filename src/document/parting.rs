//! The cuts that part the router's sheets, in words.

use super::tree::{Block, Chapter, Listing, Phrase, phrase, strong};
use crate::cutting::{CutWay, CuttingPlan, PartedFrom, PartedHalf, PartedInto, Parting};
use crate::length::Amount;
use crate::router::FOLDER as ROUTER;
use crate::tolerance::COORDINATE;

/// The cuts for the bed, then those once the router is done; none where there are none.
pub(super) fn partings(plan: &CuttingPlan) -> Vec<Block> {
    let chapter = |before: bool, heading: &str, how: &str| {
        let own: Vec<&Parting> = plan.partings.iter().filter(|cut| cut.before == before).collect();
        let rows = own.iter().map(|cut| row(plan, cut)).collect();
        let table = Listing { head: vec!["cut", "saw", "cut piece", "remainder"], rows };
        let blocks = vec![Block::Paragraph(how.into()), Block::Table(table)];
        (!own.is_empty()).then(|| Block::Chapter(Chapter { heading: heading.into(), blocks }))
    };
    let bed = chapter(
        true,
        "Panels for the CNC router's bed",
        "Before the CNC router: hand-held saw along a straightedge. Measure from the left end or the \
         lower edge of what is in hand.",
    );
    let left = chapter(
        false,
        "What the CNC router leaves",
        "Once the CNC router is done and its parts are out: hand-held saw along a straightedge. \
         Measure from the left end or the lower edge, as in the drawing of the CNC router's sheet; \
         the bit has been nowhere in the way of these cuts.",
    );
    bed.into_iter().chain(left).collect()
}

fn row(plan: &CuttingPlan, cut: &Parting) -> Vec<Phrase> {
    let how = match cut.way {
        CutWay::Across => ", crosscut at ",
        CutWay::Along => ", rip at ",
    };
    let from = name(plan, &cut.from);
    let sawn = phrase![from, ", ", Amount::Sides(cut.size), how, Amount::Length(cut.at)];
    let [first, rest] = &cut.halves;
    let panel = name(plan, &PartedFrom::Cut(cut.number));
    let stays = name(plan, &cut.from);
    vec![cut.number.to_string().into(), sawn, half(first, &panel), half(rest, &stays)]
}

/// A sheet by its own name, what a cut took off by the cut.
fn name(plan: &CuttingPlan, from: &PartedFrom) -> String {
    match from {
        PartedFrom::Sheet(name) => name.clone(),
        PartedFrom::Cut(number) => {
            let cut = plan.partings.iter().find(|cut| cut.number == *number);
            let across = cut.is_some_and(|cut| cut.way == CutWay::Across);
            format!("{} {number}", if across { "panel" } else { "strip" })
        }
    }
}

/// What one side becomes; `name` is what it is called while it is sawn further.
fn half(half: &PartedHalf, name: &str) -> Phrase {
    if half.size.iter().any(|side| *side <= COORDINATE) {
        return "none".into();
    }
    let size = Amount::Sides(half.size);
    match &half.becomes {
        PartedInto::Panel => phrase![name.to_owned(), ", ", size],
        PartedInto::Bed(file) => phrase![format!("panel for {ROUTER}/{file}, "), size],
        PartedInto::Left(name) => phrase![strong(name), ", ", size],
        PartedInto::Waste => phrase!["waste ", size],
    }
}
