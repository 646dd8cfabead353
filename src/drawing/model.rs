//! The one drawing model: what SVG and PDF render.

use kurbo::{Affine, Point, Rect};

use super::text_width;
use crate::kernel::{Contour, Segment, Vertex};

/// A sheet of physical size with lines and text on it.
///
/// Millimeters, x right, y up, the origin at the sheet's lower left corner.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Drawing {
    /// What it shows, for a reader that cannot see it.
    pub title: String,
    /// In mm.
    pub width: f64,
    /// In mm.
    pub height: f64,
    /// In drawing order: later ones lie on top.
    pub items: Vec<Item>,
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Item {
    /// A line of some kind.
    Stroke { line: Line, path: Path },
    /// An area filled black: arrow heads, bars.
    Fill(Contour),
    /// An area filled light gray, on which lines and letters are read as on white.
    Shade(Contour),
    /// A line of text.
    Text(Text),
}

/// The way a stroke runs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Path {
    /// From the first vertex to the last; the last one's bulge is not used.
    Open(Vec<Vertex>),
    Closed(Contour),
    Circle {
        center: Point,
        radius: f64,
    },
}

/// What a line means. How each is drawn (width and dashes after ISO 128) is told by
/// [`Line::style`], once for every writer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Line {
    /// Edge of the part to cut. Continuous wide.
    Outline,
    /// Edge of an opening to cut. Continuous wide.
    Opening,
    /// Edge of an area milled to a depth. Continuous wide.
    Pocket,
    /// Edge of a drilled hole. Continuous wide.
    Drilling,
    /// Where the saw goes. Continuous narrow.
    Saw,
    /// To scribe: footprints, lines. Continuous narrow.
    Scribe,
    /// Center lines and crosses. Long-dash dot narrow.
    Center,
    /// Edges that lie behind or inside the wood. Dashed narrow.
    Hidden,
    /// Dimension and extension lines. Continuous narrow.
    Dimension,
    /// Frames, tables, page furniture, bars. Continuous narrow.
    Furniture,
    /// Where one printed page ends and the next begins. Long-dash double-dot narrow.
    Seam,
    /// From a text to what it is about. Continuous narrow.
    Leader,
    /// Edges of a whole holder that are seen. Continuous.
    Assembled,
    /// Edges of one that is taken apart. Continuous.
    Apart,
    /// Edges of what is added in a step. Continuous.
    Added,
    /// Edges of what stands before. Continuous narrow, gray.
    Standing,
    /// The middles of studs behind a wall. Long-dash dot narrow, gray.
    Stud,
    /// Edges of holders on their wall, many and small. Continuous narrow.
    Hung,
    /// Edges of tools. Continuous narrow, gray.
    Tool,
    /// Which way a piece or a screw comes. Dashed narrow.
    Way,
}

/// How dark a line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ink {
    Black,
    Gray,
}

impl Ink {
    /// From 0, black, to 255, white.
    pub(crate) fn level(self) -> u8 {
        match self {
            Self::Black => 0,
            Self::Gray => 0x96,
        }
    }
}

/// How light an area is that is shaded, from 0, black, to 255, white.
pub(crate) const SHADE: u8 = 0xe2;

/// How a kind of line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LineStyle {
    /// Stroke width in mm.
    pub width: f64,
    /// Lengths in mm of dash, gap, dash …; empty is continuous.
    pub dashes: &'static [f64],
    /// Name of the layer: group id in SVG.
    pub layer: &'static str,
    pub ink: Ink,
}

impl Line {
    /// Every kind, in the order the layers are drawn.
    pub(crate) const ALL: [Self; 20] = [
        Self::Tool,
        Self::Standing,
        Self::Stud,
        Self::Hung,
        Self::Way,
        Self::Apart,
        Self::Assembled,
        Self::Added,
        Self::Seam,
        Self::Furniture,
        Self::Scribe,
        Self::Saw,
        Self::Hidden,
        Self::Center,
        Self::Dimension,
        Self::Leader,
        Self::Pocket,
        Self::Drilling,
        Self::Opening,
        Self::Outline,
    ];

    /// Width, dashes and layer name. Line kinds, the wide-to-narrow ratio of 2 : 1 and dash
    /// lengths in line widths follow ISO 128; a narrow line is 0.25 mm here.
    pub(crate) fn style(self) -> LineStyle {
        const WIDE: f64 = 0.5;
        const NARROW: f64 = 0.25;
        // Of pictures, which are small: calmer than the edges of a pattern.
        const CALM: f64 = 0.3;
        const FINE: f64 = 0.18;
        // As below, at the width of a fine line.
        const DASHED_FINE: &[f64] = &[2.16, 0.54];
        // Dashed: dash 12 d, gap 3 d. Long-dash dot: dash 24 d, gap 3 d, dot 0.5 d, gap 3 d.
        const DASHED: &[f64] = &[3.0, 0.75];
        const LONG_DASH_DOT: &[f64] = &[6.0, 0.75, 0.125, 0.75];
        // Long-dash double-dot: as above, with a second gap and dot.
        const LONG_DASH_DOUBLE_DOT: &[f64] = &[6.0, 0.75, 0.125, 0.75, 0.125, 0.75];
        let (width, dashes, layer): (f64, &'static [f64], &'static str) = match self {
            Self::Outline => (WIDE, &[], "outline"),
            Self::Opening => (WIDE, &[], "opening"),
            Self::Pocket => (WIDE, &[], "pocket"),
            Self::Drilling => (WIDE, &[], "drilling"),
            Self::Saw => (NARROW, &[], "saw"),
            Self::Scribe => (NARROW, &[], "mark"),
            Self::Center => (NARROW, LONG_DASH_DOT, "center"),
            Self::Hidden => (NARROW, DASHED, "hidden"),
            Self::Dimension => (NARROW, &[], "dimension"),
            Self::Furniture => (NARROW, &[], "furniture"),
            Self::Seam => (NARROW, LONG_DASH_DOUBLE_DOT, "seam"),
            Self::Leader => (NARROW, &[], "leader"),
            Self::Assembled => (CALM, &[], "assembled"),
            Self::Apart => (CALM, &[], "apart"),
            Self::Added => (CALM, &[], "added"),
            Self::Standing => (FINE, &[], "standing"),
            Self::Stud => (FINE, LONG_DASH_DOT, "stud"),
            Self::Hung => (FINE, &[], "hung"),
            Self::Tool => (FINE, &[], "tool"),
            Self::Way => (FINE, DASHED_FINE, "way"),
        };
        let ink = match self {
            Self::Standing | Self::Tool | Self::Stud => Ink::Gray,
            _ => Ink::Black,
        };
        LineStyle { width, dashes, layer, ink }
    }
}

/// A line of text. Set in the built-in sans face, so its width is known: see
/// [`super::text_width`].
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Text {
    /// Where the baseline starts, is centered or ends, per `anchor`.
    pub at: Point,
    pub text: String,
    /// Letter size (em) in mm.
    pub size: f64,
    pub anchor: Anchor,
    /// Degrees counter-clockwise about `at`.
    pub turn: f64,
    pub bold: bool,
}

impl Text {
    /// Where the baseline starts and which way it runs.
    pub(crate) fn place(&self) -> Affine {
        let starts = self.anchor == Anchor::Start;
        self.place_of(if starts { 0.0 } else { text_width(&self.text, self.size, self.bold) })
    }

    /// The same for whoever knows how wide it runs.
    pub(crate) fn place_of(&self, width: f64) -> Affine {
        let back = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        Affine::translate(self.at.to_vec2())
            * Affine::rotate(self.turn.to_radians())
            * Affine::translate((-back, 0.0))
    }
}

/// Which point of the text's baseline stands at [`Text::at`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// The corners of a box from the lower left one on, counter-clockwise.
pub(crate) fn box_corners(Rect { x0, y0, x1, y1 }: Rect) -> [Point; 4] {
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from)
}

impl Drawing {
    /// The same drawn larger or smaller: lines as wide as before, letters not as high.
    #[must_use]
    pub(crate) fn scaled(&self, by: f64) -> Self {
        let map = Affine::scale(by);
        let items = self.items.iter().map(|item| match item {
            Item::Stroke { line, path: Path::Circle { center, radius } } => Item::Stroke {
                line: *line,
                path: Path::Circle { center: map * *center, radius: radius * by },
            },
            Item::Text(text) => {
                Item::Text(Text { at: map * text.at, size: text.size * by, ..text.clone() })
            }
            Item::Stroke { .. } | Item::Fill(_) | Item::Shade(_) => item.transformed(map),
        });
        let (width, height) = (self.width * by, self.height * by);
        Self { title: self.title.clone(), width, height, items: items.collect() }
    }
}

impl Drawing {
    /// The same turned a quarter counter-clockwise, to be read from the right.
    #[must_use]
    pub(crate) fn turned(&self) -> Self {
        let map = self.quarter();
        let items = self.items.iter().map(|item| item.transformed(map)).collect();
        Self { title: self.title.clone(), width: self.height, height: self.width, items }
    }

    /// The map that turns it so.
    pub(crate) fn quarter(&self) -> Affine {
        Affine::new([0.0, 1.0, -1.0, 0.0, self.height, 0.0])
    }
}

impl Item {
    /// The item moved, turned or mirrored by `map`, which must keep shapes. Text is moved and turned,
    /// not mirrored.
    #[must_use]
    pub(crate) fn transformed(&self, map: Affine) -> Self {
        self.clone().laid(map)
    }

    /// The same for one that is not wanted where it was.
    #[must_use]
    pub(crate) fn laid(self, map: Affine) -> Self {
        match self {
            Self::Stroke { line, path } => Self::Stroke { line, path: path.laid(map) },
            Self::Fill(contour) => Self::Fill(contour.transformed(map)),
            Self::Shade(contour) => Self::Shade(contour.transformed(map)),
            Self::Text(text) => {
                let turn = text.turn + turned_by(map);
                Self::Text(Text { at: map * text.at, turn, ..text })
            }
        }
    }
}

/// By how many degrees `map` turns counter-clockwise; 0 where it mirrors.
fn turned_by(map: Affine) -> f64 {
    let [along, up, ..] = map.as_coeffs();
    if map.determinant() > 0.0 { up.atan2(along).to_degrees() } else { 0.0 }
}

impl Path {
    /// A straight line.
    pub(crate) fn line(from: Point, to: Point) -> Self {
        Self::Open(vec![Vertex { at: from, bulge: 0.0 }, Vertex { at: to, bulge: 0.0 }])
    }

    /// Points along it, none of it further than `within` mm from the straight lines between them; a closed one ends where
    /// it begins.
    pub(crate) fn flatten(&self, within: f64) -> Vec<Point> {
        match self {
            Self::Circle { center, radius } => {
                flattened(Contour::circle(*center, *radius).segments(), within)
            }
            Self::Closed(contour) => flattened(contour.segments(), within),
            Self::Open(vertices) => {
                let steps = vertices.iter().zip(vertices.iter().skip(1));
                let steps = steps.map(|(a, b)| Segment { start: a.at, end: b.at, bulge: a.bulge });
                let points = flattened(steps, within);
                // One vertex alone is no stretch of a line, but a place.
                if points.is_empty() { vertices.iter().map(|v| v.at).collect() } else { points }
            }
        }
    }

    /// The path moved, turned or mirrored by `map`, which must keep shapes.
    #[must_use]
    pub(crate) fn laid(self, map: Affine) -> Self {
        match self {
            Self::Open(mut vertices) => {
                let flip = map.determinant().signum();
                for v in &mut vertices {
                    *v = Vertex { at: map * v.at, bulge: v.bulge * flip };
                }
                Self::Open(vertices)
            }
            Self::Closed(contour) => Self::Closed(contour.transformed(map)),
            Self::Circle { center, radius } => Self::Circle { center: map * center, radius },
        }
    }
}

/// Points along segments that follow on one another.
fn flattened(segments: impl Iterator<Item = Segment>, within: f64) -> Vec<Point> {
    let mut points = Vec::with_capacity(segments.size_hint().0 + 1);
    for segment in segments {
        if points.is_empty() {
            points.push(segment.start);
        }
        if segment.bulge == 0.0 {
            points.push(segment.end);
        } else {
            points.extend(segment.flatten(within));
        }
    }
    points
}
