//! The shop book: all that was worked out stands in it once, and what is set on paper keeps to its room.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::Rect;
use proptest::prelude::*;

use super::folder;
use crate::document::{
    Block, Document, Inline, Listing, PartNumber, Phrase, PictureFile, PictureSize, Pictures,
    Shown, book, picture_name,
};
use crate::drawing::{Anchor, Drawing, Item, Line, Path, Text, text_width};
use crate::holder::SETTLED;
use crate::length::{Amount, Units};
use crate::page::{Page, Printer, SetBook, set_book};
use crate::shop::Paper;

/// A picture of nothing, so large.
fn blank(width: f64, height: f64) -> Drawing {
    let corner = kurbo::Point::new(width - 1.0, height - 1.0);
    let path = Path::line(kurbo::Point::new(1.0, 1.0), corner);
    let items = vec![Item::Stroke { line: Line::Apart, path }];
    Drawing { title: String::new(), width, height, items }
}

/// The sample's book with a picture wherever there can be one.
fn sample() -> (Document, Pictures) {
    let worked = folder::sample();
    let mut pictures = Pictures::new();
    for worked in &worked.holders {
        let steps = (1..=worked.holder.steps.len()).map(crate::document::step_file);
        for file in steps.chain(["holder.svg", "views.svg", "small"].map(str::to_owned)) {
            pictures.insert(picture_name(&worked.holder.name, &file), blank(110.0, 80.0));
        }
    }
    (book(worked, Paper::Letter, &pictures), pictures)
}

fn words(phrase: &Phrase, units: Units) -> String {
    let part = |inline: &Inline| match inline {
        Inline::Text(text) | Inline::Strong(text) | Inline::Link { words: text, .. } => {
            text.clone()
        }
        Inline::Figure(amount) => units.amount(*amount),
        Inline::Picture(_) | Inline::Tick | Inline::PageOf(_) => String::new(),
    };
    phrase.0.iter().map(part).collect()
}

/// All phrases below some blocks, each after the headings that it stands under.
fn phrases(blocks: &[Block], units: Units) -> Vec<(String, &Phrase)> {
    fn walk<'b>(
        blocks: &'b [Block],
        under: &str,
        units: Units,
        found: &mut Vec<(String, &'b Phrase)>,
    ) {
        for block in blocks {
            let own: Vec<&Phrase> = match block {
                Block::Paragraph(phrase) => vec![phrase],
                Block::List(lines)
                | Block::Numbered(lines)
                | Block::Cautions(lines)
                | Block::Contents(lines) => lines.iter().collect(),
                Block::Table(listing) => listing.rows.iter().flatten().collect(),
                Block::Pictures(shown) => shown.iter().map(|shown| &shown.caption).collect(),
                Block::Chapter(chapter) => {
                    let under = format!("{under}/{}", words(&chapter.heading, units));
                    walk(&chapter.blocks, &under, units, found);
                    continue;
                }
                Block::Part(part) => {
                    walk(&part.blocks, &format!("{under}/{}", part.title), part.units, found);
                    continue;
                }
            };
            found.extend(own.into_iter().map(|phrase| (under.to_owned(), phrase)));
        }
    }
    let mut found = Vec::new();
    walk(blocks, "", units, &mut found);
    found
}

fn parts(book: &Document) -> Vec<&Document> {
    let parts = book.blocks.iter().filter_map(|block| match block {
        Block::Part(part) => Some(part),
        _ => None,
    });
    parts.collect()
}

#[test]
fn every_holder_with_its_steps_and_every_finding_stands_in_it_once() {
    let (book, _) = sample();
    let worked = folder::sample();
    let told: Vec<String> = phrases(&book.blocks, book.units)
        .into_iter()
        .map(|(under, phrase)| format!("{under}: {}", words(phrase, book.units)))
        .collect();
    for worked in &worked.holders {
        let holder = &worked.holder;
        let own: Vec<_> = parts(&book).into_iter().filter(|p| p.title == holder.title).collect();
        assert_eq!(own.len(), 1, "{}", holder.title);
        let steps = phrases(&own[0].blocks, own[0].units);
        let steps: Vec<_> = steps.iter().filter(|(under, _)| under == "/Steps").collect();
        for step in &holder.steps {
            let found = steps
                .iter()
                .filter(|(_, phrase)| words(phrase, holder.units).ends_with(&step.text));
            assert!(found.count() == 1, "{}: {}", holder.title, step.text);
        }
    }
    for (_, findings) in worked.findings() {
        // What was settled is told where files are written, not at the bench.
        for finding in findings.iter().filter(|finding| finding.code != SETTLED) {
            let found: Vec<_> =
                told.iter().filter(|line| line.ends_with(&finding.message)).collect();
            // Two holders of one title, or one finding of two, would be no fault of the book.
            let alike = worked
                .findings()
                .flat_map(|(_, all)| all)
                .filter(|other| other.message == finding.message);
            assert_eq!(found.len(), alike.count(), "{}: {found:?}", finding.message);
        }
    }
}

#[test]
fn every_letter_of_the_cutting_plan_stands_with_its_holder_once() {
    let (book, _) = sample();
    let mut wanted: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for piece in &folder::sample().plans.cutting.pieces {
        let title = piece.part.holder().title.as_str();
        assert!(wanted.entry(title).or_default().insert(&piece.letter));
    }
    for part in parts(&book) {
        let Some(wanted) = wanted.remove(part.title.as_str()) else { continue };
        let told = phrases(&part.blocks, part.units);
        let pieces = told.iter().filter(|(under, _)| under == "/Pieces");
        let letters = pieces.filter_map(|(_, phrase)| match phrase.0.as_slice() {
            [Inline::Strong(letters)] => Some(letters.split(", ").map(str::to_owned)),
            _ => None,
        });
        let mut letters: Vec<String> = letters.flatten().collect();
        letters.sort();
        let mut wanted: Vec<String> = wanted.into_iter().map(str::to_owned).collect();
        wanted.sort();
        assert_eq!(letters, wanted, "{}", part.title);
    }
    assert!(wanted.is_empty(), "{wanted:?}");
}

/// Counted anew from the parts.
#[test]
fn the_holes_by_bit_are_all_there_are() {
    let (book, _) = sample();
    for worked in &folder::sample().holders {
        let holder = &worked.holder;
        let part = parts(&book).into_iter().find(|p| p.title == holder.title).unwrap();
        let drilling = part.blocks.iter().find_map(|block| match block {
            Block::Chapter(chapter) if chapter.heading == "Drilling by bit".into() => {
                Some(&chapter.blocks)
            }
            _ => None,
        });
        let rows = drilling.into_iter().flatten().filter_map(|block| match block {
            Block::Table(listing) => Some(&listing.rows),
            _ => None,
        });
        let counts = rows.flatten().map(|row| {
            let told = words(&row[4], holder.units);
            let figures: Vec<usize> =
                told.split(' ').filter_map(|word| word.parse().ok()).collect();
            figures.into_iter().product::<usize>()
        });
        let holes = holder.parts.iter().map(|part| part.drillings.len() * part.quantity());
        assert_eq!(counts.sum::<usize>(), holes.sum::<usize>(), "{}", holder.title);
    }
}

#[test]
fn screws_are_counted_in_boxes_of_the_shop() {
    let shop = |drawer: &str| {
        let text = format!("units = \"in\"\n{drawer}");
        crate::shop::read_shop(&crate::reading::Source::new("shop.toml", text.as_str()))
    };
    assert_eq!(shop("").unwrap().screws_in_box, 100);
    let fifty = shop("[drawer]\nscrews_in_box = 50\n").unwrap();
    assert_eq!((fifty.screws_in_box, fifty.screws.len()), (50, 0));
    assert!(shop("[drawer]\nscrews_in_box = 0\n").is_err());
    let holders: Vec<_> = folder::sample().holders.iter().map(|worked| &*worked.holder).collect();
    for total in crate::document::totals(&holders) {
        let Some(boxes) = total.boxes(50) else { continue };
        let (count, size) = boxes.split_once(" × ").unwrap();
        let count: usize = count.parse().unwrap();
        assert!(size == "50" && count * 50 >= total.quantity && (count - 1) * 50 < total.quantity);
    }
}

/// What leads to a part leads to the one of that title.
#[test]
fn links_lead_to_what_they_are_called() {
    let (book, _) = sample();
    let parts = parts(&book);
    let mut count = 0;
    for (_, phrase) in phrases(&book.blocks, book.units) {
        for inline in &phrase.0 {
            if let Inline::Link { to, words } = inline {
                assert_eq!(&parts[to.0].title, words);
                count += 1;
            }
        }
    }
    assert!(count >= parts.len(), "every part is led to");
}

/// The level of each heading in a text of HTML.
fn levels(text: &str) -> Vec<u32> {
    let heads = text.split("<h").skip(1).filter_map(|rest| {
        let (level, rest) = rest.split_at(1);
        rest.starts_with('>').then(|| level.parse().ok()).flatten()
    });
    heads.collect()
}

#[test]
fn the_sample_on_a_screen_has_headings_in_order_and_tells_its_pictures() {
    let text = String::from_utf8(folder::made()["book.html"].clone()).unwrap();
    let levels = levels(&text);
    assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1);
    assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{levels:?}");
    let pictures = text.matches("<svg").count();
    assert!(pictures > 100 && text.matches("<svg role=\"img\" aria-label=\"").count() == pictures);
    assert!(!text.contains("aria-label=\"\"") && !text.contains("<script"));
}

/// Where a text stands, from the foot of its letters to their top.
fn room(text: &Text) -> Rect {
    let wide = text_width(&text.text, text.size, text.bold);
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -wide / 2.0,
        Anchor::End => -wide,
    };
    let line = Rect::new(start, -0.22 * text.size, start + wide, 0.74 * text.size);
    let map =
        kurbo::Affine::translate(text.at.to_vec2()) * kurbo::Affine::rotate(text.turn.to_radians());
    map.transform_rect_bbox(line)
}

fn texts(page: &Page) -> Vec<(&Text, Rect)> {
    let texts = page.furniture.iter().filter_map(|item| match item {
        Item::Text(text) => Some((text, room(text))),
        _ => None,
    });
    texts.collect()
}

/// Nothing meets anything else, all of it within reach; no heading without what it heads.
fn keeps_to_its_room(set: &SetBook) {
    for (number, page) in set.pages.iter().enumerate() {
        let texts = texts(page);
        let reach = page.printable.inflate(0.01, 1.0);
        for (i, (text, room)) in texts.iter().enumerate() {
            assert!(reach.contains_rect(*room), "page {}: {:?} at {room}", number + 1, text.text);
            for (other, there) in &texts[i + 1..] {
                let met = room.inset(-0.05).intersect(*there);
                assert!(
                    met.width() <= 0.0 || met.height() <= 0.0,
                    "page {}: {:?} meets {:?}",
                    number + 1,
                    text.text,
                    other.text
                );
            }
            for window in &page.windows {
                let met = room.inset(-0.05).intersect(window.place());
                assert!(
                    met.width() <= 0.0 || met.height() <= 0.0,
                    "{:?} is on a picture",
                    text.text
                );
            }
        }
        for window in &page.windows {
            assert!(reach.contains_rect(window.place()), "page {}: a picture runs off", number + 1);
        }
    }
    for mark in &set.bookmarks {
        let page = &set.pages[mark.page];
        let below = texts(page)
            .into_iter()
            .filter(|(_, room)| room.y1 < mark.top - 5.0 && room.y0 > page.room.y0 - 0.01);
        let shown = page.windows.iter().filter(|window| window.place().y1 <= mark.top);
        assert!(
            below.count() + shown.count() > 0,
            "{} stands alone on page {}",
            mark.title,
            mark.page + 1
        );
    }
}

#[test]
fn the_sample_on_paper_keeps_to_its_room() {
    let (book, pictures) = sample();
    for paper in [Paper::Letter, Paper::A4] {
        let printer = Printer { paper, ..Printer::default() };
        keeps_to_its_room(&set_book(&book, &pictures, &printer).unwrap());
    }
}

/// The whole numbers in a book's own texts, running heads left out, in the order they are set.
fn numbers(set: &SetBook) -> Vec<usize> {
    let texts = set.pages.iter().flat_map(texts);
    let words = texts.flat_map(|(text, _)| text.text.split(' '));
    words.filter_map(|word| word.strip_prefix('w')?.parse().ok()).collect()
}

/// A phrase of so many words; each word is called by its number.
fn counted(count: usize, next: &mut usize) -> Phrase {
    let words = (0..count).map(|_| {
        *next += 1;
        format!("w{next}")
    });
    let words: Vec<String> = words.collect();
    Phrase(vec![Inline::Strong(words[..1].concat()), format!(" {}", words[1..].join(" ")).into()])
}

fn blocks() -> impl Strategy<Value = Vec<(u8, usize, usize)>> {
    prop::collection::vec((0..8_u8, 1..7_usize, 1..60_usize), 1..25)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn any_document_is_set_word_for_word_in_its_room(kinds in blocks(), a4 in any::<bool>()) {
        let mut next = 0;
        let pictures = Pictures::from([("wide".to_owned(), blank(400.0, 90.0)), ("high".to_owned(), blank(90.0, 400.0))]);
        let mut told = Vec::new();
        for (kind, lines, length) in kinds {
            let all = |next: &mut usize| (0..lines).map(|_| counted(length, next)).collect::<Vec<_>>();
            let picture = |file: &str| PictureFile { file: file.to_owned(), alt: "a picture".to_owned() };
            told.push(match kind {
                0 => Block::Paragraph(counted(length * lines, &mut next)),
                1 => Block::List(all(&mut next)),
                2 => Block::Cautions(all(&mut next)),
                3 => {
                    let mut steps = all(&mut next);
                    for step in &mut steps {
                        step.0.push(Inline::Picture(picture("wide")));
                    }
                    Block::Numbered(steps)
                }
                4 => {
                    let rows = (0..3 * lines).map(|_| {
                        let cell = counted(length, &mut next);
                        vec![Phrase(vec![Inline::Tick]), cell, Phrase(vec![Amount::Sides([25.4, 12.7]).into()])]
                    });
                    Block::Table(Listing { head: vec!["", "one", "two"], rows: rows.collect() })
                }
                5 => {
                    let size = if lines > 3 { PictureSize::Small } else { PictureSize::Large };
                    let file = if length > 30 { "wide" } else { "high" };
                    let shown = |_| Shown { picture: picture(file), size, caption: counted(2, &mut next) };
                    Block::Pictures((0..lines).map(shown).collect())
                }
                6 => {
                    let heading = counted(3, &mut next);
                    let text = Block::Paragraph(counted(length, &mut next));
                    Block::Chapter(crate::document::Chapter { heading, blocks: vec![text] })
                }
                _ => {
                    let blocks = vec![Block::Paragraph(counted(length, &mut next))];
                    Block::Part(Document { title: "A part".to_owned(), units: Units::Inches, blocks })
                }
            });
        }
        let led = Phrase(vec![Inline::PageOf(PartNumber(0))]);
        told.insert(0, Block::Paragraph(led));
        let book = Document { title: "Book".to_owned(), units: Units::Inches, blocks: told };
        let paper = if a4 { Paper::A4 } else { Paper::Letter };
        let set = set_book(&book, &pictures, &Printer { paper, ..Printer::default() }).unwrap();
        keeps_to_its_room(&set);
        let mut found = numbers(&set);
        found.sort_unstable();
        prop_assert_eq!(found, (1..=next).collect::<Vec<_>>());
    }
}
