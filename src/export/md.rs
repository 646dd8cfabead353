//! Documents as Markdown (CommonMark 0.31 with the tables of GitHub Flavored Markdown).

use crate::document::{Block, Document, Inline, Listing, Phrase, PictureFile};
use crate::length::Units;

/// The document as Markdown, a blank line between blocks.
pub(crate) fn write(document: &Document) -> String {
    let mut writer = Writer { units: document.units, blocks: Vec::new() };
    writer.heading(1, &document.title.as_str().into());
    writer.all(&document.blocks, 2);
    let mut text = writer.blocks.join("\n\n");
    text.push('\n');
    text
}

struct Writer {
    units: Units,
    /// Finished blocks, without the blank lines between them.
    blocks: Vec<String>,
}

impl Writer {
    /// Blocks, the chapters among them with headings of `level`.
    fn all(&mut self, blocks: &[Block], level: usize) {
        for block in blocks {
            let written = match block {
                Block::Chapter(chapter) => {
                    self.heading(level, &chapter.heading);
                    self.all(&chapter.blocks, level + 1);
                    continue;
                }
                Block::Part(part) => {
                    let mut own = Writer { units: part.units, blocks: Vec::new() };
                    own.heading(level, &part.title.as_str().into());
                    own.all(&part.blocks, level + 1);
                    self.blocks.extend(own.blocks);
                    continue;
                }
                Block::Pictures(shown) => {
                    let all = shown.iter().map(|shown| image(&shown.picture));
                    all.collect::<Vec<_>>().join("\n")
                }
                Block::Paragraph(phrase) => self.line(phrase),
                Block::List(lines) | Block::Cautions(lines) | Block::Contents(lines) => {
                    self.list(lines, |_| "-".to_owned())
                }
                Block::Numbered(lines) => self.list(lines, |i| format!("{}.", i + 1)),
                Block::Table(listing) => self.table(listing),
            };
            self.blocks.push(written);
        }
    }

    fn heading(&mut self, level: usize, phrase: &Phrase) {
        // A number sign at its end would close it.
        let words = self.inline(phrase).replace('#', "\\#");
        self.blocks.push(format!("{} {words}", "#".repeat(level)));
    }

    fn list(&self, lines: &[Phrase], mark: impl Fn(usize) -> String) -> String {
        let line = |(i, phrase)| format!("{} {}", mark(i), self.line(phrase));
        lines.iter().enumerate().map(line).collect::<Vec<_>>().join("\n")
    }

    fn table(&self, listing: &Listing) -> String {
        let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
        let head = row(listing.head.iter().map(|word| cell(&escaped(word))).collect());
        let rule = row(vec!["---".to_owned(); listing.head.len()]);
        let rows = listing
            .rows
            .iter()
            .map(|cells| row(cells.iter().map(|phrase| cell(&self.inline(phrase))).collect()));
        [head, rule].into_iter().chain(rows).collect::<Vec<_>>().join("\n")
    }

    /// A phrase at the beginning of a line.
    fn line(&self, phrase: &Phrase) -> String {
        let words = self.inline(phrase);
        let strong = matches!(phrase.0.first(), Some(Inline::Strong(_)));
        if strong { words } else { begun(&words) }
    }

    fn inline(&self, phrase: &Phrase) -> String {
        let mut words = String::new();
        for run in &phrase.0 {
            words += &match run {
                Inline::Text(text) => escaped(text),
                Inline::Strong(text) => format!("**{}**", escaped(text)),
                Inline::Link { words, .. } => escaped(words),
                Inline::Tick => "☐".to_owned(),
                Inline::PageOf(_) => String::new(),
                Inline::Figure(amount) => escaped(&self.units.amount(*amount)),
                Inline::Picture(picture) if words.is_empty() => image(picture),
                // A line of its own within a paragraph.
                Inline::Picture(picture) => format!("\\\n   {}", image(picture)),
            };
        }
        words.trim().to_owned()
    }
}

fn image(PictureFile { file, alt }: &PictureFile) -> String {
    format!("![{}]({file})", escaped(alt))
}

/// A bar would end the cell.
fn cell(words: &str) -> String {
    words.replace('|', "\\|")
}

/// Words with nothing in them that would be taken for markup, all in one line.
fn escaped(words: &str) -> String {
    let mut text = String::new();
    for letter in words.chars() {
        match letter {
            '<' => text.push_str("&lt;"),
            '&' => text.push_str("&amp;"),
            '*' | '_' | '`' | '[' | ']' | '\\' | '~' => text.extend(['\\', letter]),
            break_or_tab if break_or_tab.is_control() => text.push(' '),
            other => text.push(other),
        }
    }
    text
}

/// Escaped words at the beginning of a line, with nothing there that would make a heading, list,
/// quotation or rule of it.
fn begun(words: &str) -> String {
    let digits = words.chars().take_while(char::is_ascii_digit).count();
    let (number, rest) = words.split_at(digits);
    let mut letters = rest.chars();
    let marks = match (letters.next(), letters.next()) {
        (Some('.' | ')'), next) => digits > 0 && next.is_none_or(|c| c == ' '),
        (Some('#' | '>'), _) => digits == 0,
        (Some('+' | '-'), next) => digits == 0 && next.is_none_or(|c| !c.is_alphanumeric()),
        _ => false,
    };
    if marks { format!("{number}\\{rest}") } else { words.to_owned() }
}
