//! Writes a drawing as SVG at full size: one user unit is one millimeter.
//!
//! Lines of one kind stand in one group named after their layer. Text is written as the outlines
//! of the built-in face, so that it looks the same where that face is not installed: each letter once, used wherever it
//! stands. What a text says stands in its `aria-label`.

use std::collections::BTreeSet;
use std::fmt::Write;
use std::sync::{LazyLock, OnceLock};

use kurbo::{PathEl, Point, Vec2};

use super::fixed::fixed;
use super::xml::escaped;
use crate::drawing::{self, Drawing, Item, Line, Path, SHADE, Text};
use crate::kernel::{Contour, Segment, Vertex};

/// Decimals of a coordinate in mm: a tenth of the program's coordinate tolerance.
pub(super) const PLACES: usize = 5;

/// Letters are drawn and set in whole thousandths of their size.
const EM: f64 = 1000.0;

/// Decimals of how large a letter is drawn: as fine for the longest text as those of a coordinate.
const SCALE_PLACES: usize = 8;

/// The drawing as the text of an SVG file.
///
/// `width` and `height` are in mm, the view box in mm, y turned down. Arcs stay arcs (`A`), whole
/// circles are `<circle>`s, all is black or gray. The same drawing gives the same bytes.
pub(crate) fn write(drawing: &Drawing) -> String {
    let mut pen = SvgPen::new(drawing.height);
    let (width, height) = (number(drawing.width, PLACES), number(drawing.height, PLACES));
    pen.open("svg");
    pen.attribute("height", &format!("{height}mm"));
    pen.attribute("version", "1.1");
    pen.attribute("viewBox", &format!("0 0 {width} {height}"));
    pen.attribute("width", &format!("{width}mm"));
    pen.attribute("xmlns", XMLNS);
    // Old editors know no other way to use what is defined.
    pen.attribute("xmlns:xlink", "http://www.w3.org/1999/xlink");
    pen.text(">\n<title>");
    pen.text(&escaped(&drawing.title));
    pen.text("</title>\n");
    pen.letters(drawing);
    // Below all lines.
    pen.shades(drawing);
    Line::ALL.into_iter().for_each(|line| pen.layer(drawing, line));
    pen.fills(drawing);
    pen.texts(drawing);
    pen.finish()
}

pub(super) const XMLNS: &str = "http://www.w3.org/2000/svg";

fn tone(level: u8) -> String {
    match level {
        0 => "#000".to_owned(),
        level => format!("#{level:02x}{level:02x}{level:02x}"),
    }
}

/// An SVG file in the making, y turned from a drawing's, up from the bottom, to SVG's, down from the top.
pub(super) struct SvgPen {
    out: String,
    height: f64,
}

impl SvgPen {
    pub(super) fn new(height: f64) -> Self {
        Self { out: String::new(), height }
    }

    pub(super) fn finish(mut self) -> String {
        self.out.push_str("</svg>\n");
        self.out
    }

    pub(super) fn text(&mut self, text: &str) {
        self.out.push_str(text);
    }

    pub(super) fn open(&mut self, element: &str) {
        self.out.push('<');
        self.out.push_str(element);
    }

    pub(super) fn attribute(&mut self, name: &str, value: &str) {
        for text in [" ", name, "=\"", value, "\""] {
            self.out.push_str(text);
        }
    }

    fn measure(&mut self, name: &str, value: f64) {
        for text in [" ", name, "=\""] {
            self.out.push_str(text);
        }
        self.figure(value);
        self.out.push('"');
    }

    fn figure(&mut self, value: f64) {
        fixed(value, PLACES, |text| self.out.push_str(text));
    }

    /// All strokes of one kind, with width and dashes as that kind is drawn.
    fn layer(&mut self, drawing: &Drawing, kind: Line) {
        let mut paths = drawing.items.iter().filter_map(|item| match item {
            Item::Stroke { line, path } if *line == kind => Some(path),
            _ => None,
        });
        let Some(first) = paths.next() else { return };
        let style = kind.style();
        self.open("g");
        self.attribute("fill", "none");
        self.attribute("id", style.layer);
        self.attribute("stroke", &tone(style.ink.level()));
        if !style.dashes.is_empty() {
            let dashes: Vec<String> = style.dashes.iter().map(|d| number(*d, PLACES)).collect();
            self.attribute("stroke-dasharray", &dashes.join(" "));
        }
        self.measure("stroke-width", style.width);
        self.text(">\n");
        std::iter::once(first).chain(paths).for_each(|path| self.path(path));
        self.text("</g>\n");
    }

    fn path(&mut self, path: &Path) {
        match path {
            Path::Circle { center, radius } => self.circle(*center, *radius),
            Path::Closed(contour) => self.closed(contour),
            Path::Open(vertices) => self.open_line(vertices),
        }
    }

    pub(super) fn circle(&mut self, center: Point, radius: f64) {
        self.open("circle");
        self.measure("cx", center.x);
        self.measure("cy", self.height - center.y);
        self.measure("r", radius);
        self.text("/>\n");
    }

    pub(super) fn closed(&mut self, contour: &Contour) {
        self.shape(|pen| pen.closed_data(contour));
    }

    pub(super) fn open_line(&mut self, vertices: &[Vertex]) {
        self.shape(|pen| {
            if let Some(first) = vertices.first() {
                pen.step("M", first.at);
            }
            for (a, b) in vertices.iter().zip(vertices.iter().skip(1)) {
                pen.segment(Segment { start: a.at, end: b.at, bulge: a.bulge });
            }
        });
    }

    /// A path, of which `data` writes the data.
    fn shape(&mut self, data: impl FnOnce(&mut Self)) {
        self.text("<path d=\"");
        data(self);
        self.text("\"/>\n");
    }

    fn fills(&mut self, drawing: &Drawing) {
        self.areas(drawing, ("fill", 0), |item| match item {
            Item::Fill(contour) => Some(contour),
            _ => None,
        });
    }

    fn shades(&mut self, drawing: &Drawing) {
        self.areas(drawing, ("shade", SHADE), |item| match item {
            Item::Shade(contour) => Some(contour),
            _ => None,
        });
    }

    /// All areas of one tone as one path.
    fn areas<'d>(
        &mut self,
        drawing: &'d Drawing,
        (name, level): (&str, u8),
        area: impl Fn(&'d Item) -> Option<&'d Contour>,
    ) {
        let mut areas = drawing.items.iter().filter_map(area).peekable();
        if areas.peek().is_none() {
            return;
        }
        self.group(name, level);
        self.shape(|pen| areas.for_each(|contour| pen.closed_data(contour)));
        self.text("</g>\n");
    }

    fn group(&mut self, name: &str, level: u8) {
        self.open("g");
        self.attribute("fill", &tone(level));
        self.attribute("id", name);
        self.text(">\n");
    }

    fn texts(&mut self, drawing: &Drawing) {
        let mut texts = texts(drawing).peekable();
        if texts.peek().is_none() {
            return;
        }
        self.group("text", 0);
        texts.for_each(|text| self.text_line(text));
        self.text("</g>\n");
    }

    /// A line of text: its letters, used from the definitions.
    fn text_line(&mut self, text: &Text) {
        let [.., x, y] = text.place().as_coeffs();
        self.open("g");
        self.attribute("aria-label", &escaped(&text.text));
        self.text(" transform=\"translate(");
        self.point(Point::new(x, y));
        if text.turn != 0.0 {
            self.text(") rotate(");
            self.figure(-text.turn);
        }
        self.text(") scale(");
        fixed(text.size / EM, SCALE_PLACES, |text| self.out.push_str(text));
        self.text(")\">");
        for glyph in drawing::glyphs(&text.text, EM, text.bold) {
            if !letter_data(glyph.id, text.bold).is_empty() {
                self.text("<use ");
                if glyph.x > 0.0 {
                    self.text("x=\"");
                    fixed(glyph.x, 0, |text| self.out.push_str(text));
                    self.text("\" ");
                }
                self.text("xlink:href=\"#");
                self.letter_name(glyph.id, text.bold);
                self.text("\"/>");
            }
        }
        self.text("</g>\n");
    }

    fn letter_name(&mut self, id: u16, bold: bool) {
        // Writing to a String does not fail.
        let _ = write!(self.out, "{}{id}", if bold { 'b' } else { 'r' });
    }

    /// Each letter that is used, once.
    fn letters(&mut self, drawing: &Drawing) {
        let glyphs = texts(drawing).flat_map(|text| {
            drawing::glyphs(&text.text, EM, text.bold).map(|glyph| (text.bold, glyph.id))
        });
        let used: BTreeSet<(bool, u16)> = glyphs.collect();
        let drawn = used.into_iter().map(|(bold, id)| (bold, id, letter_data(id, bold)));
        let drawn: Vec<_> = drawn.filter(|(.., data)| !data.is_empty()).collect();
        if drawn.is_empty() {
            return;
        }
        self.text("<defs>\n");
        for (bold, id, data) in drawn {
            self.text("<path d=\"");
            self.text(data);
            self.text("\" id=\"");
            self.letter_name(id, bold);
            self.text("\"/>\n");
        }
        self.text("</defs>\n");
    }

    fn closed_data(&mut self, contour: &Contour) {
        for (i, segment) in contour.segments().enumerate() {
            if i == 0 {
                self.step("M", segment.start);
            }
            self.segment(segment);
        }
        self.text("Z");
    }

    /// A line, or an arc in pieces of a quarter turn at most: with its ends rounded to
    /// 0.0001 mm the center of a quarter turn moves as little as they do, but that of a half turn
    /// by the root of it (0.03 mm on a 1/2 in slot end).
    fn segment(&mut self, segment: Segment) {
        let Some(arc) = segment.arc() else { return self.step("L", segment.end) };
        let pieces = (arc.sweep.abs() / std::f64::consts::FRAC_PI_2 - 1e-9).ceil().max(1.0);
        // Counter-clockwise with y up is SVG's negative direction with y down.
        let way = if arc.sweep < 0.0 { " 0 0 1 " } else { " 0 0 0 " };
        for i in 1..=pieces as u32 {
            let done = f64::from(i) / pieces;
            let end = if done < 1.0 {
                arc.center + Vec2::from_angle(arc.start_angle + arc.sweep * done) * arc.radius
            } else {
                segment.end
            };
            self.text("A");
            self.pair(arc.radius, arc.radius);
            self.step(way, end);
        }
    }

    fn step(&mut self, command: &str, to: Point) {
        self.text(command);
        self.point(to);
    }

    fn point(&mut self, point: Point) {
        self.pair(point.x, self.height - point.y);
    }

    fn pair(&mut self, x: f64, y: f64) {
        self.figure(x);
        self.out.push(' ');
        self.figure(y);
    }
}

fn texts(drawing: &Drawing) -> impl Iterator<Item = &Text> {
    drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text),
        Item::Stroke { .. } | Item::Fill(_) | Item::Shade(_) => None,
    })
}

/// A letter's outline, written when it is first asked for.
fn letter_data(id: u16, bold: bool) -> &'static str {
    static WRITTEN: LazyLock<[Vec<OnceLock<String>>; 2]> = LazyLock::new(|| {
        [false, true].map(|bold| vec![OnceLock::new(); drawing::letter_count(bold)])
    });
    let letter = WRITTEN[usize::from(bold)].get(usize::from(id));
    letter.map_or("", |letter| letter.get_or_init(|| LetterPath::of(id, bold)))
}

/// The outline of a letter in whole thousandths of its size, y down, each step from where the last one ended.
#[derive(Default)]
struct LetterPath {
    data: String,
    at: [i64; 2],
    /// What the step before was.
    way: char,
}

impl LetterPath {
    fn of(id: u16, bold: bool) -> String {
        let mut path = Self::default();
        for element in drawing::letter(id, bold).elements() {
            match *element {
                PathEl::MoveTo(p) => path.begin(p),
                PathEl::LineTo(p) => path.line(p),
                PathEl::QuadTo(a, p) => path.step('q', &[a, p]),
                PathEl::CurveTo(a, b, p) => path.step('c', &[a, b, p]),
                PathEl::ClosePath => path.close(),
            }
        }
        path.data
    }

    fn begin(&mut self, to: Point) {
        self.at = whole(to);
        self.say('M', &self.at.clone());
    }

    fn close(&mut self) {
        self.data.push('z');
        self.way = 'z';
    }

    fn line(&mut self, to: Point) {
        match by(self.at, to) {
            [across, 0] => self.say('h', &[across]),
            [0, down] => self.say('v', &[down]),
            both => self.say('l', &both),
        }
        self.at = whole(to);
    }

    fn step(&mut self, way: char, points: &[Point]) {
        let steps: Vec<i64> = points.iter().flat_map(|point| by(self.at, *point)).collect();
        self.say(way, &steps);
        self.at = points.last().map_or(self.at, |end| whole(*end));
    }

    /// A command that is said once for all steps alike; a minus parts figures as a space does.
    fn say(&mut self, way: char, figures: &[i64]) {
        let mut bare = self.way != way;
        if bare {
            self.data.push(way);
        }
        self.way = way;
        for figure in figures {
            let space = if bare || *figure < 0 { "" } else { " " };
            let _ = write!(self.data, "{space}{figure}");
            bare = false;
        }
    }
}

fn whole(point: Point) -> [i64; 2] {
    [point.x, -point.y].map(|share| (share * EM).round() as i64)
}

fn by(from: [i64; 2], to: Point) -> [i64; 2] {
    let to = whole(to);
    [to[0] - from[0], to[1] - from[1]]
}

/// `value` with at most `places` decimals, no trailing zeros and no "-0".
pub(super) fn number(value: f64, places: usize) -> String {
    let mut out = String::new();
    fixed(value, places, |text| out.push_str(text));
    out
}
