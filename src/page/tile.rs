//! Laying patterns out on pages.

use kurbo::{Point, Rect, Size, Vec2};

use super::frame::{Frame, frames};
use super::furniture::{self, CAPTION, Footer};
use super::grid::{Grid, page_name};
use super::map::Map;
use super::seam;
use super::shelf::Shelves;
use super::{Printer, PrinterError};
use crate::drawing::{Drawing, Item};
use crate::holder::Explain;
use crate::length::Units;

/// The most pages one pattern may take.
pub(super) const MOST_PAGES: usize = 500;

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
    /// Names, bars and map, outside the windows.
    pub furniture: Vec<Item>,
}

/// A piece of a pattern shown on a page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Window {
    /// Which of the patterns, counted from 0.
    pub pattern: usize,
    /// Column letters and row number of this page of the pattern.
    pub name: String,
    /// What it shows, in mm of the pattern.
    pub source: Rect,
    /// Where the lower left corner of `source` lands on the page.
    pub at: Point,
    /// Seam lines and marks, in mm of the pattern.
    pub seams: Vec<Item>,
}

impl Window {
    /// What it takes of the page.
    pub(crate) fn place(&self) -> Rect {
        Rect::from_origin_size(self.at, self.source.size())
    }
}

/// Why patterns cannot be laid out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum PageError {
    #[error(transparent)]
    Printer(#[from] PrinterError),
    #[error("the pattern {title:?} has no size that could be printed: {width} × {height} mm")]
    Size { title: String, width: f64, height: f64 },
    #[error(
        "the pattern {title:?}, {width:.0} × {height:.0} mm, would take more than {MOST_PAGES} \
         pages"
    )]
    TooLarge { title: String, width: f64, height: f64 },
}

impl Explain for PageError {
    fn explain(&self, units: Units) -> String {
        let length = |mm: &f64| units.length(*mm);
        match self {
            Self::Printer(PrinterError::Margin { margin, most, .. }) => format!(
                "printer.margin: {} leaves no room for the bars and names of a page on this paper. \
                 Make it at most {}.",
                length(margin),
                length(&units.round_down(*most))
            ),
            Self::Printer(PrinterError::Overlap { overlap, least, most }) => format!(
                "printer.overlap: {} does not serve on this paper. Make it {} to {}.",
                length(overlap),
                length(&-units.round_down(-least)),
                length(&units.round_down(*most))
            ),
            Self::TooLarge { title, width, height } => format!(
                "\"{title}\", {} × {}, takes more than {MOST_PAGES} pages. Name a larger paper.",
                length(width),
                length(height)
            ),
            Self::Printer(PrinterError::Scale { .. }) | Self::Size { .. } => self.to_string(),
        }
    }
}

/// Lays `patterns` out on the paper of `printer`, in their order.
///
/// A pattern larger than a page is cut into a grid of equal windows, on pages upright or turned,
/// whichever takes fewer; upright when it is the same. Patterns that fit a page whole share pages
/// where they can, and stand where the first of them would. Every page has bars to measure in mm and in
/// `units`.
pub(crate) fn lay_out(
    patterns: &[Drawing],
    printer: &Printer,
    units: Units,
) -> Result<Vec<Page>, PageError> {
    let frames = frames(printer)?;
    let (mut sheets, mut small) = (Vec::new(), Vec::new());
    for (index, pattern) in patterns.iter().enumerate() {
        check_size(pattern)?;
        if frames.iter().any(|frame| Shelves::new(frame.room).put(boxed(pattern)).is_some()) {
            small.push((index, pattern));
        } else {
            sheets.extend(cut(index, pattern, &frames, printer.overlap)?);
        }
    }
    sheets.extend(share(small, &frames));
    sheets.sort_by_key(Sheet::order);
    let count = sheets.len();
    let furnished = sheets.into_iter().enumerate();
    Ok(furnished.map(|(i, sheet)| sheet.into_page(patterns, (i + 1, count), units)).collect())
}

/// What an upright page has room for, below the title of what stands on it, in mm.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn room(printer: &Printer) -> Result<Size, PageError> {
    let [upright, _] = frames(printer)?;
    let room = upright.room.size();
    Ok(Size::new(room.width, room.height - CAPTION))
}

fn check_size(pattern: &Drawing) -> Result<(), PageError> {
    let Drawing { title, width, height, .. } = pattern;
    let sound = |length: f64| length.is_finite() && length > 0.0;
    if sound(*width) && sound(*height) {
        return Ok(());
    }
    Err(PageError::Size { title: title.clone(), width: *width, height: *height })
}

/// A page before it gets its furniture.
struct Sheet {
    frame: Frame,
    windows: Vec<Window>,
    /// The grid it is cut from, with column and row.
    cut: Option<(Grid, usize, usize)>,
}

impl Sheet {
    fn order(&self) -> usize {
        self.windows.iter().map(|window| window.pattern).min().unwrap_or(0)
    }

    fn into_page(self, patterns: &[Drawing], number: (usize, usize), units: Units) -> Page {
        let Frame { paper, scale, printable, room } = self.frame;
        let shown = || self.windows.iter().filter_map(|w| Some((w, patterns.get(w.pattern)?)));
        let map = match (&self.cut, shown().next()) {
            (Some((grid, column, row)), Some((_, pattern))) => {
                Map::of_grid(grid, *column, *row, pattern)
            }
            _ => Map::of_page(room, shown().map(|(window, pattern)| (window.at, pattern))),
        };
        let mut furniture = furniture::footer(&Footer {
            units,
            printable,
            titles: shown().map(|(_, pattern)| pattern.title.as_str()).collect(),
            name: self.windows.first().map_or("", |window| &window.name),
            number,
            first: self.cut.is_none_or(|(_, column, row)| column + row == 0),
            has_seams: self.cut.is_some_and(|(grid, ..)| grid.pages() > 1),
            map,
        });
        if self.cut.is_none() {
            let captions =
                shown().map(|(w, pattern)| furniture::caption(w.place(), &pattern.title));
            furniture.extend(captions);
        }
        Page { paper, scale, printable, room, windows: self.windows, furniture }
    }
}

/// The pages of a pattern that needs a grid.
fn cut(
    index: usize,
    pattern: &Drawing,
    frames: &[Frame; 2],
    overlap: f64,
) -> Result<Vec<Sheet>, PageError> {
    let size = Size::new(pattern.width, pattern.height);
    let [upright, turned] =
        frames.map(|frame| (frame, Grid::new(size, frame.room.size(), overlap)));
    let (frame, grid) = if turned.1.pages() < upright.1.pages() { turned } else { upright };
    if grid.pages() > MOST_PAGES {
        let Drawing { title, width, height, .. } = pattern.clone();
        return Err(PageError::TooLarge { title, width, height });
    }
    let sheets = grid.places().map(|(column, row)| {
        let source = grid.window(column, row);
        let window = Window {
            pattern: index,
            name: page_name(column, row),
            source,
            at: Point::new(frame.room.x0, frame.room.y1 - source.height()),
            seams: seam::seams(&grid, column, row),
        };
        Sheet { frame, windows: vec![window], cut: Some((grid, column, row)) }
    });
    Ok(sheets.collect())
}

/// Pages shared by patterns that fit one whole: each, the tallest first, goes on the first page
/// that has room for it.
fn share(mut small: Vec<(usize, &Drawing)>, frames: &[Frame; 2]) -> Vec<Sheet> {
    small.sort_by(|(_, a), (_, b)| b.height.total_cmp(&a.height));
    let mut pages: Vec<(Shelves, Sheet)> = Vec::new();
    for (index, pattern) in small {
        let on_open_page =
            pages.iter_mut().find_map(|(page, sheet)| Some((page.put(boxed(pattern))?, sheet)));
        if let Some((place, sheet)) = on_open_page {
            sheet.windows.push(whole(index, pattern, place));
            continue;
        }
        for frame in frames {
            let mut page = Shelves::new(frame.room);
            if let Some(place) = page.put(boxed(pattern)) {
                let windows = vec![whole(index, pattern, place)];
                pages.push((page, Sheet { frame: *frame, windows, cut: None }));
                break;
            }
        }
    }
    pages.into_iter().map(|(_, sheet)| sheet).collect()
}

/// What a pattern takes on a shared page: its caption stands above it.
fn boxed(pattern: &Drawing) -> Size {
    Size::new(pattern.width, pattern.height + CAPTION)
}

fn whole(index: usize, pattern: &Drawing, place: Rect) -> Window {
    Window {
        pattern: index,
        name: page_name(0, 0),
        source: Size::new(pattern.width, pattern.height).to_rect(),
        at: place.origin(),
        seams: Vec::new(),
    }
}
