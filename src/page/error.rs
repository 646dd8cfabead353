//! What keeps something from paper, and how much a page has room for.

use kurbo::Size;

use super::frame::frames;
use super::{Printer, PrinterError};
use crate::holder::Explain;
use crate::length::Units;

/// The most pages one pattern may take.
pub(super) const MOST_PAGES: usize = 500;

/// Why patterns cannot be laid out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum PageError {
    #[error(transparent)]
    Printer(#[from] PrinterError),
    #[error(
        "the pattern {title:?}, {width:.0} × {height:.0} mm, would take more than {MOST_PAGES} \
         pages"
    )]
    TooLarge { title: String, width: f64, height: f64 },
    #[error("{title:?} has no room on a page")]
    NoRoom { title: String },
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
            Self::NoRoom { title } => {
                format!("\"{title}\" has no room on a page. Name a larger paper.")
            }
            Self::Printer(PrinterError::Scale { .. }) => self.to_string(),
        }
    }
}

/// What an upright page has room for, in mm.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn room(printer: &Printer) -> Result<Size, PageError> {
    let [upright, _] = frames(printer)?;
    Ok(upright.printable.size())
}
