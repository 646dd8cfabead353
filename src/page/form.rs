//! What goes on a page whole, as it is drawn or turned a quarter, and what it takes there.

use std::cell::OnceCell;

use kurbo::{Affine, Rect, Size, Vec2};

use super::free::FreeRoom;
use super::ink;
use crate::drawing::{Drawing, Item, Line, StripSpan};

/// What is drawn on pages at full size.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ShownOnPaper {
    /// The part, by its place in the holder.
    pub part: usize,
    pub what: ShownAs,
    /// To the mm of the drawing: from those of the part, or of a strip from the place on it and the height above the
    /// wood's edge.
    pub map: Affine,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum ShownAs {
    Pattern,
    Strip(StripSpan),
    /// What only tells.
    Words,
}

/// A drawing and what it is. It is tried on many pages: what is asked of it each time is worked out the first time.
pub(super) struct Form {
    pub drawing: Drawing,
    pub shown: ShownOnPaper,
    cells: OnceCell<FreeRoom>,
    turned: OnceCell<Box<Self>>,
}

impl Form {
    pub(super) fn new(drawing: Drawing, shown: ShownOnPaper) -> Self {
        Self { drawing, shown, cells: OnceCell::new(), turned: OnceCell::new() }
    }

    pub(super) fn size(&self) -> Size {
        Size::new(self.drawing.width, self.drawing.height)
    }

    pub(super) fn area(&self) -> f64 {
        self.drawing.width * self.drawing.height
    }

    /// The cells that it lies on, from its upper left corner.
    pub(super) fn cells(&self) -> &FreeRoom {
        self.cells.get_or_init(|| {
            let mut cells = FreeRoom::under(self.size());
            take(&mut cells, &self.drawing.items, Vec2::ZERO);
            cells
        })
    }

    /// The drawing turned a quarter, to be read from the right.
    pub(super) fn turned(&self) -> &Self {
        self.turned.get_or_init(|| {
            let map = self.drawing.quarter() * self.shown.map;
            let shown = ShownOnPaper { map, ..self.shown.clone() };
            Box::new(Self::new(self.drawing.turned(), shown))
        })
    }
}

/// Marks what items moved by `shift` lie on: the wood of parts as a whole.
pub(super) fn take(room: &mut FreeRoom, items: &[Item], shift: Vec2) {
    /// Much finer than a cell, in mm.
    const COARSE: f64 = 0.5;
    for item in items {
        match item {
            Item::Stroke { line, path } => {
                let mut points = path.flatten(COARSE);
                points.iter_mut().for_each(|at| *at += shift);
                match line {
                    Line::Outline if points.len() > 2 => room.take_area(&points),
                    _ => room.take_line(&points),
                }
            }
            Item::Fill(_) | Item::Shade(_) | Item::Text(_) => {
                let area: Option<Rect> = ink::bounds(item);
                area.into_iter().for_each(|area| room.take_box(area + shift));
            }
        }
    }
}
