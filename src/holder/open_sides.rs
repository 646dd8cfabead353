//! Where a pocket runs out at the edge of its part.

use kurbo::{Point, Rect};

use crate::style::Edge;
use crate::tolerance::COORDINATE;

/// Which sides of a pocket lie on the part's edge with nothing beyond, so that the bit runs out past it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct OpenSides {
    left: bool,
    right: bool,
    bottom: bool,
    top: bool,
}

impl OpenSides {
    pub(super) fn of(area: Rect, part: Rect) -> Self {
        let same = |a: f64, b: f64| (a - b).abs() <= COORDINATE;
        Self {
            left: same(area.x0, part.x0),
            right: same(area.x1, part.x1),
            bottom: same(area.y0, part.y0),
            top: same(area.y1, part.y1),
        }
    }

    pub(super) fn at(&mut self, edge: Edge) -> &mut bool {
        match edge {
            Edge::Left => &mut self.left,
            Edge::Right => &mut self.right,
            Edge::Bottom => &mut self.bottom,
            Edge::Top => &mut self.top,
        }
    }

    /// Whether it runs out to the left or right, and below or above.
    pub(super) fn across(self) -> [bool; 2] {
        [self.left || self.right, self.bottom || self.top]
    }

    /// `area` as far past each open side as `by`: no round corner is left at the edge.
    pub(super) fn run_out(self, area: Rect, by: f64) -> Rect {
        let past = |open: bool| if open { by } else { 0.0 };
        Rect::new(
            area.x0 - past(self.left),
            area.y0 - past(self.bottom),
            area.x1 + past(self.right),
            area.y1 + past(self.top),
        )
    }

    /// The corners of `area` between two walls.
    pub(super) fn walled(self, area: Rect) -> Vec<Point> {
        let corners = [
            (self.left || self.bottom, area.x0, area.y0),
            (self.right || self.bottom, area.x1, area.y0),
            (self.right || self.top, area.x1, area.y1),
            (self.left || self.top, area.x0, area.y1),
        ];
        corners.iter().filter(|(open, ..)| !open).map(|(_, x, y)| Point::new(*x, *y)).collect()
    }
}
