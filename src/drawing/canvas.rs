//! A sheet in the making: what is drawn so far, and where there is room for text.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::{Anchor, Drawing, Item, Line, Path, Text, cap_height, text_width};
use crate::kernel::{Contour, Segment};

/// White round the drawing, in mm.
const MARGIN: f64 = 5.0;

/// White kept round a text, in mm.
const CLEAR: f64 = 0.6;

/// White between two texts on one line, as a share of the letter size: more than between words.
const WORD_GAP: f64 = 0.8;

/// How far a descender reaches below the baseline, as a share of the letter size.
const DESCENT: f64 = 0.22;

/// How far a circle's stand-in polygon may stand off, in mm, when room for text is sought.
const COARSE: f64 = 0.2;

/// Text yet to be placed.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub text: String,
    pub size: f64,
    pub bold: bool,
    /// Readable from the right (turned a quarter counter-clockwise), not from the bottom.
    pub upright: bool,
}

/// What a text must stay clear of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// Every line and text.
    All,
    /// Texts and the edges to cut.
    Cuts,
}

/// Items in the part's coordinates, with the room they take.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    items: Vec<Item>,
    texts: Vec<Rect>,
    edges: Vec<DrawnEdge>,
    bounds: Option<Rect>,
}

/// A straight stretch of something drawn.
#[derive(Debug, Clone, Copy)]
struct DrawnEdge {
    cut: bool,
    from: Point,
    to: Point,
}

impl Label {
    /// Upright or level text of letter size `size` mm.
    pub(super) fn new(text: impl Into<String>, size: f64) -> Self {
        let text = text.into().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        Self { text, size, bold: false, upright: false }
    }

    pub(super) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(super) fn upright(self, upright: bool) -> Self {
        Self { upright, ..self }
    }

    /// Length along the line of text, in mm.
    pub(super) fn run(&self) -> f64 {
        text_width(&self.text, self.size, self.bold)
    }

    /// Width and height on the sheet: baseline to the top of a capital.
    pub(super) fn extent(&self) -> Size {
        let (run, rise) = (self.run(), cap_height(self.size));
        if self.upright { Size::new(rise, run) } else { Size::new(run, rise) }
    }

    /// The room it takes centered at `center`, descenders too.
    pub(super) fn room(&self, center: Point) -> Rect {
        let extent = self.extent();
        let area = Rect::from_center_size(center, extent);
        let descent = self.size * DESCENT;
        if self.upright {
            Rect { x1: area.x1 + descent, ..area }
        } else {
            Rect { y0: area.y0 - descent, ..area }
        }
    }
}

impl Canvas {
    pub(super) fn stroke(&mut self, line: Line, path: Path) {
        let cut = matches!(line, Line::Outline | Line::Opening | Line::Drilling);
        for pair in polyline(&path).windows(2) {
            if let [from, to] = *pair {
                self.edges.push(DrawnEdge { cut, from, to });
                self.grow(Rect::from_points(from, to));
            }
        }
        self.items.push(Item::Stroke { line, path });
    }

    pub(super) fn line(&mut self, line: Line, from: Point, to: Point) {
        self.stroke(line, Path::line(from, to));
    }

    pub(super) fn rectangle(&mut self, line: Line, area: Rect) {
        let corners =
            [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
        let vertices = corners.map(|(x, y)| crate::kernel::Vertex::line(x, y));
        if let Some(contour) = Contour::new(vertices) {
            self.stroke(line, Path::Closed(contour));
        }
    }

    pub(super) fn fill(&mut self, contour: Contour) {
        for s in contour.segments() {
            self.edges.push(DrawnEdge { cut: false, from: s.start, to: s.end });
        }
        self.grow(contour.bounds());
        self.items.push(Item::Fill(contour));
    }

    /// Takes in all that another has, moved by `by`.
    pub(super) fn take(&mut self, other: Self, by: Vec2) {
        let shift = Affine::translate(by);
        self.items.extend(other.items.iter().map(|item| item.transformed(shift)));
        self.texts.extend(other.texts.iter().map(|text| *text + by));
        self.edges.extend(other.edges.iter().map(|edge| DrawnEdge {
            from: edge.from + by,
            to: edge.to + by,
            ..*edge
        }));
        if let Some(bounds) = other.bounds {
            self.grow(bounds + by);
        }
    }

    /// Sets `label` with its middle at `center`.
    pub(super) fn write(&mut self, label: &Label, center: Point) {
        let half = cap_height(label.size) / 2.0;
        let down = if label.upright { Vec2::new(half, 0.0) } else { Vec2::new(0.0, -half) };
        self.put(label, center + down, Anchor::Middle, label.room(center));
    }

    /// Sets `label`, level, with its baseline starting at `start`.
    pub(super) fn write_from(&mut self, label: &Label, start: Point) {
        let extent = label.extent();
        let center = start + Vec2::new(extent.width, extent.height) / 2.0;
        self.put(label, start, Anchor::Start, label.room(center));
    }

    fn put(&mut self, label: &Label, at: Point, anchor: Anchor, room: Rect) {
        self.texts.push(room);
        self.grow(room);
        self.items.push(Item::Text(Text {
            at,
            text: label.text.clone(),
            size: label.size,
            anchor,
            turn: if label.upright { 90.0 } else { 0.0 },
            bold: label.bold,
        }));
    }

    /// Whether `label` can stand with its middle at `center`, white round it, and before and after
    /// it enough that it does not read on into another text.
    pub(super) fn has_room(&self, label: &Label, center: Point, care: Care) -> bool {
        let room = label.room(center).inset(CLEAR);
        let apart = label.size * WORD_GAP;
        let sentence =
            if label.upright { room.inflate(0.0, apart) } else { room.inflate(apart, 0.0) };
        self.misses_text(sentence) && self.is_free(room, care)
    }

    /// Whether nothing that matters reaches into `area`.
    pub(super) fn is_free(&self, area: Rect, care: Care) -> bool {
        let crossed = |e: &DrawnEdge| (e.cut || care == Care::All) && reaches(area, e.from, e.to);
        self.misses_text(area) && !self.edges.iter().any(crossed)
    }

    /// Whether a straight line would run clear of all text.
    pub(super) fn misses_text_along(&self, from: Point, to: Point) -> bool {
        !self.texts.iter().any(|text| reaches(text.inset(CLEAR / 2.0), from, to))
    }

    /// The room that each text takes.
    pub(super) fn texts(&self) -> &[Rect] {
        &self.texts
    }

    fn misses_text(&self, area: Rect) -> bool {
        !self.texts.iter().any(|text| overlap(*text, area))
    }

    /// What is drawn so far reaches this far.
    pub(super) fn bounds(&self) -> Rect {
        self.bounds.unwrap_or(Rect::ZERO)
    }

    fn grow(&mut self, area: Rect) {
        self.bounds = Some(self.bounds.map_or(area, |b| b.union(area)));
    }

    /// The sheet, its lower left corner at the origin, with a margin all round.
    pub(super) fn into_drawing(self, title: String) -> Drawing {
        let area = self.bounds().inset(MARGIN);
        let shift = Affine::translate(-area.origin().to_vec2());
        Drawing {
            title,
            width: area.width(),
            height: area.height(),
            items: self.items.iter().map(|item| item.transformed(shift)).collect(),
        }
    }
}

/// The path as points no further than [`COARSE`] from it.
fn polyline(path: &Path) -> Vec<Point> {
    match path {
        Path::Circle { center, radius } => ring(&Contour::circle(*center, *radius)),
        Path::Closed(contour) => ring(contour),
        Path::Open(vertices) => {
            let steps = vertices.iter().zip(vertices.iter().skip(1));
            let rest = steps.flat_map(|(a, b)| {
                Segment { start: a.at, end: b.at, bulge: a.bulge }.flatten(COARSE)
            });
            vertices.first().map(|v| v.at).into_iter().chain(rest).collect()
        }
    }
}

fn ring(contour: &Contour) -> Vec<Point> {
    let mut points = contour.flatten(COARSE);
    points.extend(points.first().copied());
    points
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Whether the straight line from `a` to `b` comes into `area`.
fn reaches(area: Rect, a: Point, b: Point) -> bool {
    let span = Rect::from_points(a, b);
    let apart = span.x0 > area.x1 || area.x0 > span.x1 || span.y0 > area.y1 || area.y0 > span.y1;
    if apart {
        return false;
    }
    // Boxes meet: the line misses the area only if all its corners are on one side of the line.
    let along = b - a;
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
    let sides = corners.map(|(x, y)| along.cross(Point::new(x, y) - a));
    !(sides.iter().all(|s| *s > 0.0) || sides.iter().all(|s| *s < 0.0))
}
