//! How one page is divided: the paper, what the printer reaches of it, and the room for drawings.

use kurbo::{Rect, Size, Vec2};

use super::Printer;
use crate::shop::{FOOT_STRIP, LEAST_WIDTH, LEFT_STRIP};

/// A page of a printer, upright or turned.
///
/// Lengths are true: mm as they come out of the printer, from the paper's lower left corner.
/// Only `paper` is in the mm of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    /// The page box, in mm of the file.
    pub paper: Size,
    /// What the printer makes of 1 along the page's x and y.
    pub scale: Vec2,
    /// What the printer reaches.
    pub printable: Rect,
    /// What is left for drawings when the furniture has its strips.
    pub room: Rect,
}

/// Figures of a printer that no page can be laid out with.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub(crate) enum PrinterError {
    #[error(
        "a margin of {margin} mm leaves {left:.1} mm of the paper's width: the bars and names on \
         a page need {need} mm. Make the margin at most {most:.1} mm"
    )]
    Margin { margin: f64, left: f64, need: f64, most: f64 },
    #[error(
        "pages cannot overlap by {overlap} mm: make it at least {least} mm, so that the seam \
         marks fit, and at most {most:.1} mm, half the room on a page"
    )]
    Overlap { overlap: f64, least: f64, most: f64 },
    #[error(
        "a printer scale of {scale} is not believable: what 100 mm comes out as, divided by 100, \
         lies between {least} and {most}"
    )]
    Scale { scale: f64, least: f64, most: f64 },
}

/// The page upright and the page turned.
pub(super) fn frames(printer: &Printer) -> Result<[Frame; 2], PrinterError> {
    check_scale(printer.scale_x)?;
    check_scale(printer.scale_y)?;
    check_margin(printer)?;
    let fits = printer.overlaps();
    if !fits.contains(&printer.overlap) {
        let (least, most) = fits.into_inner();
        return Err(PrinterError::Overlap { overlap: printer.overlap, least, most });
    }
    Ok([false, true].map(|turned| frame(printer, turned)))
}

fn check_scale(scale: f64) -> Result<(), PrinterError> {
    const LEAST: f64 = 0.9;
    const MOST: f64 = 1.1;
    if (LEAST..=MOST).contains(&scale) {
        return Ok(());
    }
    Err(PrinterError::Scale { scale, least: LEAST, most: MOST })
}

/// The short side is what the margin must leave enough of.
fn check_margin(printer: &Printer) -> Result<(), PrinterError> {
    let (need, most) = (LEAST_WIDTH, printer.most_margin());
    if (0.0..=most).contains(&printer.margin) {
        return Ok(());
    }
    let scale = printer.scale_x.min(printer.scale_y);
    let left = ((printer.paper.size().width - 2.0 * printer.margin) * scale).max(0.0);
    Err(PrinterError::Margin { margin: printer.margin, left, need, most })
}

/// A turned page still goes through the printer upright, so its x runs along the paper's long
/// side and takes that side's scale.
fn frame(printer: &Printer, turned: bool) -> Frame {
    let (upright, scale) = (printer.paper.size(), Vec2::new(printer.scale_x, printer.scale_y));
    let (paper, scale) = if turned {
        (Size::new(upright.height, upright.width), Vec2::new(scale.y, scale.x))
    } else {
        (upright, scale)
    };
    let reached = paper.to_rect().inflate(-printer.margin, -printer.margin);
    let printable = Rect::new(
        reached.x0 * scale.x,
        reached.y0 * scale.y,
        reached.x1 * scale.x,
        reached.y1 * scale.y,
    );
    Frame { paper, scale, printable, room: room(printable) }
}

/// What the strips of furniture leave of the printable area.
fn room(printable: Rect) -> Rect {
    Rect { x0: printable.x0 + LEFT_STRIP, y0: printable.y0 + FOOT_STRIP, ..printable }
}
