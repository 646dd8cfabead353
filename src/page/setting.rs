//! A document as bands, one below the other.

use kurbo::{Point, Size};

use super::band::{Band, BandPicture, Opening, paragraph, together};
use super::rows;
use super::wording::{self, Hand};
use crate::document::{Block, Document, Inline, Phrase, PictureFile, PictureSize, Pictures, Shown};
use crate::drawing::{Item, Line, Path};
use crate::export::plain;
use crate::length::Units;

/// Letters of what is read.
const BODY: Hand = Hand { size: 3.4, bold: false };
/// Letters below a picture.
const CAPTION: Hand = Hand { size: 2.8, bold: false };

/// Letters of headings from the title down, and the white before each, in mm.
const HEADINGS: [(f64, f64); 5] = [(11.0, 0.0), (7.0, 0.0), (4.8, 6.0), (3.9, 4.5), (3.4, 4.0)];

/// White between blocks and between the lines of a list, in mm.
const BETWEEN: f64 = 2.2;
const ITEM: f64 = 0.9;

/// What a mark before a line takes, in mm.
const MARK: f64 = 7.0;

/// What a picture to work by takes of the page's width and how high it is at most, in mm; no smaller than a share of its
/// own size where that has room at all.
const LARGE: f64 = 160.0;

/// How many times as wide as the page a picture is at least that is turned.
const MUCH: f64 = 1.6;

/// What a heading above a picture and the words below it take of a page, in mm.
pub(super) const FOR_A_HEADING: f64 = 26.0;

/// Small pictures in a row, and how high each is.
const ROW: usize = 5;
const SMALL: f64 = 23.0;

/// What of the width the words of a step take beside its picture, and how high that is at most, in mm.
const STEP_WORDS: f64 = 0.4;
const STEP: f64 = 84.0;

/// White between a picture and what is beside or below it, in mm.
const ASIDE: f64 = 4.0;

/// Sets documents on paper.
pub(super) struct Setter<'s> {
    pub units: Units,
    pub width: f64,
    /// No band is higher than this, in mm.
    pub height: f64,
    pub pictures: &'s Pictures,
}

impl Setter<'_> {
    /// The document with its title.
    pub(super) fn document(&self, document: &Document) -> Vec<Band> {
        let title = self.heading(&document.title.as_str().into(), 0);
        title.into_iter().chain(self.all(&document.blocks, 1)).collect()
    }

    /// Blocks, the headings in them of `level`, counted from the title's 0.
    fn all(&self, blocks: &[Block], level: usize) -> Vec<Band> {
        blocks.iter().flat_map(|block| self.block(block, level)).collect()
    }

    fn block(&self, block: &Block, level: usize) -> Vec<Band> {
        match block {
            Block::Paragraph(phrase) if rows::says(phrase) => spaced(self.lines(phrase, BODY, 0.0)),
            Block::Paragraph(_) => Vec::new(),
            Block::List(lines) => self.list(lines, |_| "–".to_owned()),
            Block::Contents(lines) => self.list(lines, |_| "·".to_owned()),
            Block::Numbered(lines) => {
                let steps = lines.iter().enumerate();
                steps.flat_map(|(at, line)| self.step(&format!("{}.", at + 1), line)).collect()
            }
            Block::Cautions(lines) => barred(self.list(lines, |_| "  !".to_owned())),
            Block::Table(listing) => rows::table(listing, self.units, self.width),
            Block::Pictures(shown) => self.shown(shown),
            Block::Chapter(chapter) => {
                // The outermost chapters of a part stand one level below it.
                let level = level.max(2);
                let head = self.heading(&chapter.heading, level);
                head.into_iter().chain(self.all(&chapter.blocks, level + 1)).collect()
            }
            Block::Part(part) => self.part(part),
        }
    }

    /// A part, in its own units.
    fn part(&self, part: &Document) -> Vec<Band> {
        let own = Setter { units: part.units, ..*self };
        let mut bands = own.heading(&part.title.as_str().into(), 1);
        bands.extend(own.all(&part.blocks, 2));
        bands
    }

    fn heading(&self, words: &Phrase, level: usize) -> Vec<Band> {
        let (size, before) = HEADINGS[level.min(HEADINGS.len() - 1)];
        let hand = Hand { size, bold: true };
        let mut bands = self.lines(words, hand, 0.0);
        bands.iter_mut().for_each(|band| band.keeps = true);
        if let Some(first) = bands.first_mut() {
            first.before = before;
            let title = plain::words(words, self.units);
            first.opens = (1..=2).contains(&level).then_some(Opening { title, level });
        }
        if let (0 | 1, Some(last)) = (level, bands.last_mut()) {
            last.height += 2.0;
            last.rule(Line::Outline, (0.0, self.width), last.height);
            last.height += 2.5;
        }
        bands
    }

    /// A phrase in lines from `left` on.
    fn lines(&self, phrase: &Phrase, hand: Hand, left: f64) -> Vec<Band> {
        let words = wording::words(phrase, self.units, hand);
        let lines = wording::lines(words, hand, self.width - left);
        paragraph(lines.iter().map(|line| Band::line(line, hand, left)).collect())
    }

    fn list(&self, lines: &[Phrase], mark: impl Fn(usize) -> String) -> Vec<Band> {
        let told = lines.iter().enumerate();
        let mut bands: Vec<Band> = told.flat_map(|(at, line)| self.item(&mark(at), line)).collect();
        if let Some(first) = bands.first_mut() {
            first.before = BETWEEN;
        }
        bands
    }

    fn item(&self, mark: &str, line: &Phrase) -> Vec<Band> {
        let mut bands = self.lines(line, BODY, MARK);
        if let Some(first) = bands.first_mut() {
            first.before = ITEM;
            mark_it(first, mark);
        }
        bands
    }

    /// A step with its picture beside it.
    fn step(&self, mark: &str, step: &Phrase) -> Vec<Band> {
        let picture = step.0.iter().find_map(|inline| match inline {
            Inline::Picture(picture) => self.fitted(picture, self.step_room()),
            _ => None,
        });
        let Some((picture, size)) = picture else {
            return spaced(together(self.item(mark, step)));
        };
        let words = wording::words(step, self.units, BODY);
        let lines = wording::lines(words, BODY, self.width * STEP_WORDS - MARK - ASIDE);
        let high = lines.len() as f64 * BODY.pitch();
        if high > 2.0 * STEP {
            return self.long_step(mark, step, (picture, size));
        }
        let mut band =
            Band { height: high.max(size.height), before: 2.0 * BETWEEN, ..Band::default() };
        mark_it(&mut band, mark);
        for (at, line) in lines.iter().enumerate() {
            let down = BODY.fall() + at as f64 * BODY.pitch();
            band.write(line, BODY, Point::new(MARK, -down));
        }
        let at = Point::new(self.width * STEP_WORDS, -size.height);
        band.pictures.push(BandPicture { at, ..picture });
        vec![band]
    }

    /// One of so many words that its picture stands below them.
    fn long_step(
        &self,
        mark: &str,
        step: &Phrase,
        (picture, size): (BandPicture, Size),
    ) -> Vec<Band> {
        let mut bands = spaced(self.item(mark, step));
        let at = Point::new(MARK, -size.height);
        bands.push(Band {
            height: size.height,
            before: ASIDE,
            pictures: vec![BandPicture { at, ..picture }],
            ..Band::default()
        });
        let last = bands.len() - 2;
        bands[last].keeps = true;
        bands
    }

    fn step_room(&self) -> Size {
        Size::new(self.width * (1.0 - STEP_WORDS), STEP.min(self.height / 2.0))
    }

    fn shown(&self, shown: &[Shown]) -> Vec<Band> {
        let groups = shown.chunk_by(|a, b| a.size == b.size);
        let rows = groups.flat_map(|group| match group.first().map(|shown| shown.size) {
            Some(PictureSize::Small) => group.chunks(ROW).collect::<Vec<_>>(),
            _ => group.chunks(1).collect(),
        });
        rows.filter_map(|row| self.beside(row)).collect()
    }

    /// Pictures in a row, with what is said below each.
    fn beside(&self, row: &[Shown]) -> Option<Band> {
        let (count, most) = match row.first()?.size {
            PictureSize::Small => (ROW, SMALL),
            PictureSize::Large => (1, LARGE.min(self.height - FOR_A_HEADING)),
            PictureSize::Page => (1, self.height - FOR_A_HEADING),
        };
        let cell = (self.width + ASIDE) / count as f64;
        let room = Size::new(cell - ASIDE, most);
        let fitted = row.iter().map(|shown| {
            let turned = match shown.size {
                PictureSize::Small => None,
                PictureSize::Large => self.turned(&shown.picture, MUCH),
                PictureSize::Page => self.turned(&shown.picture, 1.0),
            };
            turned.or_else(|| self.fitted(&shown.picture, room))
        });
        let fitted: Vec<_> = fitted.collect();
        let high = fitted.iter().flatten().map(|(_, size)| size.height).fold(0.0, f64::max);
        let mut band = Band { before: BETWEEN, height: high, ..Band::default() };
        for (at, (shown, fitted)) in row.iter().zip(fitted).enumerate() {
            let x = at as f64 * cell;
            if let Some((picture, size)) = fitted {
                // All stand on one line; one to work by in the middle.
                let aside = if count == 1 { (room.width - size.width) / 2.0 } else { 0.0 };
                band.pictures.push(BandPicture { at: Point::new(x + aside, -high), ..picture });
            }
            let words = wording::words(&shown.caption, self.units, CAPTION);
            for (i, line) in wording::lines(words, CAPTION, room.width).iter().enumerate() {
                let down = high + i as f64 * CAPTION.pitch();
                band.write(line, CAPTION, Point::new(x, -down - CAPTION.fall()));
                band.height = band.height.max(down + CAPTION.pitch() + BETWEEN);
            }
        }
        Some(band)
    }

    /// One more than so `much` wider than the page, and larger when it is turned to stand on it; `None` for others.
    fn turned(&self, picture: &PictureFile, much: f64) -> Option<(BandPicture, Size)> {
        let drawing = self.pictures.get(&picture.file)?;
        let (across, up) = (drawing.width, drawing.height);
        let scale = (self.width / up).min((self.height - FOR_A_HEADING) / across).min(1.0);
        let (at, name) = (Point::ORIGIN, picture.file.clone());
        let size = Size::new(up, across) * scale;
        let larger = across > much * self.width && across > up && scale > self.width / across;
        larger.then_some((BandPicture { name, at, scale, turned: true }, size))
    }

    /// A picture as large as there is room for, but no larger than it is, and its size then.
    fn fitted(&self, picture: &PictureFile, room: Size) -> Option<(BandPicture, Size)> {
        let drawing = self.pictures.get(&picture.file)?;
        let own = Size::new(drawing.width, drawing.height);
        let scale = (room.width / own.width).min(room.height / own.height).min(1.0);
        let name = picture.file.clone();
        Some((BandPicture { name, at: Point::ORIGIN, scale, turned: false }, own * scale))
    }
}

fn mark_it(band: &mut Band, mark: &str) {
    let hand = if mark.trim() == "!" { Hand { bold: true, ..BODY } } else { BODY };
    band.items.push(wording::text(mark.trim_end().to_owned(), Point::new(0.0, -hand.fall()), hand));
}

/// With the white that parts it from the block before.
fn spaced(mut bands: Vec<Band>) -> Vec<Band> {
    if let Some(first) = bands.first_mut() {
        first.before = BETWEEN;
    }
    bands
}

/// With a bar at the left: what keeps people whole stands out.
fn barred(mut bands: Vec<Band>) -> Vec<Band> {
    for band in bands.iter_mut().skip(1) {
        // The bar runs on over the white between lines.
        let white = std::mem::take(&mut band.before);
        band.items = band.moved((0.0, -white).into());
        band.height += white;
    }
    for band in &mut bands {
        let path = Path::line(Point::ORIGIN, Point::new(0.0, -band.height));
        band.items.push(Item::Stroke { line: Line::Outline, path });
    }
    bands
}
