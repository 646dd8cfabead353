//! What stands on paper from the left to the right: the least that a page takes whole.

use std::rc::Rc;

use kurbo::{Point, Vec2};

use super::wording::{self, Hand, SetItems, SetWord};
use crate::document::PartNumber;
use crate::drawing::{Item, Line, Path};

/// A band. Millimeters, x right, y up, the origin at its upper left corner.
#[derive(Debug, Default)]
pub(super) struct Band {
    pub height: f64,
    /// White above it where it does not begin a page, in mm.
    pub before: f64,
    pub items: Vec<Item>,
    pub pictures: Vec<BandPicture>,
    /// Which of the items want the number of a page.
    pub refs: Vec<(usize, PartNumber)>,
    /// Whether the next one must stand on the same page.
    pub keeps: bool,
    pub opens: Option<Opening>,
    /// What stands above it where it begins a page: a table's head.
    pub head: Option<Rc<Band>>,
}

/// A picture in a band.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct BandPicture {
    pub name: String,
    /// Its lower left corner.
    pub at: Point,
    pub scale: f64,
    /// Whether it is turned a quarter.
    pub turned: bool,
}

/// A heading that a bookmark leads to.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Opening {
    pub title: String,
    /// 1 for a part of the book, 2 for a chapter in it.
    pub level: usize,
}

impl Band {
    /// A line of words at `left`, as high as its letters ask.
    pub(super) fn line(line: &[SetWord], hand: Hand, left: f64) -> Self {
        let mut band = Self { height: hand.pitch(), ..Self::default() };
        band.write(line, hand, Point::new(left, -hand.fall()));
        band
    }

    /// Writes a line, its baseline from `at`.
    pub(super) fn write(&mut self, line: &[SetWord], hand: Hand, at: Point) {
        let SetItems { items, refs } = wording::set(line, hand, at);
        let first = self.items.len();
        self.items.extend(items);
        self.refs.extend(refs.into_iter().map(|(at, part)| (first + at, part)));
    }

    /// Rules a line from side to side, so far below its top.
    pub(super) fn rule(&mut self, line: Line, (from, to): (f64, f64), below: f64) {
        let path = Path::line(Point::new(from, -below), Point::new(to, -below));
        self.items.push(Item::Stroke { line, path });
    }

    /// Its items where its upper left corner is moved by `by`.
    pub(super) fn moved(&self, by: Vec2) -> Vec<Item> {
        let map = kurbo::Affine::translate(by);
        self.items.iter().map(|item| item.transformed(map)).collect()
    }
}

/// Bands that stay together where a page has room: the first with the second, the last but one with the last.
pub(super) fn paragraph(mut bands: Vec<Band>) -> Vec<Band> {
    let count = bands.len();
    for (at, band) in bands.iter_mut().enumerate() {
        band.keeps |= count > 1 && (at == 0 || at + 2 == count);
    }
    bands
}

/// Bands of which none stands on a page without the others.
pub(super) fn together(mut bands: Vec<Band>) -> Vec<Band> {
    let last = bands.len().saturating_sub(1);
    bands.iter_mut().take(last).for_each(|band| band.keeps = true);
    bands
}
