//! Writes a drawing as SVG at full size: one user unit is one millimeter.
//!
//! Lines of one kind stand in one group named after their layer. Text is written as the outlines
//! of the built-in face, so that it looks the same where that face is not installed; what it says
//! stands in its `aria-label`.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::sync::{LazyLock, OnceLock};

use kurbo::{PathEl, Point, Vec2};
use svg::Document;
use svg::node::element::{Circle, Definitions, Group, Path as Shape, Title, Use};

use crate::drawing::{self, Anchor, Drawing, Ink, Item, Line, Path, SHADE, Text};
use crate::kernel::{Contour, Segment, Vertex};

/// Decimals of a coordinate in mm: a tenth of the program's coordinate tolerance.
pub(super) const PLACES: usize = 5;

/// Letter outlines are kept in hundredths of the letter size, to two decimals.
const EM: f64 = 100.0;

/// The drawing as the text of an SVG file.
///
/// `width` and `height` are in mm, the view box in mm, y turned down. Arcs stay arcs (`A`), whole
/// circles are `<circle>`s, all is black or gray. The same drawing gives the same bytes.
pub(crate) fn write(drawing: &Drawing) -> String {
    let page = Flip { height: drawing.height };
    let (width, height) = (number(drawing.width, PLACES), number(drawing.height, PLACES));
    let mut document = Document::new()
        .set("xmlns:xlink", "http://www.w3.org/1999/xlink")
        .set("version", "1.1")
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", format!("0 0 {width} {height}"))
        .add(Title::new(printable(&drawing.title)));
    if let Some(letters) = page.letters(drawing) {
        document = document.add(letters);
    }
    // Below all lines.
    if let Some(shades) = page.shades(drawing) {
        document = document.add(shades);
    }
    for line in Line::ALL {
        if let Some(layer) = page.layer(drawing, line) {
            document = document.add(layer);
        }
    }
    for group in [page.fills(drawing), page.texts(drawing)].into_iter().flatten() {
        document = document.add(group);
    }
    format!("{document}\n")
}

fn ink(ink: Ink) -> String {
    match ink.level() {
        0 => "#000".to_owned(),
        level => tone(level),
    }
}

fn tone(level: u8) -> String {
    format!("#{level:02x}{level:02x}{level:02x}")
}

/// The turn from a drawing's y, up from the bottom, to SVG's, down from the top.
pub(super) struct Flip {
    pub(super) height: f64,
}

impl Flip {
    /// All strokes of one kind, with width and dashes as that kind is drawn.
    fn layer(&self, drawing: &Drawing, kind: Line) -> Option<Group> {
        let style = kind.style();
        let mut group = Group::new()
            .set("id", style.layer)
            .set("fill", "none")
            .set("stroke", ink(style.ink))
            .set("stroke-width", number(style.width, PLACES));
        if !style.dashes.is_empty() {
            let dashes: Vec<String> = style.dashes.iter().map(|d| number(*d, PLACES)).collect();
            group = group.set("stroke-dasharray", dashes.join(" "));
        }
        let mut empty = true;
        for item in &drawing.items {
            let Item::Stroke { line, path } = item else { continue };
            if *line == kind {
                empty = false;
                group = match path {
                    Path::Circle { center, radius } => group.add(self.circle(*center, *radius)),
                    Path::Closed(contour) => group.add(shape(self.closed(contour))),
                    Path::Open(vertices) => group.add(shape(self.open(vertices))),
                };
            }
        }
        (!empty).then_some(group)
    }

    pub(super) fn circle(&self, center: Point, radius: f64) -> Circle {
        Circle::new()
            .set("cx", number(center.x, PLACES))
            .set("cy", number(self.height - center.y, PLACES))
            .set("r", number(radius, PLACES))
    }

    fn fills(&self, drawing: &Drawing) -> Option<Group> {
        let mut data = String::new();
        for item in &drawing.items {
            if let Item::Fill(contour) = item {
                data.push_str(&self.closed(contour));
            }
        }
        let group = Group::new().set("id", "fill").set("fill", "#000");
        (!data.is_empty()).then(|| group.add(shape(data)))
    }

    fn shades(&self, drawing: &Drawing) -> Option<Group> {
        let shades = drawing.items.iter().filter_map(|item| match item {
            Item::Shade(contour) => Some(self.closed(contour)),
            _ => None,
        });
        let data: String = shades.collect();
        let group = Group::new().set("id", "shade").set("fill", tone(SHADE));
        (!data.is_empty()).then(|| group.add(shape(data)))
    }

    fn texts(&self, drawing: &Drawing) -> Option<Group> {
        let mut lines = texts(drawing).map(|text| self.text(text)).peekable();
        lines.peek()?;
        let group = Group::new().set("id", "text").set("fill", "#000");
        Some(lines.fold(group, Group::add))
    }

    /// A line of text: its letters, used from the definitions.
    fn text(&self, text: &Text) -> Group {
        let width = drawing::text_width(&text.text, EM, text.bold);
        let back = match text.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let mut place =
            format!("translate({})", pair(Point::new(text.at.x, self.height - text.at.y)));
        if text.turn != 0.0 {
            let _ = write!(place, " rotate({})", number(-text.turn, PLACES));
        }
        let _ = write!(place, " scale({})", number(text.size / EM, PLACES));
        let group = Group::new().set("aria-label", printable(&text.text)).set("transform", place);
        drawing::glyphs(&text.text, EM, text.bold)
            .into_iter()
            .filter(|glyph| !letter_data(glyph.id, text.bold).is_empty())
            .fold(group, |group, glyph| {
                let letter = Use::new()
                    .set("xlink:href", format!("#{}", letter_id(glyph.id, text.bold)))
                    .set("x", number(glyph.x - back, 2));
                group.add(letter)
            })
    }

    /// Each letter that is used, once.
    fn letters(&self, drawing: &Drawing) -> Option<Definitions> {
        let mut used = BTreeMap::new();
        for text in texts(drawing) {
            for glyph in drawing::glyphs(&text.text, EM, text.bold) {
                used.entry((text.bold, glyph.id))
                    .or_insert_with(|| letter_data(glyph.id, text.bold));
            }
        }
        used.retain(|_, data| !data.is_empty());
        (!used.is_empty()).then(|| {
            used.into_iter().fold(Definitions::new(), |all, ((bold, id), data)| {
                all.add(shape(data).set("id", letter_id(id, bold)))
            })
        })
    }

    pub(super) fn closed(&self, contour: &Contour) -> String {
        let mut data = String::new();
        for (i, segment) in contour.segments().enumerate() {
            if i == 0 {
                let _ = write!(data, "M{}", self.point(segment.start));
            }
            self.segment(&mut data, segment);
        }
        data.push('Z');
        data
    }

    pub(super) fn open(&self, vertices: &[Vertex]) -> String {
        let mut data = String::new();
        if let Some(first) = vertices.first() {
            let _ = write!(data, "M{}", self.point(first.at));
        }
        for (a, b) in vertices.iter().zip(vertices.iter().skip(1)) {
            self.segment(&mut data, Segment { start: a.at, end: b.at, bulge: a.bulge });
        }
        data
    }

    /// A line, or an arc in pieces of a quarter turn at most: with its ends rounded to
    /// 0.0001 mm the center of a quarter turn moves as little as they do, but that of a half turn
    /// by the root of it (0.03 mm on a 1/2 in slot end).
    fn segment(&self, data: &mut String, segment: Segment) {
        let Some(arc) = segment.arc() else {
            let _ = write!(data, "L{}", self.point(segment.end));
            return;
        };
        let pieces = (arc.sweep.abs() / std::f64::consts::FRAC_PI_2 - 1e-9).ceil().max(1.0);
        let radius = number(arc.radius, PLACES);
        // Counter-clockwise with y up is SVG's negative direction with y down.
        let direction = u8::from(arc.sweep < 0.0);
        for i in 1..=pieces as u32 {
            let done = f64::from(i) / pieces;
            let end = if done < 1.0 {
                arc.center + Vec2::from_angle(arc.start_angle + arc.sweep * done) * arc.radius
            } else {
                segment.end
            };
            let _ = write!(data, "A{radius} {radius} 0 0 {direction} {}", self.point(end));
        }
    }

    fn point(&self, point: Point) -> String {
        pair(Point::new(point.x, self.height - point.y))
    }
}

fn texts(drawing: &Drawing) -> impl Iterator<Item = &Text> {
    drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text),
        Item::Stroke { .. } | Item::Fill(_) | Item::Shade(_) => None,
    })
}

pub(super) fn shape(data: impl Into<String>) -> Shape {
    Shape::new().set("d", data.into())
}

fn letter_id(id: u16, bold: bool) -> String {
    format!("{}{id}", if bold { 'b' } else { 'r' })
}

/// A letter's outline, written when it is first asked for.
fn letter_data(id: u16, bold: bool) -> &'static str {
    static WRITTEN: LazyLock<[Vec<OnceLock<String>>; 2]> = LazyLock::new(|| {
        [false, true].map(|bold| vec![OnceLock::new(); drawing::letter_count(bold)])
    });
    let letter = WRITTEN[usize::from(bold)].get(usize::from(id));
    letter.map_or("", |letter| letter.get_or_init(|| written(id, bold)))
}

/// A letter's outline in hundredths of the letter size, y down.
fn written(id: u16, bold: bool) -> String {
    let place = |p: Point| format!("{} {}", number(p.x * EM, 2), number(-p.y * EM, 2));
    drawing::letter(id, bold)
        .elements()
        .iter()
        .map(|element| match *element {
            PathEl::MoveTo(p) => format!("M{}", place(p)),
            PathEl::LineTo(p) => format!("L{}", place(p)),
            PathEl::QuadTo(a, p) => format!("Q{} {}", place(a), place(p)),
            PathEl::CurveTo(a, b, p) => format!("C{} {} {}", place(a), place(b), place(p)),
            PathEl::ClosePath => "Z".to_owned(),
        })
        .collect()
}

/// Text with what XML cannot hold, control characters, made spaces. The `svg` crate escapes the
/// rest.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { ' ' } else { c })
        .collect()
}

fn pair(point: Point) -> String {
    format!("{} {}", number(point.x, PLACES), number(point.y, PLACES))
}

/// `value` with at most `places` decimals, no trailing zeros and no "-0".
pub(super) fn number(value: f64, places: usize) -> String {
    let mut text = format!("{value:.places$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(number(-0.000_01, 4), "0");
        assert_eq!(number(12.5, 4), "12.5");
        assert_eq!(number(0.396_875, 4), "0.3969");
        assert_eq!(number(100.0, 4), "100");
    }
}
