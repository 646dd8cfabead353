//! `steps.md`: how a holder is made, with what its checks say and the cautions.

use super::finding::finding;
use super::tree::{Block, Document, Inline, Phrase, PictureFile, phrase, strong};
use super::words;
use crate::holder::{Hardware, Holder, Part, Step, caution};
use crate::length::Amount;
use crate::work_out::ShopServed;

/// Name of the picture of the whole holder, beside `steps.md`.
pub(crate) const WHOLE: &str = "holder.svg";

/// Name of the picture with a holder's front, end and top.
pub(crate) const VIEWS: &str = "views.svg";

/// Name of the picture of a step, counted from 1.
pub(crate) fn step_file(number: usize) -> String {
    format!("step-{number}.svg")
}

/// The steps of making `holder`, which was worked out for the shop that `served`; `shown` tells of which steps, counted
/// from 1, there are pictures.
pub(crate) fn steps(
    holder: &Holder,
    served: ShopServed,
    shown: impl Fn(usize) -> bool,
) -> Document {
    let findings = holder.findings.iter().map(finding).collect();
    let pieces = holder.parts.iter().map(piece).collect();
    let hardware = holder.hardware.iter().map(bought).collect();
    let steps = making(holder, |number| shown(number).then(|| step_picture(holder, number)));
    let chapters = [
        Block::chapter("Findings", Block::List(findings)),
        Block::chapter("Pieces", Block::List(pieces)),
        Block::chapter("Hardware", Block::List(hardware)),
        Block::chapter("Steps", Block::Numbered(steps)),
        Block::chapter("Cautions", Block::cautions(caution::for_making(holder))),
    ];
    let picture =
        (!holder.parts.is_empty()).then(|| Block::Paragraph(phrase![whole_picture(holder)]));
    let blocks = [Block::Paragraph(whole(holder)), Block::Paragraph(shop(served).into())];
    let blocks = blocks.into_iter().chain(picture);
    Document {
        title: holder.title.clone(),
        units: holder.units,
        blocks: blocks.chain(chapters.into_iter().flatten()).collect(),
    }
}

/// What is done step by step, each with what it adds `shown`; steps are counted from 1.
pub(super) fn making(holder: &Holder, shown: impl Fn(usize) -> Option<PictureFile>) -> Vec<Phrase> {
    let steps = (1..).zip(&holder.steps);
    let step = |(number, step): (usize, &Step)| {
        let picture = shown(number).map(Inline::from);
        Phrase(std::iter::once(step.text.as_str().into()).chain(picture).collect())
    };
    steps.map(step).collect()
}

pub(super) fn whole_picture(holder: &Holder) -> PictureFile {
    let alt = format!("{}: assembled and taken apart", holder.title);
    PictureFile { file: WHOLE.to_owned(), alt }
}

/// What a step adds, shown.
pub(super) fn step_picture(holder: &Holder, number: usize) -> PictureFile {
    let added = holder.steps.get(number - 1).map_or(&[][..], |step| &step.adds);
    let names: Vec<&str> = added.iter().map(|part| holder.parts[*part].name.as_str()).collect();
    let alt = format!("Step {number}: {} added", names.join(", "));
    PictureFile { file: step_file(number), alt }
}

/// For which shop it was worked out.
pub(super) fn shop(served: ShopServed) -> &'static str {
    match served {
        ShopServed::File => "Worked out for the shop in shop.toml.",
        ShopServed::BuiltIn => {
            "Worked out for the built-in shop, since there is no shop.toml: compare its stock, bits and \
             screws with your own before you saw."
        }
    }
}

/// How large the whole is, and how heavy.
pub(super) fn whole(holder: &Holder) -> Phrase {
    let [width, height, projection] = holder.size.map(Amount::Length);
    let mass = Amount::Mass(holder.mass);
    phrase![
        width,
        " wide, ",
        height,
        " high, sticks out ",
        projection,
        " from the wall; the wood weighs about ",
        mass,
        "."
    ]
}

fn piece(part: &Part) -> Phrase {
    let [length, width] = [part.length(), part.width()].map(Amount::Length);
    phrase![
        format!("{} × ", part.quantity()),
        strong(&part.name),
        ", ",
        length,
        " × ",
        width,
        format!(", from {}: {}", part.stock.name, part.about)
    ]
}

fn bought(hardware: &Hardware) -> Phrase {
    let Hardware { quantity, used_for, .. } = hardware;
    let sort = words::item(hardware).join(" ");
    format!("{quantity} × {}: {used_for}", sort.trim_end()).into()
}
