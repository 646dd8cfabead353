//! Markdown read back by a reader of CommonMark that had no part in writing it: the same headings,
//! lists, tables and words come out, whatever letters are in them.

use proptest::prelude::*;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

use crate::document::{Block, Document, Inline, Listing, Phrase};
use crate::export::md;
use crate::length::{Amount, Units};

/// What a reader finds: a line for each heading, paragraph, list entry and cell, strong words in
/// brackets.
fn read(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut line = String::new();
    let mut kind = String::new();
    for event in Parser::new_ext(text, Options::ENABLE_TABLES | Options::ENABLE_STRIKETHROUGH) {
        match event {
            Event::Start(Tag::Heading { level, .. }) => kind = level.to_string(),
            Event::Start(Tag::List(first)) => {
                kind = first.map_or("bullet".to_owned(), |first| format!("from {first}"));
            }
            Event::Start(Tag::TableCell) => kind = "cell".to_owned(),
            Event::Start(Tag::Paragraph) => kind = "words".to_owned(),
            Event::Start(Tag::Strong) => line.push('⟨'),
            Event::End(TagEnd::Strong) => line.push('⟩'),
            Event::End(
                TagEnd::Heading(_) | TagEnd::Item | TagEnd::TableCell | TagEnd::Paragraph,
            ) => found.push(format!("{kind}: {}", std::mem::take(&mut line))),
            Event::Text(words) => line.push_str(&words),
            Event::Start(Tag::Item | Tag::Table(_) | Tag::TableHead | Tag::TableRow)
            | Event::End(_) => {}
            other => found.push(format!("unasked: {other:?}")),
        }
    }
    found
}

fn document(blocks: Vec<Block>) -> Document {
    Document { title: "A #3 & more #".to_owned(), units: Units::Inches, blocks }
}

#[test]
fn what_is_read_is_what_was_told() {
    let bar = Phrase(vec![
        Inline::Strong("B_1".to_owned()),
        Inline::Text(" a|b ".to_owned()),
        Inline::Figure(Amount::Sides([25.4, 12.7])),
    ]);
    let table = Listing { head: vec!["cut", "a|b"], rows: vec![vec!["1".into(), bar.clone()]] };
    let blocks = [
        Some(Block::Paragraph(Phrase(vec![Inline::Figure(Amount::Length(-25.4)), " off".into()]))),
        Block::chapter(
            "1. First",
            Block::List(vec![bar, "- no list".into(), "2. nor this".into()]),
        ),
        Block::chapter("Empty", Block::Cautions(Vec::new())),
        Block::chapter("Then", Block::Numbered(vec!["# one".into(), "> two".into()])),
        Block::chapter("Last", Block::Table(table)),
    ];
    let text = md::write(&document(blocks.into_iter().flatten().collect()));
    let wanted = [
        "h1: A #3 & more #",
        "words: -1 in off",
        "h2: 1. First",
        "bullet: ⟨B_1⟩ a|b 1 × 1/2",
        "bullet: - no list",
        "bullet: 2. nor this",
        "h2: Then",
        "from 1: # one",
        "from 1: > two",
        "h2: Last",
        "cell: cut",
        "cell: a|b",
        "cell: 1",
        "cell: ⟨B_1⟩ a|b 1 × 1/2",
    ];
    assert_eq!(read(&text), wanted, "{text}");
}

/// Words of all letters that mean something in Markdown or HTML somewhere.
fn words() -> impl Strategy<Value = String> {
    let letters = r"[a1.)(#*_`~|<>&!:;+=/\\\[\]-]{1,6}";
    prop::collection::vec(letters, 1..6).prop_map(|words| words.join(" "))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_letter_is_taken_for_markup(words in words(), more in words()) {
        let plain = Phrase::from(words.as_str());
        let strong = Phrase(vec![Inline::Strong(more.clone()), format!(" {words}").into()]);
        let row = vec![plain.clone(), strong.clone()];
        let blocks = vec![
            Block::Paragraph(plain.clone()),
            Block::Paragraph(strong.clone()),
            Block::List(vec![plain.clone(), strong.clone()]),
            Block::Numbered(vec![plain]),
            Block::Table(Listing { head: vec!["a", "b"], rows: vec![row] }),
        ];
        let text = md::write(&document(blocks));
        let both = format!("⟨{more}⟩ {words}");
        let wanted = [
            "h1: A #3 & more #".to_owned(),
            format!("words: {words}"),
            format!("words: {both}"),
            format!("bullet: {words}"),
            format!("bullet: {both}"),
            format!("from 1: {words}"),
            "cell: a".to_owned(),
            "cell: b".to_owned(),
            format!("cell: {words}"),
            format!("cell: {both}"),
        ];
        prop_assert_eq!(read(&text), wanted, "{}", text);
    }
}
