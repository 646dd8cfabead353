//! Where pages meet: seam lines, and the marks by which two pages are laid true.
//!
//! All of it stands at fixed places of the pattern, so that both neighbors show the same.

use kurbo::{Point, Rect, Vec2};

use super::spread::{Pane, Spread};
use crate::drawing::{Anchor, DIAMOND, Item, Line, Path, Text, cap_height, seam_mark};
use crate::length::letters;
use crate::shop::LEAST_OVERLAP;

// A diamond stands whole on both of two pages that have the least in common.
const _: () = assert!(2.0 * DIAMOND + 1.0 <= LEAST_OVERLAP);

/// About how far apart the diamonds of a seam stand, in mm.
const SPACING: f64 = 60.0;

/// Between a mark and its letters, in mm.
const CLEAR: f64 = 0.6;

const LETTER: f64 = 2.2;

/// Where two pages are cut and joined, in mm of the pages laid side by side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Seam {
    /// Its left end, or its upper one.
    pub from: Point,
    pub to: Point,
    /// The names of the pages left and right of it, or above and below.
    names: [String; 2],
}

/// The name of a page: column letters (A … Z, AA, AB …) and row number from 1.
pub(super) fn page_name(pane: &Pane) -> String {
    format!("{}{}", letters(pane.column), pane.row + 1)
}

/// All seams of a pattern, in the middle of what pages have in common.
pub(super) fn seams(spread: &Spread, overlap: f64) -> Vec<Seam> {
    spread.panes.iter().flat_map(|pane| of_pane(spread, pane, overlap / 2.0)).collect()
}

/// The seams at the right of a page and below it.
fn of_pane(spread: &Spread, pane: &Pane, half: f64) -> Vec<Seam> {
    let has = |column: Option<usize>, row: Option<usize>| {
        spread.panes.iter().any(|p| (Some(p.column), Some(p.row)) == (column, row))
    };
    let (column, row) = (pane.column, pane.row);
    let area = pane.area;
    // A seam ends where another crosses it, and runs on to the ends of pages that have no neighbor there.
    let inset = |meets: bool| if meets { half } else { 0.0 };
    let [right, below] = spread.next_to(pane);
    let at_right = right.map(|next| {
        let meets = |row: Option<usize>| has(Some(column), row) || has(Some(column + 1), row);
        let x = area.x1 - half;
        let top = area.y1 - inset(meets(row.checked_sub(1)));
        let foot = area.y0 + inset(meets(Some(row + 1)));
        Seam {
            from: Point::new(x, top),
            to: Point::new(x, foot),
            names: [pane, next].map(page_name),
        }
    });
    let under = below.map(|next| {
        let meets = |column: Option<usize>| has(column, Some(row)) || has(column, Some(row + 1));
        let y = area.y0 + half;
        let left = area.x0 + inset(meets(column.checked_sub(1)));
        let end = area.x1 - inset(meets(Some(column + 1)));
        Seam {
            from: Point::new(left, y),
            to: Point::new(end, y),
            names: [pane, next].map(page_name),
        }
    });
    at_right.into_iter().chain(under).collect()
}

/// What a page that shows `window` has of `seams`: lines and marks.
pub(super) fn marked(seams: &[Seam], window: Rect) -> Vec<Item> {
    let near = window.inflate(DIAMOND, DIAMOND);
    seams.iter().flat_map(|seam| seam.items(near)).collect()
}

impl Seam {
    fn is_upright(&self) -> bool {
        self.from.x == self.to.x
    }

    fn items(&self, near: Rect) -> Vec<Item> {
        let reached = Rect::from_points(self.from, self.to).inflate(DIAMOND, DIAMOND);
        if !near.overlaps(reached) {
            return Vec::new();
        }
        let line = Item::Stroke { line: Line::Seam, path: Path::line(self.from, self.to) };
        let marks = self.places().filter(|(_, at)| near.contains(*at));
        std::iter::once(line).chain(marks.flat_map(|(number, at)| self.mark(number, at))).collect()
    }

    /// At least two places along it, evenly, with their numbers.
    fn places(&self) -> impl Iterator<Item = (usize, Point)> + '_ {
        let count = ((self.to - self.from).hypot() / SPACING).round().max(2.0);
        let share = move |i: usize| (i as f64 + 0.5) / count;
        (0..count as usize).map(move |i| (i + 1, self.from.lerp(self.to, share(i))))
    }

    /// A diamond with the names of both pages and its number on both of them.
    fn mark(&self, number: usize, at: Point) -> Vec<Item> {
        let [first, second] = self.names.clone();
        let number = number.to_string();
        let under = -CLEAR - cap_height(LETTER);
        let texts = if self.is_upright() {
            let (up, down) = (DIAMOND + CLEAR, under - DIAMOND);
            [
                (first, -CLEAR, up, Anchor::End),
                (number.clone(), -CLEAR, down, Anchor::End),
                (second, CLEAR, up, Anchor::Start),
                (number, CLEAR, down, Anchor::Start),
            ]
        } else {
            let aside = DIAMOND + CLEAR;
            [
                (number.clone(), -aside, CLEAR, Anchor::End),
                (first, aside, CLEAR, Anchor::Start),
                (number, -aside, under, Anchor::End),
                (second, aside, under, Anchor::Start),
            ]
        };
        let text = |(text, x, y, anchor)| {
            let at = at + Vec2::new(x, y);
            Item::Text(Text { at, text, size: LETTER, anchor, turn: 0.0, bold: true })
        };
        seam_mark(at).into_iter().chain(texts.map(text)).collect()
    }
}
