//! Phrases in lines: words measured once, broken to the width there is.

use kurbo::{Point, Rect};

use crate::document::{Inline, PartNumber, Phrase};
use crate::drawing::{Anchor, Item, Line, Path, Text, box_corners, text_width};
use crate::kernel::{Contour, Vertex};
use crate::length::Units;

/// Side of a box to tick, in letter sizes.
const BOX: f64 = 0.85;

/// The most that a page's number may take.
const WIDEST_NUMBER: &str = "page 0000";

/// How letters are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hand {
    /// Letter size in mm.
    pub size: f64,
    pub bold: bool,
}

impl Hand {
    /// From one baseline to the next, in mm.
    pub(super) fn pitch(self) -> f64 {
        1.4 * self.size
    }

    /// From the top of a line down to its baseline, in mm.
    pub(super) fn fall(self) -> f64 {
        1.05 * self.size
    }

    fn space(self) -> f64 {
        text_width(" ", self.size, self.bold)
    }
}

/// Letters between two spaces.
#[derive(Debug, Clone, Default)]
pub(super) struct SetWord {
    fragments: Vec<Fragment>,
    width: f64,
}

/// What of a word is set in one go.
#[derive(Debug, Clone)]
struct Fragment {
    what: FragmentKind,
    bold: bool,
    width: f64,
}

#[derive(Debug, Clone)]
enum FragmentKind {
    Letters(String),
    Tick,
    PageOf(PartNumber),
}

/// What a line comes to on paper, from its left end on the baseline.
#[derive(Debug, Default)]
pub(super) struct SetItems {
    pub items: Vec<Item>,
    /// Which of them want the number of a page.
    pub refs: Vec<(usize, PartNumber)>,
}

impl SetWord {
    fn new(letters: &str, hand: Hand) -> Self {
        let width = text_width(letters, hand.size, hand.bold);
        let what = FragmentKind::Letters(letters.to_owned());
        Self { fragments: vec![Fragment { what, bold: hand.bold, width }], width }
    }

    fn join(&mut self, other: Self) {
        self.width += other.width;
        self.fragments.extend(other.fragments);
    }

    /// The word in parts no wider than `width`, cut anywhere.
    fn cut(self, width: f64, size: f64) -> Vec<Self> {
        if self.width <= width {
            return vec![self];
        }
        let mut cut: Vec<Self> = vec![Self::default()];
        for Fragment { what, bold, width: wide } in self.fragments {
            let letters: Vec<Self> = match what {
                FragmentKind::Letters(text) => {
                    let hand = Hand { size, bold };
                    text.chars()
                        .map(|letter| Self::new(letter.encode_utf8(&mut [0; 4]), hand))
                        .collect()
                }
                other => {
                    vec![Self {
                        fragments: vec![Fragment { what: other, bold, width: wide }],
                        width: wide,
                    }]
                }
            };
            for letter in letters {
                match cut.last_mut() {
                    Some(last) if last.width + letter.width <= width => last.join(letter),
                    _ => cut.push(letter),
                }
            }
        }
        cut.retain(|word| !word.fragments.is_empty());
        cut
    }
}

/// The words of a phrase; its pictures are left out.
pub(super) fn words(phrase: &Phrase, units: Units, hand: Hand) -> Vec<SetWord> {
    let mut words: Vec<SetWord> = Vec::new();
    let mut open = false;
    for inline in &phrase.0 {
        let strong = Hand { bold: true, ..hand };
        match inline {
            Inline::Text(text) | Inline::Link { words: text, .. } => {
                add(&mut words, &mut open, text, hand);
            }
            Inline::Strong(text) => add(&mut words, &mut open, text, strong),
            // A figure stays whole: no line ends between 1 and 3/4.
            Inline::Figure(amount) => {
                join(&mut words, open, SetWord::new(&units.amount(*amount), hand));
                open = true;
            }
            Inline::Tick => put(&mut words, &mut open, FragmentKind::Tick, BOX * hand.size, hand),
            Inline::PageOf(part) => {
                let width = text_width(WIDEST_NUMBER, hand.size, hand.bold);
                put(&mut words, &mut open, FragmentKind::PageOf(*part), width, hand);
            }
            Inline::Picture(_) => {}
        }
    }
    words
}

/// Adds text; `open` tells whether the last word goes on.
fn add(words: &mut Vec<SetWord>, open: &mut bool, text: &str, hand: Hand) {
    let blank = |c: char| c.is_whitespace() || c.is_control();
    for (at, letters) in text.split(blank).enumerate() {
        *open &= at == 0;
        if letters.is_empty() {
            continue;
        }
        join(words, *open, SetWord::new(letters, hand));
        *open = true;
    }
    *open &= !text.ends_with(blank);
}

fn put(words: &mut Vec<SetWord>, open: &mut bool, what: FragmentKind, width: f64, hand: Hand) {
    let fragments = vec![Fragment { what, bold: hand.bold, width }];
    join(words, *open, SetWord { fragments, width });
    *open = true;
}

fn join(words: &mut Vec<SetWord>, open: bool, more: SetWord) {
    match words.last_mut() {
        Some(last) if open => last.join(more),
        _ => words.push(more),
    }
}

/// How wide the words are all in one line, and the widest of them.
pub(super) fn widths(words: &[SetWord], hand: Hand) -> [f64; 2] {
    let all: f64 = words.iter().map(|word| word.width).sum();
    let spaces = hand.space() * words.len().saturating_sub(1) as f64;
    [all + spaces, words.iter().map(|word| word.width).fold(0.0, f64::max)]
}

/// The words in lines no wider than `width`; a word wider than that is cut.
pub(super) fn lines(words: Vec<SetWord>, hand: Hand, width: f64) -> Vec<Vec<SetWord>> {
    let (mut lines, mut line, mut taken) = (Vec::new(), Vec::new(), 0.0);
    for word in words.into_iter().flat_map(|word| word.cut(width, hand.size)) {
        let wide = if line.is_empty() { word.width } else { taken + hand.space() + word.width };
        if wide > width + 1e-6 && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
            taken = word.width;
        } else {
            taken = wide;
        }
        line.push(word);
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A line with its baseline beginning at `at`.
pub(super) fn set(line: &[SetWord], hand: Hand, at: Point) -> SetItems {
    let mut pen = LinePen { set: SetItems::default(), hand, at, run: String::new(), begun: at.x };
    for (i, word) in line.iter().enumerate() {
        if i > 0 {
            pen.space(hand);
        }
        word.fragments.iter().for_each(|fragment| pen.put(fragment));
    }
    pen.flush();
    pen.set
}

/// Sets a line from the left to the right, what is of one face in one go.
struct LinePen {
    set: SetItems,
    /// Of the letters that are not set yet.
    hand: Hand,
    /// Where the next fragment begins.
    at: Point,
    /// These letters, and where they begin.
    run: String,
    begun: f64,
}

impl LinePen {
    fn space(&mut self, usual: Hand) {
        // A space of the other face would be wider than what was counted.
        if self.hand == usual {
            self.run.push(' ');
        } else {
            self.flush();
            self.hand = usual;
        }
        self.at.x += usual.space();
        if self.run.is_empty() {
            self.begun = self.at.x;
        }
    }

    fn put(&mut self, Fragment { what, bold, width }: &Fragment) {
        let plain = matches!(what, FragmentKind::Letters(_));
        if !plain || *bold != self.hand.bold {
            self.flush();
            self.hand.bold = *bold;
            self.begun = self.at.x;
        }
        match what {
            FragmentKind::Letters(letters) => self.run.push_str(letters),
            FragmentKind::Tick => self.set.items.push(tick(self.at, self.hand.size)),
            FragmentKind::PageOf(part) => {
                self.set.refs.push((self.set.items.len(), *part));
                self.set.items.push(text("page".to_owned(), self.at, self.hand));
            }
        }
        self.at.x += width;
        if !plain {
            self.begun = self.at.x;
        }
    }

    /// Sets the letters so far; a space at their beginning is set by its place.
    fn flush(&mut self) {
        let run = std::mem::take(&mut self.run);
        let letters = run.trim();
        if !letters.is_empty() {
            let lead = run.len() - run.trim_start().len();
            let x = self.begun + text_width(&run[..lead], self.hand.size, self.hand.bold);
            self.set.items.push(text(letters.to_owned(), Point::new(x, self.at.y), self.hand));
        }
    }
}

/// Text that begins at a place.
pub(super) fn text(text: String, at: Point, hand: Hand) -> Item {
    let Hand { size, bold } = hand;
    Item::Text(Text { at, text, size, anchor: Anchor::Start, turn: 0.0, bold })
}

/// A box that stands on the baseline.
fn tick(at: Point, size: f64) -> Item {
    let side = 0.8 * BOX * size;
    let corners = box_corners(Rect::new(at.x, at.y, at.x + side, at.y + side));
    let corners = corners.map(|at| Vertex::line(at.x, at.y));
    let path = Contour::new(corners).map_or_else(|| Path::line(at, at), Path::Closed);
    Item::Stroke { line: Line::Furniture, path }
}
