//! Documents as plain lines, for paper: figures written, nothing marked up.

use crate::document::{Block, Document, Inline, Listing, Phrase};
use crate::drawing::TextLine;
use crate::length::Units;

/// The document's lines, its title first.
pub(crate) fn lines(document: &Document) -> Vec<TextLine> {
    let mut lines = vec![TextLine::Title(document.title.clone())];
    lines.extend(document.blocks.iter().flat_map(|block| of_block(block, document.units)));
    lines
}

fn of_block(block: &Block, units: Units) -> Vec<TextLine> {
    let item = |(mark, phrase): (String, &Phrase)| TextLine::Item(mark, words(phrase, units));
    match block {
        Block::Paragraph(phrase) => vec![TextLine::Plain(words(phrase, units))],
        Block::List(lines) | Block::Cautions(lines) | Block::Contents(lines) => {
            lines.iter().map(|line| item(("–".to_owned(), line))).collect()
        }
        Block::Numbered(lines) => {
            let numbered = lines.iter().enumerate();
            numbered.map(|(i, line)| item((format!("{}.", i + 1), line))).collect()
        }
        Block::Table(listing) => rows(listing, units),
        Block::Chapter(chapter) => {
            let head = TextLine::Heading(words(&chapter.heading, units));
            let blocks = chapter.blocks.iter().flat_map(|block| of_block(block, units));
            std::iter::once(head).chain(blocks).collect()
        }
        Block::Part(part) => lines(part),
        Block::Pictures(_) => Vec::new(),
    }
}

/// A row is a line: its first cell the mark, the others with the names of their columns where these say what a bare
/// figure is.
fn rows(listing: &Listing, units: Units) -> Vec<TextLine> {
    let row = |cells: &Vec<Phrase>| {
        let told = listing.head.iter().zip(cells).skip(1).map(|(head, cell)| {
            let cell = words(cell, units);
            let bare = cell.chars().all(|c| c.is_ascii_digit() || c == '.');
            if bare { format!("{head} {cell}") } else { cell }
        });
        let mark = cells.first().map_or_else(String::new, |cell| words(cell, units));
        TextLine::Item(mark, told.collect::<Vec<_>>().join(" · "))
    };
    listing.rows.iter().map(row).collect()
}

/// A phrase in one line.
pub(crate) fn words(phrase: &Phrase, units: Units) -> String {
    let part = |inline: &Inline| match inline {
        Inline::Text(text) | Inline::Strong(text) => text.clone(),
        Inline::Figure(amount) => units.amount(*amount),
        Inline::Link { words, .. } => words.clone(),
        Inline::Tick => "☐".to_owned(),
        Inline::Picture(_) | Inline::PageOf(_) => String::new(),
    };
    phrase.0.iter().map(part).collect()
}
