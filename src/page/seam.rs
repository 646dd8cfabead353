//! Where pages meet: seam lines, and the marks by which two pages are laid true.
//!
//! All of it stands at fixed places of the pattern, so that both neighbors show the same.

use kurbo::{Point, Rect, Size, Vec2};

use super::spread::{Pane, Spread, turning};
use crate::drawing::{Anchor, DIAMOND, Item, Line, Path, Text, cap_height, seam_mark, text_width};
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
    /// Where its diamonds stand.
    places: Vec<Point>,
}

/// The name of a page: column letters (A … Z, AA, AB …) and row number from 1.
pub(super) fn page_name(pane: &Pane) -> String {
    format!("{}{}", letters(pane.column), pane.row + 1)
}

/// All seams of a pattern with lines through `ink`, in the middle of what pages have in common.
pub(super) fn seams(spread: &Spread, overlap: f64, ink: &[Point]) -> Vec<Seam> {
    let map = turning(spread.turn);
    let ink: Vec<Point> = ink.iter().map(|at| map * *at).collect();
    let of_pane = |pane| of_pane(spread, pane, overlap / 2.0);
    let mut seams: Vec<Seam> = spread.panes.iter().flat_map(of_pane).collect();
    seams.iter_mut().for_each(|seam| seam.places = seam.clear_places(&ink));
    seams
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
            places: Vec::new(),
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
            places: Vec::new(),
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
        let marks = self.places.iter().enumerate().filter(|(_, at)| near.contains(**at));
        std::iter::once(line).chain(marks.flat_map(|(i, at)| self.mark(i + 1, *at))).collect()
    }

    /// What the diamonds and their letters take.
    pub(super) fn marks(&self) -> impl Iterator<Item = Rect> + '_ {
        self.places.iter().map(|at| Rect::from_center_size(*at, self.extent()))
    }

    /// Width and height of a mark with its letters.
    fn extent(&self) -> Size {
        const LETTERS: f64 = LETTER + CLEAR + 0.4;
        let names = self.names.iter().map(|name| text_width(name, LETTER, true));
        let name = names.fold(0.0, f64::max) + CLEAR + 0.4;
        if self.is_upright() {
            Size::new(2.0 * name.max(DIAMOND), 2.0 * (DIAMOND + LETTERS))
        } else {
            Size::new(2.0 * (DIAMOND + name), 2.0 * DIAMOND.max(LETTERS))
        }
    }

    /// At least two places along it, about evenly, where there is no ink if that can be.
    fn clear_places(&self, ink: &[Point]) -> Vec<Point> {
        let way = self.to - self.from;
        let length = way.hypot();
        let count = (length / SPACING).round().max(2.0);
        let (ahead, room) = (way / length, self.extent());
        let reach = length / count / 2.0 - room.width.max(room.height) / 2.0;
        let near: Vec<&Point> = ink.iter().filter(|at| self.is_near(**at, room)).collect();
        let clear = |at: &Point| {
            let area = Rect::from_center_size(*at, room);
            !near.iter().any(|ink| area.contains(**ink))
        };
        let place = |i: usize| {
            let middle = self.from.lerp(self.to, (i as f64 + 0.5) / count);
            let shifts = (0..).map(|i| f64::from(i / 2) * if i % 2 == 0 { 2.0 } else { -2.0 });
            let shifts = shifts.take_while(|shift| shift.abs() <= reach.max(0.0));
            shifts.map(|shift| middle + ahead * shift).find(clear).unwrap_or(middle)
        };
        (0..count as usize).map(place).collect()
    }

    fn is_near(&self, at: Point, room: Size) -> bool {
        Rect::from_points(self.from, self.to).inflate(room.width, room.height).contains(at)
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
