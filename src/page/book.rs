//! A document on pages: bands put on paper one below the other, with running heads, the numbers of pages, and bookmarks.

use kurbo::{Point, Rect, Size, Vec2};

use super::band::{Band, Opening};
use super::frame::frames;
use super::pdf::Bookmark;
use super::setting::{FOR_A_HEADING, Setter};
use super::wording::{Hand, text};
use super::{Page, PageError, Printer, Window};
use crate::document::{Document, PartNumber, Pictures};
use crate::drawing::{Drawing, Item, Line, Path, text_width};

/// Letters of the running head and of the page's number.
const SMALL: Hand = Hand { size: 2.8, bold: false };

/// White round what is set, in mm: more at the left, where pages are bound. Common practice, no source.
const LEFT: f64 = 19.0;
const AROUND: f64 = 12.0;

/// From the running head to what is set, and from that to the page's number, in mm.
const HEAD: f64 = 7.0;
const FOOT: f64 = 7.0;

/// A book ready to be written.
#[derive(Debug)]
pub(crate) struct SetBook {
    pub pages: Vec<Page>,
    /// What its pages show, as large as they show it.
    pub pictures: Vec<Drawing>,
    pub bookmarks: Vec<Bookmark>,
}

/// The paper of a page, what of it is printed on, and what is left of that between head and foot.
fn leaf(printer: &Printer) -> Result<(Size, Rect, Rect), PageError> {
    let [upright, _] = frames(printer)?;
    let paper = upright.paper;
    let edge = AROUND.max(printer.margin);
    let reached = Rect::new(LEFT.max(edge), edge, paper.width - edge, paper.height - edge);
    Ok((paper, reached, Rect { y0: reached.y0 + FOOT, y1: reached.y1 - HEAD, ..reached }))
}

/// What a picture has that takes a page of the book under a heading, in mm.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn room_in_book(printer: &Printer) -> Result<Size, PageError> {
    let (.., room) = leaf(printer)?;
    Ok(Size::new(room.width(), room.height() - FOR_A_HEADING))
}

/// Sets `document` with its `pictures` on the printer's paper.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn set_book(
    document: &Document,
    pictures: &Pictures,
    printer: &Printer,
) -> Result<SetBook, PageError> {
    let (paper, reached, room) = leaf(printer)?;
    let setter =
        Setter { units: document.units, width: room.width(), height: room.height(), pictures };
    let blank = Page {
        paper,
        // A book need not be true to size: the printer's scale is left alone.
        scale: Vec2::new(1.0, 1.0),
        printable: reached,
        room,
        windows: Vec::new(),
        bars: Vec::new(),
        furniture: Vec::new(),
    };
    let mut flow = Flow {
        blank,
        pictures,
        head: document.title.clone(),
        heads: Vec::new(),
        down: 0.0,
        refs: Vec::new(),
        parts: Vec::new(),
        book: SetBook { pages: Vec::new(), pictures: Vec::new(), bookmarks: Vec::new() },
    };
    flow.turn();
    let bands = setter.document(document);
    for group in bands.chunk_by(|band, _| band.keeps) {
        flow.put(group);
    }
    Ok(flow.finish(&document.title))
}

/// Bands on their way onto pages.
struct Flow<'f> {
    blank: Page,
    pictures: &'f Pictures,
    /// What the running head says now, and what it says on each page.
    head: String,
    heads: Vec<String>,
    /// How far down the page all is taken, in mm.
    down: f64,
    /// Texts that want the number of a page: the page they are on, and which of its furniture they are.
    refs: Vec<(usize, usize, PartNumber)>,
    /// On which page each part begins, from 0.
    parts: Vec<usize>,
    book: SetBook,
}

impl Flow<'_> {
    fn turn(&mut self) {
        self.book.pages.push(self.blank.clone());
        self.heads.push(self.head.clone());
        self.down = 0.0;
    }

    fn is_fresh(&self) -> bool {
        self.down == 0.0
    }

    /// Puts bands that stay together on this page, else on the next; where no page takes all of them, as they come.
    fn put(&mut self, group: &[Band]) {
        if let Some(Opening { title, level: 1 }) = group.first().and_then(|b| b.opens.as_ref()) {
            self.head.clone_from(title);
            if self.is_fresh() {
                self.heads.pop();
                self.heads.push(title.clone());
            } else {
                self.turn();
            }
        }
        let high: f64 = group.iter().map(|band| band.before + band.height).sum();
        let first = group.first().map_or(0.0, |band| band.before);
        let room = self.blank.room.height();
        let fits = |down: f64, high: f64| down + high <= room + 1e-6;
        if !self.is_fresh() && !fits(self.down, high) && fits(0.0, high - first) {
            self.turn();
        }
        for band in group {
            if !self.is_fresh() && !fits(self.down, band.before + band.height) {
                self.turn();
            }
            if let (true, Some(head)) = (self.is_fresh(), &band.head) {
                self.place(head);
            }
            self.place(band);
        }
    }

    fn place(&mut self, band: &Band) {
        if !self.is_fresh() {
            self.down += band.before;
        }
        let room = self.blank.room;
        let corner = Vec2::new(room.x0, room.y1 - self.down);
        self.down += band.height;
        let number = self.book.pages.len() - 1;
        for picture in &band.pictures {
            let Some(drawing) = self.pictures.get(&picture.name) else { continue };
            let drawing = drawing.scaled(picture.scale);
            let drawing = if picture.turned { drawing.turned() } else { drawing };
            let source = Size::new(drawing.width, drawing.height).to_rect();
            let (name, seams) = (String::new(), Vec::new());
            let pattern = self.book.pictures.len();
            let at = picture.at + corner;
            self.book.pictures.push(drawing);
            let window = Window { pattern, name, source, at, seams };
            self.book.pages[number].windows.push(window);
        }
        if let Some(Opening { title, level }) = &band.opens {
            if *level == 1 {
                self.parts.push(number);
            }
            let mark =
                Bookmark { title: title.clone(), level: *level, page: number, top: corner.y };
            self.book.bookmarks.push(mark);
        }
        let first = self.book.pages[number].furniture.len();
        self.refs.extend(band.refs.iter().map(|(at, part)| (number, first + at, *part)));
        self.book.pages[number].furniture.extend(band.moved(corner));
    }

    /// With running heads, and numbers wherever they are wanted.
    fn finish(mut self, title: &str) -> SetBook {
        let count = self.book.pages.len();
        for (page, at, part) in self.refs {
            let Some(begins) = self.parts.get(part.0) else { continue };
            if let Some(Item::Text(text)) = self.book.pages[page].furniture.get_mut(at) {
                text.text = format!("page {}", begins + 1);
            }
        }
        for (at, (page, head)) in self.book.pages.iter_mut().zip(&self.heads).enumerate() {
            let head = if at == 0 || head == title { String::new() } else { head.clone() };
            page.furniture.extend(running(page.printable, title, &head, (at + 1, count)));
        }
        self.book
    }
}

/// What stands above and below what is set: the book's title at the left, that of the part at the right, the number at the foot.
fn running(area: Rect, title: &str, head: &str, (number, count): (usize, usize)) -> Vec<Item> {
    let number = format!("page {number} of {count}");
    let from_right = |words: &str| area.x1 - text_width(words, SMALL.size, SMALL.bold);
    let mut items = vec![text(number.clone(), Point::new(from_right(&number), area.y0), SMALL)];
    if !head.is_empty() {
        let y = area.y1 - SMALL.fall();
        let room = area.width() - text_width(title, SMALL.size, SMALL.bold) - HEAD;
        let head = shortened(head, room);
        let line = Path::line(Point::new(area.x0, y - 1.6), Point::new(area.x1, y - 1.6));
        items.push(text(title.to_owned(), Point::new(area.x0, y), SMALL));
        items.push(text(head.clone(), Point::new(from_right(&head), y), SMALL));
        items.push(Item::Stroke { line: Line::Furniture, path: line });
    }
    items
}

/// On one line no wider than `room`; what is left out is told by an ellipsis.
fn shortened(words: &str, room: f64) -> String {
    let words: String = words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let fits = |words: &str| text_width(words, SMALL.size, SMALL.bold) <= room;
    if fits(&words) {
        return words;
    }
    let ends = words.char_indices().map(|(at, _)| at).rev();
    let mut cut = ends.map(|end| format!("{}…", words[..end].trim_end()));
    cut.find(|words| fits(words)).unwrap_or_default()
}
