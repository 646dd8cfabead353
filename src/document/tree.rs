//! The document tree, and builders for it.

use crate::length::{Amount, Units};

/// A document before a writer gives it a form.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Document {
    pub title: String,
    /// What its figures are to be written in.
    pub units: Units,
    pub blocks: Vec<Block>,
}

/// What stands below what else, from the top to the foot.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Block {
    Paragraph(Phrase),
    List(Vec<Phrase>),
    /// A list whose order counts, from 1 on.
    Numbered(Vec<Phrase>),
    Table(Listing),
    /// What keeps people whole. A writer may set it off; it never leaves it out.
    Cautions(Vec<Phrase>),
    /// Pictures beside each other, where there is room.
    Pictures(Vec<Shown>),
    /// Where the parts of a book begin: what leads to them.
    Contents(Vec<Phrase>),
    Chapter(Chapter),
    /// A document within this one, which begins on a new page.
    Part(Document),
}

/// A picture with what is said below it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shown {
    pub picture: PictureFile,
    pub size: PictureSize,
    /// May be empty.
    pub caption: Phrase,
}

/// How much room a picture takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum PictureSize {
    /// To tell things from each other: several in a row.
    Small,
    /// To work by.
    Large,
    /// True to scale: as large as it is, on its side where it has no room upright.
    Page,
}

/// A heading and what stands under it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chapter {
    pub heading: Phrase,
    pub blocks: Vec<Block>,
}

/// Rows under a head; each row has as many cells as the head.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Listing {
    pub head: Vec<&'static str>,
    pub rows: Vec<Vec<Phrase>>,
}

/// Words and figures in one line of thought.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Phrase(pub Vec<Inline>);

/// Part of a phrase.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Inline {
    Text(String),
    /// What the eye should find first.
    Strong(String),
    Figure(Amount),
    /// On a line of its own; what is only words leaves it out.
    Picture(PictureFile),
    /// A box to tick off.
    Tick,
    /// Words that lead to a part of the book.
    Link {
        to: PartNumber,
        words: String,
    },
    /// The page on which that part begins; nothing where there are no pages.
    PageOf(PartNumber),
}

/// Which of the parts of a book, in their order, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct PartNumber(pub usize);

/// A picture beside the document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PictureFile {
    /// Its name, as the document stands in one folder with it.
    pub file: String,
    /// What it shows, for a reader that cannot see it.
    pub alt: String,
}

/// A phrase of texts, strong words and amounts, one after the other.
macro_rules! phrase {
    ($($run:expr),* $(,)?) => {
        $crate::document::Phrase(vec![$($crate::document::Inline::from($run)),*])
    };
}
pub(super) use phrase;

/// Words that stand out.
pub(super) fn strong(words: impl Into<String>) -> Inline {
    Inline::Strong(words.into())
}

/// `1 sheet`, `3 sheets`.
pub(super) fn many(count: usize, what: &str) -> String {
    if count == 1 { format!("1 {what}") } else { format!("{count} {what}s") }
}

impl Block {
    /// A chapter of one block; none where there is nothing to tell under its heading.
    pub(crate) fn chapter(heading: &str, block: Self) -> Option<Self> {
        Self::chapter_of(heading, vec![block])
    }

    /// A chapter of some blocks; none where there is nothing to tell under its heading.
    pub(super) fn chapter_of(heading: &str, blocks: Vec<Self>) -> Option<Self> {
        let told = blocks.iter().any(Self::tells);
        told.then(|| Self::Chapter(Chapter { heading: heading.into(), blocks }))
    }

    fn tells(&self) -> bool {
        match self {
            Self::Paragraph(phrase) => !phrase.0.is_empty(),
            Self::List(lines)
            | Self::Numbered(lines)
            | Self::Cautions(lines)
            | Self::Contents(lines) => !lines.is_empty(),
            Self::Pictures(shown) => !shown.is_empty(),
            Self::Table(listing) => !listing.rows.is_empty(),
            Self::Chapter(Chapter { blocks, .. }) | Self::Part(Document { blocks, .. }) => {
                blocks.iter().any(Self::tells)
            }
        }
    }

    /// Cautions as they are written once for all.
    pub(crate) fn cautions(lines: impl Iterator<Item = &'static str>) -> Self {
        Self::Cautions(lines.map(Phrase::from).collect())
    }
}

impl Phrase {
    /// The same with more behind it.
    pub(crate) fn then(mut self, more: Self) -> Self {
        self.0.extend(more.0);
        self
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        phrase![text]
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        phrase![text]
    }
}

impl From<&str> for Inline {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<String> for Inline {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<PictureFile> for Inline {
    fn from(picture: PictureFile) -> Self {
        Self::Picture(picture)
    }
}

impl From<Amount> for Inline {
    fn from(amount: Amount) -> Self {
        Self::Figure(amount)
    }
}
