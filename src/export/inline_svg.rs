//! Drawings within a page of HTML: small, for it holds them all. Lengths are whole hundredths of a millimeter, what a line
//! looks like stands once in the page's style, and letters are text, held to the width that they were laid out with.

use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{Point, Vec2};
use maud::{Markup, html};

use super::fixed::fixed;
use crate::drawing::{Anchor, Drawing, Item, Line, Path, SHADE, Text, text_width};
use crate::kernel::{Contour, Segment};

/// User units to a millimeter.
const FINE: f64 = 100.0;

/// The lightest gray that can be made out on white: a contrast of 3 : 1 (WCAG 2.1, 1.4.11) and a little more.
const LIGHTEST: u8 = 0x8c;

/// What lines and letters look like, once for all pictures.
pub(super) fn style() -> String {
    let mut css = String::from(
        "svg path{fill:none;stroke:#000;stroke-linejoin:round}svg .fill{fill:#000;stroke:none}",
    );
    let _ = write!(css, "svg .shade{{fill:#{SHADE:02x}{SHADE:02x}{SHADE:02x};stroke:none}}");
    for line in Line::ALL {
        let style = line.style();
        let width = style.width * FINE;
        let _ = write!(css, "svg .{}{{stroke-width:{width:.0}", style.layer);
        let level = style.ink.level().min(LIGHTEST);
        if level > 0 {
            let _ = write!(css, ";stroke:#{level:02x}{level:02x}{level:02x}");
        }
        if !style.dashes.is_empty() {
            let dashes = style.dashes.iter().map(|dash| format!("{:.0}", (dash * FINE).max(1.0)));
            let _ = write!(css, ";stroke-dasharray:{}", dashes.collect::<Vec<_>>().join(" "));
        }
        css.push('}');
    }
    css
}

/// The drawing as an `<svg>` element that says `alt` to whom cannot see it.
pub(super) fn write(drawing: &Drawing, alt: &str) -> String {
    let pen = Pen { height: drawing.height };
    let view = format!("0 0 {:.0} {:.0}", drawing.width * FINE, drawing.height * FINE);
    // As wide as it is on paper, where the page has room.
    let width = format!("{:.0}mm", drawing.width);
    let mut lines: BTreeMap<Line, PathData> = BTreeMap::new();
    let (mut fills, mut shades) = (PathData::default(), PathData::default());
    let mut texts = Vec::new();
    for item in &drawing.items {
        match item {
            Item::Stroke { line, path } => pen.path(lines.entry(*line).or_default(), path),
            Item::Fill(contour) => pen.closed(&mut fills, contour),
            Item::Shade(contour) => pen.closed(&mut shades, contour),
            Item::Text(text) => texts.push(text),
        }
    }
    let lines = Line::ALL.into_iter().filter_map(|line| Some((line, lines.get(&line)?)));
    html! {
        svg role="img" aria-label=(alt) viewBox=(view) width=(width) {
            @if !shades.text.is_empty() { path.shade d=(shades.text) {} }
            @for (line, data) in lines { path class=(line.style().layer) d=(data.text) {} }
            @if !fills.text.is_empty() { path.fill d=(fills.text) {} }
            @for text in texts { (pen.text(text)) }
        }
    }
    .into_string()
}

/// The `d` of a path in the making: each step from where the last one ended, so that figures are short.
#[derive(Default)]
struct PathData {
    text: String,
    /// In user units.
    at: (i64, i64),
}

impl PathData {
    fn begin(&mut self, to: (i64, i64)) {
        self.text.push('M');
        self.pair(to);
        self.at = to;
    }

    fn step(&mut self, to: (i64, i64), way: &str) {
        self.text.push_str(way);
        self.pair((to.0 - self.at.0, to.1 - self.at.1));
        self.at = to;
    }

    /// Two figures; a minus parts them as a space does.
    fn pair(&mut self, (x, y): (i64, i64)) {
        self.whole(x);
        if y >= 0 {
            self.text.push(' ');
        }
        self.whole(y);
    }

    fn whole(&mut self, figure: i64) {
        fixed(figure as f64, 0, |text| self.text.push_str(text));
    }
}

/// From a drawing's mm, y up, to the picture's units, y down.
struct Pen {
    height: f64,
}

impl Pen {
    fn at(&self, point: Point) -> (i64, i64) {
        let whole = |mm: f64| (mm * FINE).round() as i64;
        (whole(point.x), whole(self.height - point.y))
    }

    fn path(&self, data: &mut PathData, path: &Path) {
        match path {
            Path::Closed(contour) => self.closed(data, contour),
            Path::Circle { center, radius } => {
                self.closed(data, &Contour::circle(*center, *radius));
            }
            Path::Open(vertices) => {
                if let Some(first) = vertices.first() {
                    data.begin(self.at(first.at));
                }
                for (a, b) in vertices.iter().zip(vertices.iter().skip(1)) {
                    self.segment(data, Segment { start: a.at, end: b.at, bulge: a.bulge });
                }
            }
        }
    }

    fn closed(&self, data: &mut PathData, contour: &Contour) {
        for (i, segment) in contour.segments().enumerate() {
            if i == 0 {
                data.begin(self.at(segment.start));
            }
            self.segment(data, segment);
        }
        data.text.push('z');
    }

    /// A line, or an arc in pieces of a quarter turn at most, whose centers stay where they are when ends are rounded.
    fn segment(&self, data: &mut PathData, segment: Segment) {
        let Some(arc) = segment.arc() else { return data.step(self.at(segment.end), "l") };
        let pieces = (arc.sweep.abs() / std::f64::consts::FRAC_PI_2 - 1e-9).ceil().max(1.0);
        // Counter-clockwise with y up is SVG's negative direction with y down.
        let radius = (arc.radius * FINE).round() as i64;
        let way = if arc.sweep < 0.0 { " 0 0 1 " } else { " 0 0 0 " };
        for piece in 1..=pieces as u32 {
            let done = arc.sweep * f64::from(piece) / pieces;
            let to = arc.center + Vec2::from_angle(arc.start_angle + done) * arc.radius;
            data.text.push('a');
            data.pair((radius, radius));
            data.step(self.at(to), way);
        }
    }

    fn text(&self, text: &Text) -> Markup {
        let (x, y) = self.at(text.at);
        let anchor = match text.anchor {
            Anchor::Start => None,
            Anchor::Middle => Some("middle"),
            Anchor::End => Some("end"),
        };
        let turn = (text.turn != 0.0).then(|| format!("rotate({:.0} {x} {y})", -text.turn));
        let wide = text_width(&text.text, text.size, text.bold) * FINE;
        let size = format!("{:.0}", text.size * FINE);
        let words: String =
            text.text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        html! {
            text x=(x) y=(y) font-size=(size) textLength=(format!("{wide:.0}")) lengthAdjust="spacingAndGlyphs"
                text-anchor=[anchor] transform=[turn] font-weight=[text.bold.then_some("bold")] { (words) }
        }
    }
}
