//! How what is printed at full size is used at the bench: patterns, marking strips, and drilling by them.

use super::super::tree::{Block, Document, Phrase, phrase, strong};
use crate::holder::{Likeness, Part, caution};
use crate::shop::Paper;
use crate::work_out::Worked;

/// The part of the book about marking; nothing where nothing is made.
pub(super) fn marking(worked: &Worked, paper: Paper) -> Option<Document> {
    let made = worked.holders.iter().any(|worked| !worked.holder.built);
    let name = paper.name();
    let pages = phrase![
        format!("Each holder has its pages in its folder: pages-{name}.pdf. "),
        strong("Print them at 100 %"),
        ", and lay a rule on the bars of the first one before you trust it."
    ];
    let chapters = [
        Block::chapter("Patterns, of shaped parts", Block::Numbered(told(&PATTERN))),
        Block::chapter("Marking strips, of plain parts", Block::Numbered(told(&STRIP))),
        Block::chapter_of(
            "Drilling",
            vec![Block::cautions(caution::for_drilling()), Block::List(told(&DRILLING))],
        ),
    ];
    let blocks = std::iter::once(Block::Paragraph(pages)).chain(chapters.into_iter().flatten());
    made.then(|| Document {
        title: "Marking and drilling".to_owned(),
        units: worked.shop.units,
        blocks: blocks.collect(),
    })
}

fn told(lines: &[&'static str]) -> Vec<Phrase> {
    lines.iter().map(|line| Phrase::from(*line)).collect()
}

const PATTERN: [&str; 4] = [
    "Where a pattern takes several pages, cut one along the seam, lay it on the next so that the half diamonds meet, and tape it.",
    "Tape or glue the pattern to the blank with the grain along its arrow, or trace it. What is drawn is the show face.",
    "Saw to the wide line. Prick every cross through with an awl before you take the paper off: each small letter is told in the table beside the pattern.",
    "A part that is called mirrored is pricked through the same paper and worked from its other side.",
];

const STRIP: [&str; 5] = [
    "Cut the strip along its wide line, and lay that line on the edge it names, 0 at the end it names.",
    "Where a part has several lines of holes, lay the short strip at that end first, bottom edge to top edge, and scribe the numbered lines along the whole part with a marking gauge.",
    "Square each tick across to the line that its letter names: a2 is a hole a on line 2, a1–3 are holes a on lines 1 to 3. Each letter is told above the strip.",
    "The pieces of a long strip are taped where their diamonds meet, or laid one by one: each says where on the tape it begins. A piece on which nothing is marked is not printed.",
    "What is on the other face: square its marks over the edge, and measure its lines there from the same edge.",
];

const DRILLING: [&str; 3] = [
    "Bore what is alike with one bit, then change it. Clearance holes go right through, pilots are as deep as told: put tape on the bit.",
    "Countersink to the diameter of the head, on the face that is told.",
    "A pilot in an edge is bored through the clearance hole of the part that is screwed to it, once both are clamped together.",
];

/// By what a part is marked: its own pattern or strip, or that of a part before it, or nothing.
pub(super) fn by_what(part: &Part, before: &[Part]) -> String {
    let like = before.iter().find_map(|other| Some((part.likeness(other)?, other)));
    match like {
        Some((Likeness::Same, other)) => format!("as {}", other.name),
        Some((Likeness::Mirrored, other)) => format!("as {}, mirrored", other.name),
        None if !part.is_plain() => "pattern".to_owned(),
        None if part.drillings.is_empty() && part.marks.is_empty() => "size alone".to_owned(),
        None => "strip".to_owned(),
    }
}
