//! Putting small patterns together on shared pages.

use kurbo::{Point, Rect, Size};

/// Room between two patterns that share a page, in mm.
const GAP: f64 = 6.0;

/// One page being filled: patterns stand side by side on shelves, the shelves one under another.
#[derive(Debug, Clone)]
pub(super) struct Shelves {
    room: Rect,
    /// Where the next pattern of the last shelf goes: its top left corner.
    next: Point,
    /// Height of the last shelf.
    height: f64,
}

impl Shelves {
    /// An empty page with `room` for patterns.
    pub(super) fn new(room: Rect) -> Self {
        Self { room, next: Point::new(room.x0, room.y1), height: 0.0 }
    }

    /// Takes a box of `size` onto the page and tells where it stands; `None` when it has no room.
    ///
    /// Boxes should come tallest first.
    pub(super) fn put(&mut self, size: Size) -> Option<Rect> {
        let (mut corner, mut height) = (self.next, self.height);
        if corner.x + size.width > self.room.x1 && height > 0.0 {
            corner = Point::new(self.room.x0, corner.y - height - GAP);
            height = 0.0;
        }
        let place = Rect::new(corner.x, corner.y - size.height, corner.x + size.width, corner.y);
        if place.x1 > self.room.x1 || place.y0 < self.room.y0 {
            return None;
        }
        self.next = Point::new(place.x1 + GAP, corner.y);
        self.height = height.max(size.height);
        Some(place)
    }
}
