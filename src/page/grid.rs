//! Cutting one pattern into windows that overlap.

use kurbo::{Rect, Size};

use crate::length::letters;
use crate::tolerance;

/// A pattern cut into equal windows, columns from the left and rows from the top.
///
/// Millimeters of the pattern, y up, the origin at the pattern's lower left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grid {
    pub columns: usize,
    pub rows: usize,
    /// The whole pattern.
    pattern: Size,
    /// One window.
    window: Size,
    overlap: f64,
}

impl Grid {
    /// The fewest windows no larger than `room` that cover a pattern of size `pattern` when
    /// neighbors have `overlap` in common. They are made equal, so that no page is left with a
    /// sliver.
    pub(super) fn new(pattern: Size, room: Size, overlap: f64) -> Self {
        let (columns, width) = share(pattern.width, room.width, overlap);
        let (rows, height) = share(pattern.height, room.height, overlap);
        Self { columns, rows, pattern, window: Size::new(width, height), overlap }
    }

    /// How many windows there are.
    pub(super) fn pages(&self) -> usize {
        self.columns.saturating_mul(self.rows)
    }

    /// Every column and row, in the order pages are printed: along the top row, then the next.
    pub(super) fn places(self) -> impl Iterator<Item = (usize, usize)> {
        (0..self.rows).flat_map(move |row| (0..self.columns).map(move |column| (column, row)))
    }

    /// What the page at `column`, `row` shows.
    pub(super) fn window(&self, column: usize, row: usize) -> Rect {
        let left = column as f64 * self.step().width;
        let top = self.pattern.height - row as f64 * self.step().height;
        Rect::new(left, top - self.window.height, left + self.window.width, top)
    }

    /// What the page at `column`, `row` gives to the whole once the pages are cut at the seams.
    pub(super) fn cell(&self, column: usize, row: usize) -> Rect {
        let window = self.window(column, row);
        let half = self.overlap / 2.0;
        let inset = |has_seam: bool| if has_seam { half } else { 0.0 };
        Rect::new(
            window.x0 + inset(column > 0),
            window.y0 + inset(row + 1 < self.rows),
            window.x1 - inset(column + 1 < self.columns),
            window.y1 - inset(row > 0),
        )
    }

    fn step(&self) -> Size {
        self.window - Size::new(self.overlap, self.overlap)
    }
}

/// How many windows of at most `room` share `length`, and how long each is.
fn share(length: f64, room: f64, overlap: f64) -> (usize, f64) {
    let count = ((length - overlap - tolerance::CLOSING) / (room - overlap)).ceil().max(1.0);
    (count as usize, (length + (count - 1.0) * overlap) / count)
}

/// The name of a page: column letters (A … Z, AA, AB …) and row number from 1.
pub(super) fn page_name(column: usize, row: usize) -> String {
    format!("{}{}", letters(column), row + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_lettered_like_a_spreadsheet() {
        assert_eq!(page_name(0, 0), "A1");
        assert_eq!(page_name(25, 9), "Z10");
        assert_eq!(page_name(26, 0), "AA1");
        assert_eq!(page_name(26 + 26 * 26, 0), "AAA1");
    }

    #[test]
    fn a_length_that_just_fits_needs_no_second_window() {
        assert_eq!(share(190.0, 100.0, 10.0), (2, 100.0));
        assert_eq!(share(190.1, 100.0, 10.0).0, 3);
        assert_eq!(share(5.0, 100.0, 10.0), (1, 5.0));
    }
}
