//! What items blacken, and drawing them on a page.

use kurbo::Rect;

use super::lettering::Lettering;
use super::operators::Operators;
use crate::drawing::{Item, Line, Path, SHADE, Text, text_width};
use crate::kernel::{Contour, Segment};

/// Items in the order that they are drawn in, each with the box round what it blackens: areas, lines by their kinds,
/// black areas, texts.
pub(super) struct Inked<'i>(Vec<InkedItem<'i>>);

struct InkedItem<'i> {
    bounds: Rect,
    layer: InkLayer,
    item: &'i Item,
}

/// What is drawn together, the lowest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum InkLayer {
    Shade,
    /// Which of all kinds of lines.
    Line(usize),
    Fill,
    Text,
}

impl<'i> Inked<'i> {
    pub(super) fn of(items: &'i [Item]) -> Self {
        let inked = items.iter().filter_map(|item| {
            let bounds = bounds(item).filter(Rect::is_finite)?;
            Some(InkedItem { bounds, layer: InkLayer::of(item), item })
        });
        let mut inked: Vec<InkedItem<'i>> = inked.collect();
        inked.sort_by_key(|item| item.layer);
        Self(inked)
    }

    /// Draws those that touch `seen`.
    pub(super) fn draw(&self, page: &mut Operators, lettering: &mut Lettering, seen: Rect) {
        let touched = self.0.iter().filter(|inked| inked.bounds.overlaps(seen));
        let touched: Vec<&InkedItem<'i>> = touched.collect();
        for group in touched.chunk_by(|a, b| a.layer == b.layer) {
            match group[0].layer {
                InkLayer::Line(at) => page.stroke(Line::ALL[at], group.iter().filter_map(path)),
                InkLayer::Text => page.texts(lettering, group.iter().filter_map(text)),
                InkLayer::Shade => group.iter().filter_map(area).for_each(|c| page.fill(c, SHADE)),
                InkLayer::Fill => group.iter().filter_map(area).for_each(|c| page.fill(c, 0)),
            }
        }
    }
}

impl InkLayer {
    fn of(item: &Item) -> Self {
        match item {
            Item::Shade(_) => Self::Shade,
            Item::Stroke { line, .. } => {
                Self::Line(Line::ALL.iter().position(|kind| kind == line).unwrap_or_default())
            }
            Item::Fill(_) => Self::Fill,
            Item::Text(_) => Self::Text,
        }
    }
}

fn path<'i>(inked: &&InkedItem<'i>) -> Option<&'i Path> {
    if let Item::Stroke { path, .. } = inked.item { Some(path) } else { None }
}

fn text<'i>(inked: &&InkedItem<'i>) -> Option<&'i Text> {
    if let Item::Text(text) = inked.item { Some(text) } else { None }
}

fn area<'i>(inked: &&InkedItem<'i>) -> Option<&'i Contour> {
    if let Item::Fill(area) | Item::Shade(area) = inked.item { Some(area) } else { None }
}

/// A box around what an item blackens; `None` for nothing.
pub(super) fn bounds(item: &Item) -> Option<Rect> {
    match item {
        Item::Stroke { line, path } => {
            let half = line.style().width / 2.0;
            path_bounds(path).map(|b| b.inflate(half, half))
        }
        Item::Fill(contour) | Item::Shade(contour) => around(contour.segments()),
        Item::Text(text) if text.size > 0.0 && !text.text.is_empty() => {
            let width = text_width(&text.text, text.size, text.bold);
            let line = Rect::from_points((0.0, -0.25 * text.size), (width, text.size));
            Some(text.place_of(width).transform_rect_bbox(line))
        }
        Item::Text(_) => None,
    }
}

fn path_bounds(path: &Path) -> Option<Rect> {
    match path {
        Path::Open(vertices) => {
            let ends = vertices.iter().zip(vertices.iter().skip(1));
            around(ends.map(|(a, b)| Segment { start: a.at, end: b.at, bulge: a.bulge }))
        }
        Path::Closed(contour) => around(contour.segments()),
        Path::Circle { center, radius } => {
            let radius = radius.abs();
            Some(Rect::from_center_size(*center, (2.0 * radius, 2.0 * radius)))
        }
    }
}

fn around(segments: impl Iterator<Item = Segment>) -> Option<Rect> {
    segments.map(|segment| segment.bounds()).reduce(|a, b| a.union(b))
}
