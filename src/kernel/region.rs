//! A flat piece of wood: one outline with openings in it.

use kurbo::{Affine, Rect};

use super::Contour;

/// An outline (counter-clockwise) with openings (clockwise) inside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    outline: Contour,
    openings: Vec<Contour>,
    /// Around the outline; asked for at every step.
    bounds: Rect,
}

impl Region {
    /// The region inside `outline` and outside each of `openings`; windings are put right.
    pub fn new(outline: Contour, openings: Vec<Contour>) -> Self {
        let openings = openings.into_iter().map(Contour::clockwise).collect();
        Self { bounds: outline.bounds(), outline: outline.counter_clockwise(), openings }
    }

    /// The outer contour, counter-clockwise.
    pub fn outline(&self) -> &Contour {
        &self.outline
    }

    /// The openings, each clockwise.
    pub fn openings(&self) -> &[Contour] {
        &self.openings
    }

    /// Outline first, then the openings.
    pub fn contours(&self) -> impl Iterator<Item = &Contour> {
        std::iter::once(&self.outline).chain(&self.openings)
    }

    /// Area of wood in mm², openings taken off.
    pub fn area(&self) -> f64 {
        self.contours().map(Contour::area).sum()
    }

    /// Length of all contours together, in mm.
    pub fn perimeter(&self) -> f64 {
        self.contours().map(Contour::perimeter).sum()
    }

    /// The smallest upright box around the outline.
    pub fn bounds(&self) -> Rect {
        self.bounds
    }

    /// Moved, turned or mirrored by `map`, which must keep shapes; windings stay as promised.
    pub fn transformed(&self, map: Affine) -> Self {
        Self::new(
            self.outline.transformed(map),
            self.openings.iter().map(|c| c.transformed(map)).collect(),
        )
    }
}
