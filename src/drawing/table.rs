//! Framed tables of text: the title block and the legend.

use kurbo::{Point, Rect};

use super::canvas::{Canvas, Label};
use super::{Line, text_end};

/// Letter size of a note, in mm.
pub(super) const NOTE: f64 = 3.5;

/// White inside the frame, in mm.
const PAD: f64 = 2.5;

/// From one baseline to the next, in letter sizes; between rows a little more, in mm.
const LEADING: f64 = 1.4;
const ROW_GAP: f64 = 0.6;

/// Rows of a key and a text that is wrapped to the table's width.
#[derive(Debug, Clone)]
pub(super) struct Table {
    /// Outer width, in mm.
    pub width: f64,
    /// Width of the keys' column, in mm.
    pub key_width: f64,
    pub rows: Vec<TableRow>,
}

/// One row; without a key its text runs the full width.
#[derive(Debug, Clone)]
pub(super) struct TableRow {
    pub key: Option<Label>,
    pub text: Label,
}

impl TableRow {
    /// A text the full width of the table.
    pub(super) fn wide(text: Label) -> Self {
        Self { key: None, text }
    }

    /// A key with what it stands for.
    pub(super) fn keyed(key: Label, text: impl Into<String>) -> Self {
        Self { key: Some(key), text: Label::new(text, NOTE) }
    }
}

impl Table {
    /// Height with the frame, in mm.
    pub(super) fn height(&self) -> f64 {
        2.0 * PAD + self.rows.iter().map(|row| self.row_height(row)).sum::<f64>()
    }

    fn row_height(&self, row: &TableRow) -> f64 {
        self.lines(row).len() as f64 * pitch(row) + ROW_GAP
    }

    /// The same rows in as many tables as it takes for none to be higher than `most` mm, as far as rows go.
    pub(super) fn no_higher_than(self, most: f64) -> Vec<Self> {
        let heights: Vec<f64> = self.rows.iter().map(|row| self.row_height(row)).collect();
        let Self { width, key_width, rows } = self;
        let mut tables = vec![Self { width, key_width, rows: Vec::new() }];
        let mut taken = 0.0;
        for (row, height) in rows.into_iter().zip(heights) {
            taken += height;
            match tables.last_mut() {
                Some(last) if last.rows.is_empty() || 2.0 * PAD + taken <= most => {
                    last.rows.push(row);
                }
                _ => {
                    taken = height;
                    tables.push(Self { width, key_width, rows: vec![row] });
                }
            }
        }
        tables
    }

    /// Draws the table, its upper left corner at `corner`.
    pub(super) fn draw(&self, canvas: &mut Canvas, corner: Point) {
        let (right, bottom) = (corner.x + self.width, corner.y - self.height());
        canvas.rectangle(Line::Furniture, Rect::new(corner.x, bottom, right, corner.y));
        let mut y = corner.y - PAD;
        for row in &self.rows {
            let left = corner.x + PAD;
            let text_left = left + self.indent(row);
            for (i, line) in self.lines(row).into_iter().enumerate() {
                y -= pitch(row);
                let baseline = y + pitch(row) * 0.3;
                if let (0, Some(key)) = (i, &row.key) {
                    canvas.write_from(key, Point::new(left, baseline));
                }
                canvas.write_from(
                    &Label { text: line, ..row.text.clone() },
                    Point::new(text_left, baseline),
                );
            }
            y -= ROW_GAP;
        }
    }

    fn indent(&self, row: &TableRow) -> f64 {
        if row.key.is_some() { self.key_width } else { 0.0 }
    }

    fn lines(&self, row: &TableRow) -> Vec<String> {
        let width = self.width - 2.0 * PAD - self.indent(row);
        wrap(&row.text.text, row.text.size, row.text.bold, width)
    }
}

fn pitch(row: &TableRow) -> f64 {
    row.text.size * LEADING
}

/// `text` in lines no wider than `width` mm, broken at spaces; a word wider than that is broken
/// anywhere. Empty for blank text.
pub(super) fn wrap(text: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    let end = |from: f64, text: &str| text_end(from, text, size, bold);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut taken = 0.0;
    for word in unbroken(text) {
        let between = if line.is_empty() { "" } else { " " };
        let longer = end(end(taken, between), &word);
        if longer <= width {
            taken = longer;
            line.extend([between, &word]);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        taken = 0.0;
        for letter in word.chars() {
            let mut bytes = [0; 4];
            let letter: &str = letter.encode_utf8(&mut bytes);
            taken = end(taken, letter);
            if taken > width && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                taken = end(0.0, letter);
            }
            line.push_str(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The words of a text; a whole number stays with the fraction behind it.
fn unbroken(text: &str) -> Vec<String> {
    let digits = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    let fraction = |word: &str| {
        word.split_once('/').is_some_and(|(over, under)| {
            digits(over) && under.starts_with(|c: char| c.is_ascii_digit())
        })
    };
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if fraction(word) && last.ends_with(|c: char| c.is_ascii_digit()) => {
                *last = format!("{last} {word}");
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::text_width;

    #[test]
    fn text_is_wrapped_between_words_and_long_words_anywhere() {
        assert_eq!(wrap("against the wall", 3.5, false, 17.0), ["against", "the wall"]);
        assert_eq!(wrap("slot 5 1/4 in", 3.5, false, 14.0), ["slot", "5 1/4 in"]);
        assert!(wrap("", 3.5, false, 20.0).is_empty());
        let lines = wrap(&"M".repeat(40), 3.5, true, 20.0);
        assert!(lines.len() > 3 && lines.iter().all(|l| text_width(l, 3.5, true) <= 20.0));
        assert_eq!(lines.concat().len(), 40);
    }
}
