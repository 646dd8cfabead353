//! Documents as one page of HTML (the living standard of the WHATWG): nothing is asked of any other place, no script is
//! needed, and it prints as the book on paper does, as far as CSS paged media goes in a browser.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::inline_svg;
use crate::document::{
    Block, Document, Inline, Listing, PartNumber, Phrase, PictureFile, PictureSize, Pictures, Shown,
};
use crate::length::Units;
use crate::shop::Paper;

/// Black on white throughout: no color carries meaning.
const STYLE: &str = include_str!("book.css");

/// The document as the text of an HTML file that prints on `paper`.
pub(crate) fn write(document: &Document, pictures: &Pictures, paper: Paper) -> String {
    let writer = Writer { units: document.units, pictures };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (document.title) }
                style { (PreEscaped(STYLE)) (PreEscaped(inline_svg::style())) (PreEscaped(heads(document, paper))) }
            }
            body {
                main {
                    h1 { (document.title) }
                    (writer.parted(&document.blocks))
                }
            }
        }
    };
    page.into_string()
}

/// Paper, and the running head of each part: a page of its own name.
fn heads(document: &Document, paper: Paper) -> String {
    let size = paper.size();
    let whole = format!("@page{{size:{:.1}mm {:.1}mm}}", size.width, size.height);
    let parts = document.blocks.iter().filter_map(|block| match block {
        Block::Part(part) => Some(part),
        _ => None,
    });
    let named = parts.enumerate().map(|(at, part)| {
        let id = part_id(PartNumber(at));
        format!("@page {id}{{@top-right{{content:{}}}}}#{id}{{page:{id}}}", css_text(&part.title))
    });
    std::iter::once(whole).chain(named).collect()
}

/// A text in CSS: what could end it is told by its number (CSS Syntax Level 3, 4.3.7).
fn css_text(text: &str) -> String {
    let letter = |c: char| match c {
        '"' | '\\' | '<' | '>' | '&' => format!("\\{:x} ", u32::from(c)),
        c if c.is_control() => " ".to_owned(),
        c => c.to_string(),
    };
    format!("\"{}\"", text.chars().map(letter).collect::<String>())
}

fn part_id(part: PartNumber) -> String {
    format!("part-{}", part.0 + 1)
}

/// What HTML cannot hold, control characters, made spaces.
fn printable(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

#[derive(Clone, Copy)]
struct Writer<'w> {
    units: Units,
    pictures: &'w Pictures,
}

impl Writer<'_> {
    /// The blocks of a whole document, its parts with what links lead to.
    fn parted(self, blocks: &[Block]) -> Markup {
        let mut number = 0;
        let written = blocks.iter().map(|block| {
            let Block::Part(part) = block else { return self.block(block, 2) };
            let id = part_id(PartNumber(number));
            number += 1;
            let own = Self { units: part.units, ..self };
            html! {
                section.part id=(id) {
                    h2 { (printable(&part.title)) }
                    (own.all(&part.blocks, 3))
                }
            }
        });
        html! { @for block in written { (block) } }
    }

    /// Blocks, the chapters in them with headings of `level`.
    fn all(self, blocks: &[Block], level: usize) -> Markup {
        html! { @for block in blocks { (self.block(block, level)) } }
    }

    fn block(self, block: &Block, level: usize) -> Markup {
        match block {
            Block::Paragraph(phrase) => html! { p { (self.phrase(phrase)) } },
            Block::List(lines) => html! { ul { (self.items(lines)) } },
            Block::Numbered(lines) => html! { ol.steps { (self.items(lines)) } },
            Block::Cautions(lines) if lines.is_empty() => html! {},
            Block::Cautions(lines) => html! { ul.cautions { (self.items(lines)) } },
            Block::Contents(lines) if lines.is_empty() => html! {},
            Block::Contents(lines) => html! {
                nav aria-label="Contents" { ul { (self.items(lines)) } }
            },
            Block::Table(listing) => self.table(listing),
            Block::Pictures(shown) => html! {
                div.pictures { @for shown in shown { (self.shown(shown)) } }
            },
            Block::Chapter(chapter) => html! {
                section {
                    (heading(level, &self.phrase(&chapter.heading)))
                    (self.all(&chapter.blocks, level + 1))
                }
            },
            Block::Part(part) => {
                let own = Self { units: part.units, ..self };
                html! {
                    section {
                        (heading(level, &html! { (printable(&part.title)) }))
                        (own.all(&part.blocks, level + 1))
                    }
                }
            }
        }
    }

    fn items(self, lines: &[Phrase]) -> Markup {
        html! { @for line in lines { (self.item(line)) } }
    }

    /// A line, its picture beside it where there is room.
    fn item(self, line: &Phrase) -> Markup {
        let picture = line.0.iter().find_map(|inline| match inline {
            Inline::Picture(picture) => self.picture(picture),
            _ => None,
        });
        match picture {
            None => html! { li { (self.phrase(line)) } },
            Some(picture) => html! {
                li { div.pictured { p { (self.phrase(line)) } (picture) } }
            },
        }
    }

    fn shown(self, Shown { picture, size, caption }: &Shown) -> Markup {
        let class = match size {
            PictureSize::Small => "small",
            PictureSize::Large => "large",
            PictureSize::Page => "page",
        };
        html! {
            @if let Some(picture) = self.picture(picture) {
                figure class=(class) {
                    (picture)
                    @if !caption.0.is_empty() { figcaption { (self.phrase(caption)) } }
                }
            }
        }
    }

    fn picture(self, PictureFile { file, alt }: &PictureFile) -> Option<Markup> {
        Some(PreEscaped(inline_svg::write(self.pictures.get(file)?, &printable(alt))))
    }

    fn table(self, listing: &Listing) -> Markup {
        html! {
            @if !listing.rows.is_empty() {
                div.table tabindex="0" {
                    table {
                        thead { tr { @for head in &listing.head { (head_cell(head)) } } }
                        tbody {
                            @for row in &listing.rows {
                                tr { @for cell in row { td { (self.phrase(cell)) } } }
                            }
                        }
                    }
                }
            }
        }
    }

    /// A phrase without its pictures, which stand beside it.
    fn phrase(self, phrase: &Phrase) -> Markup {
        html! { @for inline in &phrase.0 { (self.inline(inline)) } }
    }

    fn inline(self, inline: &Inline) -> Markup {
        match inline {
            Inline::Text(text) => html! { (printable(text)) },
            Inline::Strong(text) => html! { strong { (printable(text)) } },
            Inline::Figure(amount) => {
                // A figure stays whole: no line ends between 1 and 3/4.
                html! { (self.units.amount(*amount).replace(' ', "\u{a0}")) }
            }
            Inline::Link { to, words } => html! {
                a href=(format!("#{}", part_id(*to))) { (printable(words)) }
            },
            Inline::Tick => html! { input type="checkbox" aria-label="done"; },
            // Pages are the printer's affair here.
            Inline::Picture(_) | Inline::PageOf(_) => html! {},
        }
    }
}

/// A column without a name has the boxes to tick.
fn head_cell(head: &str) -> Markup {
    match head {
        "" => html! { th scope="col" { span.unseen { "done" } } },
        _ => html! { th scope="col" { (head) } },
    }
}

fn heading(level: usize, words: &Markup) -> Markup {
    match level {
        ..=2 => html! { h2 { (words) } },
        3 => html! { h3 { (words) } },
        4 => html! { h4 { (words) } },
        5 => html! { h5 { (words) } },
        _ => html! { h6 { (words) } },
    }
}
