//! Drawing items on the surface of a PDF page.
//!
//! The surface is set up in mm, y up; lines, dashes and letters are drawn at the sizes the model
//! states.

use krilla::color::luma;
use krilla::geom::{Path as PdfPath, PathBuilder, Point as PdfPoint, Transform};
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use kurbo::{Affine, Rect, Shape, Vec2};

use crate::drawing::{Anchor, Item, Line, Path, SHADE, Text, face_data, glyphs, text_width};
use crate::kernel::{Contour, Segment};
use crate::tolerance;

/// The two faces, ready to embed.
pub(super) struct Faces {
    regular: Font,
    bold: Font,
}

impl Faces {
    /// `None` when the built-in faces cannot be read.
    pub(super) fn load() -> Option<Self> {
        let load = |bold| Font::new(face_data(bold).into(), 0);
        Some(Self { regular: load(false)?, bold: load(true)? })
    }
}

/// Draws `items`, moved by `shift`, as far as they touch `seen` (both in the page's mm). Strokes of one kind that come one after
/// the other are one path.
pub(super) fn draw(
    surface: &mut Surface<'_>,
    faces: &Faces,
    items: &[Item],
    shift: Vec2,
    seen: Rect,
) {
    let touches = |item: &Item| bounds(item).is_some_and(|b| b.is_finite() && b.overlaps(seen));
    let moved = items.iter().map(|item| item.transformed(Affine::translate(shift)));
    let moved: Vec<Item> = moved.filter(touches).collect();
    for run in moved.chunk_by(|a, b| line(a).is_some() && line(a) == line(b)) {
        match &run[0] {
            Item::Stroke { line, .. } => stroke(surface, *line, run),
            Item::Fill(contour) => fill(surface, contour, 0),
            Item::Shade(contour) => fill(surface, contour, SHADE),
            Item::Text(text) => letters(surface, faces, text),
        }
    }
}

/// What kind of line an item is.
fn line(item: &Item) -> Option<Line> {
    match item {
        Item::Stroke { line, .. } => Some(*line),
        Item::Fill(_) | Item::Shade(_) | Item::Text(_) => None,
    }
}

/// A box as a closed path, to clip by. `None` when it is not finite.
pub(super) fn box_path(area: Rect) -> Option<PdfPath> {
    let mut pen = PathBuilder::new();
    pen.push_rect(krilla::geom::Rect::from_ltrb(
        area.x0 as f32,
        area.y0 as f32,
        area.x1 as f32,
        area.y1 as f32,
    )?);
    pen.finish()
}

/// Draws a run of strokes of one kind.
fn stroke(surface: &mut Surface<'_>, line: Line, run: &[Item]) {
    let style = line.style();
    let array: Vec<f32> = style.dashes.iter().map(|length| *length as f32).collect();
    surface.set_fill(None);
    surface.set_stroke(Some(Stroke {
        width: style.width as f32,
        paint: luma::Color::new(style.ink.level()).into(),
        dash: (!array.is_empty()).then_some(StrokeDash { array, offset: 0.0 }),
        ..Stroke::default()
    }));
    let mut pen = PathBuilder::new();
    for item in run {
        if let Item::Stroke { path, .. } = item {
            trace(&mut pen, &segments(path), !matches!(path, Path::Open(_)));
        }
    }
    if let Some(path) = pen.finish() {
        surface.draw_path(&path);
    }
}

/// An area of one tone, from 0, black, to 255, white.
fn fill(surface: &mut Surface<'_>, contour: &Contour, tone: u8) {
    surface.set_stroke(None);
    surface.set_fill(Some(Fill { paint: luma::Color::new(tone).into(), ..Fill::default() }));
    let mut pen = PathBuilder::new();
    trace(&mut pen, &contour.segments().collect::<Vec<_>>(), true);
    if let Some(path) = pen.finish() {
        surface.draw_path(&path);
    }
}

/// Text stays text: letters of the embedded face, each where the model says.
fn letters(surface: &mut Surface<'_>, faces: &Faces, text: &Text) {
    let glyphs: Vec<KrillaGlyph> = glyphs(&text.text, text.size, text.bold)
        .into_iter()
        .map(|g| {
            let advance = (g.advance / text.size) as f32;
            let id = GlyphId::new(u32::from(g.id));
            KrillaGlyph::new(id, advance, 0.0, 0.0, 0.0, g.start..g.end, None)
        })
        .collect();
    let face = if text.bold { &faces.bold } else { &faces.regular };
    // The surface is y up here, letters are drawn y down.
    let place = text_place(text) * Affine::FLIP_Y;
    surface.set_stroke(None);
    surface.set_fill(Some(Fill::default()));
    surface.push_transform(&transform(place));
    let origin = PdfPoint::from_xy(0.0, 0.0);
    surface.draw_glyphs(origin, &glyphs, face.clone(), &text.text, text.size as f32, false);
    surface.pop();
}

/// Where the baseline starts and which way it runs.
fn text_place(text: &Text) -> Affine {
    let width = text_width(&text.text, text.size, text.bold);
    let back = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    Affine::translate(text.at.to_vec2())
        * Affine::rotate(text.turn.to_radians())
        * Affine::translate((-back, 0.0))
}

/// An affine map as the PDF writer takes it.
pub(super) fn transform(map: Affine) -> Transform {
    let [a, b, c, d, e, f] = map.as_coeffs().map(|value| value as f32);
    Transform::from_row(a, b, c, d, e, f)
}

/// Draws the segments one after the other, arcs as cubics that stay within the coordinate tolerance.
fn trace(pen: &mut PathBuilder, segments: &[Segment], close: bool) {
    let Some(first) = segments.first().map(|segment| segment.start) else { return };
    pen.move_to(first.x as f32, first.y as f32);
    for segment in segments {
        let Some(arc) = segment.arc() else {
            pen.line_to(segment.end.x as f32, segment.end.y as f32);
            continue;
        };
        let round = Vec2::new(arc.radius, arc.radius);
        kurbo::Arc::new(arc.center, round, arc.start_angle, arc.sweep, 0.0).to_cubic_beziers(
            tolerance::COORDINATE,
            |a, b, end| {
                let [a, b, end] = [a, b, end].map(|p| (p.x as f32, p.y as f32));
                pen.cubic_to(a.0, a.1, b.0, b.1, end.0, end.1);
            },
        );
    }
    if close {
        pen.close();
    }
}

fn segments(path: &Path) -> Vec<Segment> {
    match path {
        Path::Open(vertices) => vertices
            .iter()
            .zip(vertices.iter().skip(1))
            .map(|(a, b)| Segment { start: a.at, end: b.at, bulge: a.bulge })
            .collect(),
        Path::Closed(contour) => contour.segments().collect(),
        Path::Circle { center, radius } => Contour::circle(*center, *radius).segments().collect(),
    }
}

/// A box around what an item blackens; `None` for nothing.
pub(super) fn bounds(item: &Item) -> Option<Rect> {
    let around =
        |segments: Vec<Segment>| segments.iter().map(Segment::bounds).reduce(|a, b| a.union(b));
    match item {
        Item::Stroke { line, path } => {
            let half = line.style().width / 2.0;
            around(segments(path)).map(|b| b.inflate(half, half))
        }
        Item::Fill(contour) | Item::Shade(contour) => around(contour.segments().collect()),
        Item::Text(text) if text.size > 0.0 && !text.text.is_empty() => {
            let width = text_width(&text.text, text.size, text.bold);
            let line = Rect::from_points((0.0, -0.25 * text.size), (width, text.size));
            Some((text_place(text) * line.to_path(1.0)).bounding_box())
        }
        Item::Text(_) => None,
    }
}
