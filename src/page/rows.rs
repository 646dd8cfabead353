//! Tables on paper: columns as wide as their words ask, rows as bands, the head again on each page.

use std::rc::Rc;

use kurbo::Point;

use super::band::{Band, together};
use super::wording::{self, Hand, SetWord};
use crate::document::{Inline, Listing, Phrase};
use crate::drawing::Line;
use crate::length::Units;

/// Letters in a table.
const CELL: Hand = Hand { size: 3.0, bold: false };
const HEAD: Hand = Hand { size: 2.8, bold: true };

/// White between two columns, and above and below the words of a row, in mm.
const GUTTER: f64 = 3.0;
const PAD: f64 = 0.7;

/// White before a table, in mm.
const BEFORE: f64 = 2.0;

/// A table as bands no wider than `width`.
pub(super) fn table(listing: &Listing, units: Units, width: f64) -> Vec<Band> {
    let head = listing.head.iter().map(|word| wording::words(&Phrase::from(*word), units, HEAD));
    let head: Vec<Vec<SetWord>> = head.collect();
    let words = |cell: &Phrase| wording::words(cell, units, CELL);
    let rows: Vec<Vec<Vec<SetWord>>> =
        listing.rows.iter().map(|cells| cells.iter().map(words).collect()).collect();
    let columns = columns(&head, &rows, width);
    let mut top = row(head, HEAD, &columns, Line::Outline);
    // A head of several lines is one band, for it is set again on other pages.
    let mut head = Band { keeps: true, before: BEFORE, ..Band::default() };
    for line in &mut top {
        head.items.extend(line.moved((0.0, -head.height).into()));
        head.height += line.height;
    }
    let again = Rc::new(Band { items: head.items.clone(), height: head.height, ..Band::default() });
    let rows = rows.into_iter().flat_map(|cells| row(cells, CELL, &columns, Line::Furniture));
    let rows = rows.map(|band| Band { head: Some(Rc::clone(&again)), ..band });
    std::iter::once(head).chain(rows).collect()
}

/// Where each column begins, and how wide it is.
type Columns = Vec<(f64, f64)>;

/// Each column as wide as its words in one line where there is room for all; else those that want least get that, and the
/// others share what is left, each with room for its widest word.
fn columns(head: &[Vec<SetWord>], rows: &[Vec<Vec<SetWord>>], width: f64) -> Columns {
    let wants = head.iter().enumerate().map(|(at, title)| {
        let cells =
            rows.iter().filter_map(|row| row.get(at)).map(|cell| wording::widths(cell, CELL));
        let [line, word] = wording::widths(title, HEAD);
        // A head may stand in two lines.
        cells.fold([word.max(line / 2.0), word], |[line, word], [l, w]| [line.max(l), word.max(w)])
    });
    let wants: Vec<[f64; 2]> = wants.collect();
    let mut x = 0.0;
    let place = |wide: f64| {
        let at = x;
        x += wide + GUTTER;
        // A hair more than was measured.
        (at, wide + 1e-6)
    };
    shares(&wants, width - GUTTER * head.len().saturating_sub(1) as f64)
        .into_iter()
        .map(place)
        .collect()
}

/// `room` shared out: to each what it wants for its line and for its widest word.
fn shares(wants: &[[f64; 2]], room: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wants.len()).collect();
    order.sort_by(|a, b| wants[*a][0].total_cmp(&wants[*b][0]));
    let words = |of: &[usize]| of.iter().map(|at| wants[*at][1]).sum::<f64>();
    let (mut left, mut shares) = (room, vec![0.0; wants.len()]);
    for (at, index) in order.iter().enumerate() {
        let (others, [line, word]) = (&order[at + 1..], wants[*index]);
        let fair = left / (others.len() + 1) as f64;
        // What the others need for their words is not taken from them.
        let most = (left - words(others)).max(0.0);
        let share = line.min(fair.max(word)).min(most);
        shares[*index] = share;
        left -= share;
    }
    shares
}

/// A row as a band for each of its lines, a rule below the last.
fn row(cells: Vec<Vec<SetWord>>, hand: Hand, columns: &Columns, rule: Line) -> Vec<Band> {
    let cells = cells.into_iter().zip(columns);
    let cells = cells.map(|(words, (_, wide))| wording::lines(words, hand, *wide));
    let cells: Vec<Vec<Vec<SetWord>>> = cells.collect();
    let lines = cells.iter().map(Vec::len).max().unwrap_or_default().max(1);
    let end = columns.last().map_or(0.0, |(at, wide)| at + wide);
    let bands = (0..lines).map(|at| {
        let (first, last) = (at == 0, at + 1 == lines);
        let above = if first { PAD } else { 0.0 };
        let below = if last { PAD } else { 0.0 };
        let mut band = Band { height: hand.pitch() + above + below, ..Band::default() };
        for (cell, (x, _)) in cells.iter().zip(columns) {
            if let Some(line) = cell.get(at) {
                band.write(line, hand, Point::new(*x, -above - hand.fall()));
            }
        }
        if last {
            band.rule(rule, (0.0, end), band.height);
        }
        band
    });
    together(bands.collect())
}

/// Whether a phrase says anything on paper.
pub(super) fn says(phrase: &Phrase) -> bool {
    phrase.0.iter().any(|inline| !matches!(inline, Inline::Picture(_)))
}
