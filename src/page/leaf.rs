//! Pictures on paper: side by side in their order, nothing round them.

use kurbo::{Point, Rect, Size, Vec2};

use super::frame::{Frame, frames};
use super::shelf::Shelves;
use super::{Page, PageError, Printer, Window};
use crate::drawing::Drawing;

/// The pages that take `pictures`, each shown once, whole and at its own size; one larger than a page loses what lies
/// beyond it.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn leaves(pictures: &[Drawing], printer: &Printer) -> Result<Vec<Page>, PageError> {
    let [upright, _] = frames(printer)?;
    let mut pages: Vec<Page> = Vec::new();
    let mut shelves = Shelves::new(upright.printable);
    for (at, picture) in pictures.iter().enumerate() {
        let size = Size::new(picture.width, picture.height);
        let known = pages.last_mut().and_then(|page| Some((shelves.put(size)?, page)));
        if let Some((place, page)) = known {
            page.windows.push(window(at, size, place));
            continue;
        }
        shelves = Shelves::new(upright.printable);
        let at_top = Point::new(upright.printable.x0, upright.printable.y1 - size.height);
        let place = shelves.put(size).unwrap_or(Rect::from_origin_size(at_top, size));
        pages.push(Page { windows: vec![window(at, size, place)], ..blank(upright) });
    }
    Ok(pages)
}

fn window(pattern: usize, size: Size, place: Rect) -> Window {
    let source = Rect::from_origin_size(Point::ORIGIN, size);
    Window { pattern, name: String::new(), source, at: place.origin(), seams: Vec::new() }
}

fn blank(Frame { paper, printable, .. }: Frame) -> Page {
    // A picture need not be true to size: the printer's scale is left alone.
    let scale = Vec2::new(1.0, 1.0);
    Page {
        paper,
        scale,
        printable,
        room: printable,
        windows: Vec::new(),
        bars: Vec::new(),
        furniture: Vec::new(),
    }
}
