//! The shop book: all it takes to buy, saw, build and hang what a project holds, for a reader without the program.

mod boring;
mod hanging;
mod marking;
mod of_holder;
mod sawing;
mod shopping;

use std::collections::BTreeMap;

use super::finding::finding;
use super::steps::shop;
use super::tree::{
    Block, Document, Inline, PartNumber, Phrase, PictureFile, PictureSize, Shown, many, phrase,
};
use crate::drawing::Drawing;
use crate::holder::Finding;
use crate::shop::Paper;
use crate::work_out::{About, Worked, WorkedHolder};
use of_holder::HolderPart;

/// What the book shows, by the names that its pictures have in it.
pub(crate) type Pictures = BTreeMap<String, Drawing>;

/// Name of the picture that tells a holder from others, within its folder.
pub(crate) const SMALL: &str = "small";

/// What a picture is called in the book: by the folder that it belongs to, and its file there.
pub(crate) fn picture_name(folder: &str, file: &str) -> String {
    format!("{folder}/{file}")
}

/// The book of a project for `paper`, with those of its pictures that there are.
pub(crate) fn book(worked: &Worked, paper: Paper, pictures: &Pictures) -> Document {
    let lists = [
        shopping::shopping(worked),
        sawing::routing(worked, pictures),
        sawing::sawing(worked, pictures),
        marking::marking(worked, paper),
    ];
    let lists: Vec<Document> = lists.into_iter().flatten().collect();
    let first = lists.len();
    let (plan, shop_units) = (&worked.plans.cutting, worked.shop.units);
    let holders = worked.holders.iter();
    let holders =
        holders.map(|worked| HolderPart { worked, plan, shop_units, paper, pictures }.told());
    let hanging = hanging::hanging(worked, first, pictures);
    let parts: Vec<Document> = lists.into_iter().chain(holders).chain([hanging]).collect();
    let mut blocks = cover(worked, paper);
    blocks.push(Block::Contents(contents(&parts, first..first + worked.holders.len())));
    blocks.extend(gallery(worked, pictures, first));
    blocks.extend(Block::chapter("The shop file", Block::List(told_of(worked, About::Shop))));
    blocks.extend(Block::chapter("The tools", Block::List(told_of(worked, About::Inventory))));
    blocks.extend(parts.into_iter().map(Block::Part));
    Document { title: "Shop book".to_owned(), units: worked.shop.units, blocks }
}

/// What the book is for, what it was worked out for, and how it is printed.
fn cover(worked: &Worked, paper: Paper) -> Vec<Block> {
    let count = many(worked.holders.len(), "holder");
    let purpose = format!(
        "This book lies on the bench. It has what it takes to build {count} for a wall of French cleats: what to \
         buy, how it is sawn, each holder step by step, and how all of it is hung. Tick off what is bought, sawn and done."
    );
    let name = paper.name();
    let called = if name.len() == 2 { name.to_uppercase() } else { name.to_owned() };
    let print = format!(
        "{} Set for {called} paper; it may be printed at any scale. Print patterns and marking strips, pages-{name}.pdf in \
         each holder's folder, at 100 %.",
        shop(worked.shop_served)
    );
    let letters = format!(
        "Lengths are in {} where nothing else is said, along the grain first. Each piece of wood has its own letter: the \
         same in the cutting plan, in the pictures and on its pattern.",
        worked.shop.units.word()
    );
    [purpose, letters, print].map(|told| Block::Paragraph(told.into())).into()
}

/// What leads to the parts that are no holders.
fn contents(parts: &[Document], holders: std::ops::Range<usize>) -> Vec<Phrase> {
    let others = parts.iter().enumerate().filter(|(at, _)| !holders.contains(at));
    others.map(|(at, part)| lead(PartNumber(at), &part.title)).collect()
}

/// What leads to a part.
fn lead(to: PartNumber, words: &str) -> Phrase {
    phrase![Inline::Link { to, words: words.to_owned() }, " ", Inline::PageOf(to)]
}

/// The holders as small pictures, those without wood by their titles alone; the first is part number `first`.
fn gallery(worked: &Worked, pictures: &Pictures, first: usize) -> Vec<Block> {
    let holders = (first..).map(PartNumber).zip(&worked.holders);
    let small = |to, worked: &WorkedHolder| {
        let holder = &worked.holder;
        let file = picture_name(&holder.name, SMALL);
        let caption = lead(to, &holder.title);
        match pictures.contains_key(&file) {
            true => {
                let picture = PictureFile { file, alt: format!("{}, assembled", holder.title) };
                Ok(Shown { picture, size: PictureSize::Small, caption })
            }
            false => Err(caption),
        }
    };
    let (mut shown, mut bare) = (Vec::new(), Vec::new());
    for told in holders.map(|(to, worked)| small(to, worked)) {
        match told {
            Ok(picture) => shown.push(picture),
            Err(title) => bare.push(title),
        }
    }
    let blocks = vec![Block::Pictures(shown), Block::Contents(bare)];
    Block::chapter_of("The holders", blocks).into_iter().collect()
}

/// What the checks found about something.
fn told_of(worked: &Worked, about: About<'_>) -> Vec<Phrase> {
    let own = worked.findings().filter(|(of, _)| *of == about);
    let own = own.flat_map(|(_, findings)| findings);
    own.map(|own: &Finding| finding(own)).collect()
}
