//! From parts to pieces and the blanks they are sawn as.

use std::sync::Arc;

use kurbo::Rect;

use super::super::index::RowIndex;
use super::super::measure::micrometers;
use crate::holder::{Grain, Holder, MadeBy, Part, PartOf};
use crate::kernel::Contour;
use crate::length::letters;
use crate::shop::{Shop, StockKind, StockRow};
use crate::tolerance;

/// A side of a part's bounds is straight where straight edges lie along at least this share of
/// it: it is sawn to size and needs no allowance. Common practice, no source.
const STRAIGHT: f64 = 0.25;

/// One piece of one part.
#[derive(Debug, Clone)]
pub(crate) struct CutPiece {
    /// What it is called throughout: A, B, … Z, AA, AB …
    pub letter: String,
    /// What it is a piece of.
    pub part: PartOf,
    /// Counted from 1 over the pieces of the part.
    pub number: usize,
    /// What it is sawn as; `None` for what is made by CNC router from a sheet.
    pub blank: Option<Blank>,
}

/// What is sawn for a piece, before it is shaped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Blank {
    /// Which of the shop's stock it is sawn from; `None` where the shop has no such stock.
    pub stock: Option<RowIndex>,
    /// Along the grain of the part and across it, in micrometers.
    pub size: [i64; 2],
    /// Whether it may lie the other way.
    pub turns: bool,
    /// Which of its sizes has an allowance and may be larger still.
    pub shaped: [bool; 2],
    /// How far the blade is tilted for one edge, in thousandths of a degree.
    pub bevel: Option<i64>,
}

impl CutPiece {
    /// Its holder and part: "sash-clamps shelf", with a number where there are several.
    pub(crate) fn name(&self) -> String {
        self.part.piece_name(self.number)
    }
}

/// Every piece of every part, in the order of holders and parts.
pub(crate) fn pieces(holders: &[Arc<Holder>], shop: &Shop) -> Vec<CutPiece> {
    let all = holders.iter().flat_map(PartOf::all).flat_map(|part| {
        let blank = blank(&part, shop);
        (1..=part.quantity()).map(move |number| (part.clone(), number, blank))
    });
    all.enumerate()
        .map(|(i, (part, number, blank))| CutPiece { letter: letters(i), part, number, blank })
        .collect()
}

fn blank(part: &Part, shop: &Shop) -> Option<Blank> {
    if part.made_by == MadeBy::Router && part.stock.kind == StockKind::Sheet {
        return None;
    }
    let is_of = |row: &StockRow| {
        let kind = part.stock.kind == row.kind || part.stock.kind == StockKind::Cleat;
        kind && row.name == part.stock.name
    };
    let stock = shop.stock.iter().position(is_of).map(RowIndex);
    let [free_length, free_width] = shaped(part);
    let allowance = |shaped: bool| if shaped { shop.saw.trim } else { 0.0 };
    let length = micrometers(part.length() + allowance(free_length));
    let width = micrometers(part.width() + allowance(free_width));
    let across = part.grain == Grain::Width;
    let turn = |[a, b]: [i64; 2]| if across { [b, a] } else { [a, b] };
    let has_grain = stock.and_then(|row| row.of(&shop.stock)).is_none_or(|row| row.grain);
    Some(Blank {
        stock,
        size: turn([length, width]),
        turns: !part.is_round() && (part.grain == Grain::Any || !has_grain),
        shaped: if across { [free_width, free_length] } else { [free_length, free_width] },
        bevel: part.bevel.map(|bevel| micrometers(bevel.angle)),
    })
}

/// Whether length and width of a part lack a straight edge at either end.
fn shaped(part: &Part) -> [bool; 2] {
    if part.is_round() {
        return [false, false];
    }
    let (outline, bounds) = (part.region.outline(), part.region.bounds());
    let Rect { x0, y0, x1, y1 } = bounds;
    let upright = |x: f64| straight(outline, |p| (p.x - x).abs()) < STRAIGHT * bounds.height();
    let level = |y: f64| straight(outline, |p| (p.y - y).abs()) < STRAIGHT * bounds.width();
    [upright(x0) || upright(x1), level(y0) || level(y1)]
}

/// How much of an outline runs straight along a line, told how far a point is from it.
fn straight(outline: &Contour, off: impl Fn(kurbo::Point) -> f64) -> f64 {
    let near = |p| off(p) <= tolerance::COORDINATE;
    let along = outline.segments().filter(|s| s.is_line() && near(s.start) && near(s.end));
    along.map(|s| s.length()).sum()
}
