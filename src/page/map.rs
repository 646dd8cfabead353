//! The small map at the foot of a page: how the pages lie, and which one this is.

use kurbo::{Affine, Point, Rect, Vec2};

use super::seam::page_name;
use super::spread::{Pane, Spread};
use crate::drawing::{
    Anchor, Drawing, Item, Line, Path, Text, box_corners, cap_height, text_width,
};
use crate::kernel::{Contour, Vertex};

const LETTER: f64 = 2.2;
const HATCH: f64 = 1.2;

/// Pages or a page with what is drawn on them, at any scale.
pub(super) struct Map {
    cells: Vec<Cell>,
    outlines: Vec<Contour>,
}

struct Cell {
    area: Rect,
    name: String,
    here: bool,
}

impl Map {
    /// The pages of a pattern, `here` hatched; `origin` is where the pages' mm have theirs in its drawing.
    pub(super) fn of_spread(spread: &Spread, here: &Pane, pattern: &Drawing, origin: Vec2) -> Self {
        let cell = |pane: &Pane| Cell {
            area: pane.area + origin,
            name: page_name(pane),
            here: pane == here,
        };
        Self { cells: spread.panes.iter().map(cell).collect(), outlines: outlines(pattern) }
    }

    /// One page with `room` for patterns, and where they lie on it.
    pub(super) fn of_page<'a>(
        room: Rect,
        patterns: impl Iterator<Item = (Point, &'a Drawing)>,
    ) -> Self {
        let moved = |(at, pattern): (Point, &Drawing)| {
            let map = Affine::translate(at.to_vec2());
            outlines(pattern).into_iter().map(move |contour| contour.transformed(map))
        };
        let cell = Cell { area: room, name: String::new(), here: false };
        Self { cells: vec![cell], outlines: patterns.flat_map(moved).collect() }
    }

    /// The map, as large as fits, at the lower right of `place`.
    pub(super) fn draw(&self, place: Rect) -> Vec<Item> {
        let areas = self.cells.iter().map(|cell| cell.area);
        let Some(whole) = areas.reduce(|a, b| a.union(b)) else { return Vec::new() };
        let scale = (place.width() / whole.width()).min(place.height() / whole.height());
        let map = Affine::translate((place.x1 - whole.x1 * scale, place.y0 - whole.y0 * scale))
            * Affine::scale(scale);
        let outlines = self.outlines.iter().map(|contour| closed(contour.transformed(map)));
        let cells = self.cells.iter().flat_map(|cell| cell.draw(map));
        outlines.chain(cells).collect()
    }
}

impl Cell {
    fn draw(&self, map: Affine) -> Vec<Item> {
        let area = map.transform_rect_bbox(self.area);
        let frame = Contour::new(box_corners(area).map(|at| Vertex::line(at.x, at.y)));
        let mut items: Vec<Item> = frame.map(closed).into_iter().collect();
        if self.here {
            items.extend(hatch(area));
        } else if text_width(&self.name, LETTER, false) + 1.0 < area.width()
            && LETTER + 0.6 < area.height()
        {
            items.push(Item::Text(Text {
                at: area.center() - (0.0, cap_height(LETTER) / 2.0),
                text: self.name.clone(),
                size: LETTER,
                anchor: Anchor::Middle,
                turn: 0.0,
                bold: false,
            }));
        }
        items
    }
}

/// Lines rising to the right across `area`.
fn hatch(area: Rect) -> Vec<Item> {
    let count = ((area.width() + area.height()) / HATCH).ceil().max(1.0) as usize;
    let line = |i: usize| {
        // On this line x - x0 = y - y0 + shift.
        let shift = (i as f64 + 0.5) * HATCH - area.height();
        let (from, to) = (shift.max(0.0), area.width().min(area.height() + shift));
        let point = |x: f64| Point::new(area.x0 + x, area.y0 + x - shift);
        (from < to).then(|| Item::Stroke {
            line: Line::Furniture,
            path: Path::line(point(from), point(to)),
        })
    };
    (0..count).filter_map(line).collect()
}

/// The edges of the parts on a pattern.
fn outlines(pattern: &Drawing) -> Vec<Contour> {
    let outline = |item: &Item| match item {
        Item::Stroke { line: Line::Outline, path: Path::Closed(contour) } => Some(contour.clone()),
        Item::Stroke { line: Line::Outline, path: Path::Circle { center, radius } } => {
            Some(Contour::circle(*center, *radius))
        }
        _ => None,
    };
    pattern.items.iter().filter_map(outline).collect()
}

fn closed(contour: Contour) -> Item {
    Item::Stroke { line: Line::Furniture, path: Path::Closed(contour) }
}
