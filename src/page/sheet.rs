//! A page: what it shows of which drawings, and what it says beside them.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::form::{self, Form};
use super::frame::Frame;
use super::free::FreeRoom;
use super::furniture::{self, Footer};
use super::map::Map;
use super::seam::{self, Seam, page_name};
use super::spread::{Pane, Spread};
use crate::drawing::{Drawing, Item};
use crate::length::Units;

/// One sheet of paper.
///
/// Except for the page box, lengths are true: mm as they come out of the printer, x right, y up,
/// from the paper's lower left corner. Divided by `scale` they are the mm of the file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Page {
    /// The page box, in mm of the file: the paper, upright or turned.
    pub paper: Size,
    /// What the printer makes of 1 along the page's x and y.
    pub scale: Vec2,
    /// What the printer reaches.
    pub printable: Rect,
    /// What is left of it for windows.
    pub room: Rect,
    pub windows: Vec<Window>,
    /// Bars to measure, the same on all pages of a frame.
    pub bars: Vec<Item>,
    /// Names and map, outside the windows.
    pub furniture: Vec<Item>,
}

/// A piece of a drawing shown on a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Window {
    /// Which of the drawings, counted from 0.
    pub pattern: usize,
    /// Column letters and row number of this page of the pattern.
    pub name: String,
    /// What it shows, in mm of the drawing.
    pub source: Rect,
    /// Where the lower left corner of `source` lands on the page.
    pub at: Point,
    /// Seam lines and marks, in mm of the drawing.
    pub seams: Vec<Item>,
}

impl Window {
    /// What it takes of the page.
    pub(crate) fn place(&self) -> Rect {
        Rect::from_origin_size(self.at, self.source.size())
    }
}

/// A page being filled.
#[derive(Clone)]
pub(super) struct Sheet {
    frame: Frame,
    windows: Vec<Window>,
    free: FreeRoom,
    /// The page of a pattern of several that it is: the pattern's pages, and which of them.
    of: Option<(Spread, usize, Vec2)>,
}

/// A pattern that takes several pages.
pub(super) struct Wide {
    /// Its place among the drawings.
    pub pattern: usize,
    pub spread: Spread,
    /// Where the origin of the pages' mm lies in its drawing.
    pub origin: Vec2,
    pub seams: Vec<Seam>,
}

impl Sheet {
    /// A blank one.
    pub(super) fn new(frame: Frame) -> Self {
        Self { frame, windows: Vec::new(), free: FreeRoom::new(frame.room), of: None }
    }

    /// The pages of a pattern that takes several, `overlap` mm in common.
    pub(super) fn of_wide(wide: &Wide, drawing: &Drawing, frame: Frame, overlap: f64) -> Vec<Self> {
        let page = |(at, pane): (usize, &Pane)| {
            let mut sheet = Self::new(frame);
            sheet.of = Some((wide.spread.clone(), at, wide.origin));
            let source = pane.area + wide.origin;
            let to_drawing = Affine::translate(wide.origin);
            let seams = seam::marked(&wide.seams, pane.area);
            let seams = seams.iter().map(|item| item.transformed(to_drawing)).collect();
            let (pattern, name) = (wide.pattern, page_name(pane));
            sheet.windows.push(Window { pattern, name, source, at: frame.room.origin(), seams });
            let shift = frame.room.origin() - source.origin();
            form::take(&mut sheet.free, &drawing.items, shift);
            for Seam { from, to, .. } in &wide.seams {
                let cut = Rect::from_points(*from, *to).inflate(overlap / 2.0, overlap / 2.0);
                sheet.free.take_box(cut + wide.origin + shift);
            }
            sheet
        };
        wide.spread.panes.iter().enumerate().map(page).collect()
    }

    /// Whether all of a drawing has room.
    pub(super) fn has_room(&mut self, form: &Form) -> bool {
        self.free.place(form.size()).is_some()
    }

    /// Takes in all of a drawing where there is room, and says whether there was.
    pub(super) fn put(&mut self, pattern: usize, form: &Form) -> bool {
        let Some(place) = self.free.place(form.size()) else { return false };
        self.free.take_cells(form.cells(), &place);
        self.windows.push(Window {
            pattern,
            name: "A1".to_owned(),
            source: form.size().to_rect(),
            at: place.area.origin(),
            seams: Vec::new(),
        });
        true
    }

    /// Whether a drawing is on it.
    pub(super) fn shows(&self, pattern: Option<usize>) -> bool {
        self.windows.iter().any(|window| Some(window.pattern) == pattern)
    }

    /// The first of the drawings on it.
    pub(super) fn order(&self) -> usize {
        self.windows.iter().map(|window| window.pattern).min().unwrap_or_default()
    }

    /// The page, `number` one of so many.
    pub(super) fn into_page(self, forms: &[&Form], number: (usize, usize), units: Units) -> Page {
        let Frame { paper, scale, printable, room } = self.frame;
        let drawing = |window: &Window| forms.get(window.pattern).map(|form| &form.drawing);
        let shown = || self.windows.iter().filter_map(|w| Some((w, drawing(w)?)));
        let map = match (&self.of, shown().next()) {
            (Some((spread, at, origin)), Some((_, drawing))) => {
                Map::of_spread(spread, &spread.panes[*at], drawing, *origin)
            }
            _ => Map::of_page(room, shown().map(|(window, drawing)| (window.at, drawing))),
        };
        let mut titles: Vec<&str> = shown().map(|(_, drawing)| drawing.title.as_str()).collect();
        titles.dedup();
        let bars = furniture::bars(printable, units);
        let furniture = furniture::footer(&Footer {
            printable,
            titles,
            name: self.windows.first().map_or("", |window| &window.name),
            number,
            first: self.of.as_ref().is_none_or(|(_, at, _)| *at == 0),
            has_seams: self.of.is_some(),
            map,
        });
        Page { paper, scale, printable, room, windows: self.windows, bars, furniture }
    }
}
