//! Where pages meet: seam lines, and the marks by which two pages are laid true.
//!
//! All of it stands at fixed places of the pattern, so that both neighbors show the same.

use kurbo::{Point, Rect, Vec2};

use super::grid::{Grid, page_name};
use crate::drawing::{Anchor, Item, Line, Path, Text, cap_height};
use crate::kernel::{Contour, Vertex};
use crate::shop::LEAST_OVERLAP;

/// Half a diamond's diagonal, in mm.
const DIAMOND: f64 = 2.5;

// A diamond stands whole on both of two pages that have the least in common.
const _: () = assert!(2.0 * DIAMOND + 1.0 <= LEAST_OVERLAP);

/// About how far apart the diamonds of a seam stand, in mm.
const SPACING: f64 = 60.0;

/// Between a mark and its letters, in mm.
const CLEAR: f64 = 0.6;

const LETTER: f64 = 2.2;

/// The seam lines and marks that the page at `column`, `row` shows, in mm of the pattern.
pub(super) fn seams(grid: &Grid, column: usize, row: usize) -> Vec<Item> {
    let window = grid.window(column, row);
    let mut items = Vec::new();
    // The window reaches half an overlap past its cell, into the neighbors' marks.
    let near = |at: usize, count: usize| at.saturating_sub(1)..(at + 2).min(count);
    for c in near(column, grid.columns) {
        for r in near(row, grid.rows) {
            let cell = grid.cell(c, r);
            if c + 1 < grid.columns {
                let names = [page_name(c, r), page_name(c + 1, r)];
                items.extend(upright_seam(cell, window, &names));
            }
            if r + 1 < grid.rows {
                let names = [page_name(c, r), page_name(c, r + 1)];
                items.extend(level_seam(cell, window, &names));
            }
        }
    }
    items
}

/// The seam along the right side of `cell`, between the pages named left and right.
fn upright_seam(cell: Rect, window: Rect, names: &[String; 2]) -> Vec<Item> {
    let mut items = vec![line(Point::new(cell.x1, cell.y1), Point::new(cell.x1, cell.y0))];
    for (number, y) in spread(cell.y1, cell.y0) {
        let at = Point::new(cell.x1, y);
        if !window.inflate(DIAMOND, DIAMOND).contains(at) {
            continue;
        }
        items.extend(diamond(at));
        let [left, right] = names;
        for (name, side, anchor) in [(left, -CLEAR, Anchor::End), (right, CLEAR, Anchor::Start)] {
            let above = at + Vec2::new(side, DIAMOND + CLEAR);
            let below = at + Vec2::new(side, -DIAMOND - CLEAR - cap_height(LETTER));
            items.push(text(name.clone(), above, anchor));
            items.push(text(number.to_string(), below, anchor));
        }
    }
    items
}

/// The seam along the bottom of `cell`, between the pages named above and below.
fn level_seam(cell: Rect, window: Rect, names: &[String; 2]) -> Vec<Item> {
    let mut items = vec![line(Point::new(cell.x0, cell.y0), Point::new(cell.x1, cell.y0))];
    for (number, x) in spread(cell.x0, cell.x1) {
        let at = Point::new(x, cell.y0);
        if !window.inflate(DIAMOND, DIAMOND).contains(at) {
            continue;
        }
        items.extend(diamond(at));
        let [upper, lower] = names;
        for (name, rise) in [(upper, CLEAR), (lower, -CLEAR - cap_height(LETTER))] {
            let before = at + Vec2::new(-DIAMOND - CLEAR, rise);
            let behind = at + Vec2::new(DIAMOND + CLEAR, rise);
            items.push(text(number.to_string(), before, Anchor::End));
            items.push(text(name.clone(), behind, Anchor::Start));
        }
    }
    items
}

/// At least two places along a seam from `from` to `to`, evenly, with their numbers.
fn spread(from: f64, to: f64) -> impl Iterator<Item = (usize, f64)> {
    let count = ((to - from).abs() / SPACING).round().max(2.0);
    (0..count as usize).map(move |i| (i + 1, from + (to - from) * (i as f64 + 0.5) / count))
}

/// A diamond with two opposite quarters filled: its middle is a point, and half of it on each
/// page tells at a glance whether the halves belong together.
fn diamond(at: Point) -> Vec<Item> {
    let corner = |x: f64, y: f64| Vertex::line(at.x + x * DIAMOND, at.y + y * DIAMOND);
    let (right, top, left, bottom) =
        (corner(1.0, 0.0), corner(0.0, 1.0), corner(-1.0, 0.0), corner(0.0, -1.0));
    let middle = corner(0.0, 0.0);
    let quarters = [[middle, top, left], [middle, bottom, right]];
    let edge = Contour::new([right, top, left, bottom])
        .map(|c| Item::Stroke { line: Line::Furniture, path: Path::Closed(c) });
    quarters.into_iter().filter_map(Contour::new).map(Item::Fill).chain(edge).collect()
}

fn line(from: Point, to: Point) -> Item {
    Item::Stroke { line: Line::Seam, path: Path::line(from, to) }
}

fn text(text: String, at: Point, anchor: Anchor) -> Item {
    Item::Text(Text { at, text, size: LETTER, anchor, turn: 0.0, bold: true })
}
