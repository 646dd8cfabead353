//! A measuring sheet: one page that shows a tool of a style, what to measure on it, and boxes to write in.
//!
//! ```text
//! sketch -> view (flat) -> fitted (onto paper) -> line (named dimension lines); asked figures -> boxes
//! ```

mod boxes;
mod fitted;
mod line;
mod view;
mod words;

use kurbo::{Point, Rect, Size, Vec2};

use self::boxes::Boxes;
use self::fitted::FittedAxis;
use self::view::SeenTool;
use super::canvas::{Canvas, Label};
use super::table::wrap;
use super::{Drawing, Line, text_width};
use crate::holder::ToolSketch;
use crate::length::Units;
use crate::style::{AskedFigure, SketchView};
use crate::tolerance::COORDINATE;

/// Letter sizes, in mm.
const TITLE: f64 = 6.0;
const PLAIN: f64 = 3.0;

/// From one baseline to the next, in letter sizes.
const LEADING: f64 = 1.45;

/// White between the parts of a sheet, and between two views, in mm.
const BETWEEN: f64 = 5.0;
const VIEWS_APART: f64 = 12.0;

/// White that a drawing is given all round, in mm.
const AROUND: f64 = 5.0;

/// The picture is no higher than this and where there is a table no lower, in mm; nor is any smaller than the least.
const HIGHEST: f64 = 125.0;
const BESIDE_A_TABLE: f64 = 90.0;
const LEAST: f64 = 45.0;

/// How large a picture is drawn first, next to what its height alone would take; how much smaller each time it does not
/// fit, and how often.
const FIRST: f64 = 1.5;
const SMALLER: f64 = 0.94;
const TRIES: i32 = 50;

/// What a measuring sheet shows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MeasuringSheet<'s> {
    /// The style's title, its name, and what it hangs.
    pub title: &'s str,
    pub name: &'s str,
    pub hangs: &'s str,
    pub units: Units,
    pub asked: &'s [AskedFigure],
    pub sketch: &'s ToolSketch,
}

/// The sheet on a page with `room`; `None` where all that is asked for finds no room.
pub(crate) fn measuring_sheet(sheet: &MeasuringSheet<'_>, room: Size) -> Option<Drawing> {
    let width = room.width - 2.0 * AROUND;
    let high = room.height - 2.0 * AROUND;
    let boxes = Boxes::new(sheet.asked, sheet.units, width);
    let foot = wrapped(&words::foot(sheet), width);
    let mut canvas = Canvas::default();
    let top = sheet.write_head(&mut canvas, width);
    let left = high + top - boxes.height(0) - height(&foot) - 2.0 * BETWEEN;
    let rows = boxes.rows(left - BESIDE_A_TABLE);
    let left = left - (boxes.height(rows) - boxes.height(0));
    let views = sheet.views();
    let below = if views.is_empty() {
        top
    } else {
        let picture = picture(&views, Size::new(width, left.min(HIGHEST)))?;
        put_in_the_middle(&mut canvas, picture, width, top)
    };
    let lowest = boxes.draw(&mut canvas, below, rows) - BETWEEN;
    write_lines(&mut canvas, &foot, lowest);
    let fits = height(&foot) - lowest <= high && canvas.bounds().width() <= width + COORDINATE;
    fits.then(|| canvas.into_drawing(format!("{}, measuring sheet", sheet.title)))
}

/// Puts a picture below `top`; tells where it ends.
fn put_in_the_middle(canvas: &mut Canvas, picture: Canvas, width: f64, top: f64) -> f64 {
    let area = picture.bounds();
    canvas.take(picture, Vec2::new((width - area.width()) / 2.0 - area.x0, top - area.y1));
    top - area.height() - BETWEEN
}

impl<'s> MeasuringSheet<'s> {
    /// Title and what the style hangs; tells where the rest begins.
    fn write_head(&self, canvas: &mut Canvas, width: f64) -> f64 {
        let title = Label::new(format!("Measuring sheet: {}", self.title), TITLE).bold();
        let size = TITLE * (width / title.run()).min(1.0);
        let title = Label { size, ..title };
        canvas.write_from(&title, Point::new(0.0, -TITLE));
        let below = -TITLE * LEADING;
        canvas.line(Line::Furniture, Point::new(0.0, below), Point::new(width, below));
        let lines = wrapped(&words::head(self), width);
        write_lines(canvas, &lines, below - 1.0);
        below - 1.0 - height(&lines) - BETWEEN
    }

    /// What the views show, with what they are called: from the front, and from the side where something is measured there.
    fn views(&self) -> Vec<(SeenTool, &'s str)> {
        let name = |own: &'s Option<String>, usual| own.as_deref().unwrap_or(usual);
        let views = [
            (SketchView::Front, name(&self.sketch.front, "front")),
            (SketchView::Side, name(&self.sketch.side, "side, the wall at the right")),
        ];
        let seen = views.map(|(view, name)| (SeenTool::new(self.sketch, view), name));
        let [front, side] = seen;
        let front = Some(front).filter(|(tool, _)| !tool.is_blank());
        front.into_iter().chain(Some(side).filter(|(tool, _)| !tool.lines.is_empty())).collect()
    }
}

/// The views, no larger than `most`; `None` where they find no room.
fn picture(views: &[(SeenTool, &str)], most: Size) -> Option<Canvas> {
    if most.height < LEAST {
        return None;
    }
    let stops: Vec<f64> = views.iter().flat_map(|(tool, _)| tool.stops(true)).collect();
    let plain = FittedAxis::new(stops.clone(), 1.0).length().max(1.0);
    let scales = (0..TRIES).map(|tries| FIRST * most.height / plain * SMALLER.powi(tries));
    let mut drawn = scales.map(|scale| views_side_by_side(views, &stops, scale));
    drawn.find(|drawn| {
        let size = drawn.bounds().size();
        size.width <= most.width && size.height <= most.height
    })
}

/// The views with their names below, their heights on one line.
fn views_side_by_side(seen: &[(SeenTool, &str)], stops: &[f64], scale: f64) -> Canvas {
    let up = FittedAxis::new(stops.to_vec(), scale);
    let mut all = Canvas::default();
    let mut views: Vec<(Canvas, &str)> = Vec::new();
    for (tool, name) in seen {
        let across = FittedAxis::new(tool.stops(false), scale);
        let mut canvas = Canvas::default();
        tool.draw(&mut canvas, [&across, &up]);
        line::draw_lines(&mut canvas, tool, [&across, &up]);
        views.push((canvas, name));
    }
    let lowest = views.iter().map(|(canvas, _)| canvas.bounds().y0).fold(0.0, f64::min);
    let mut left = 0.0;
    for (canvas, name) in views {
        let area = canvas.bounds();
        let width = area.width().max(text_width(name, PLAIN, false));
        let middle = left + width / 2.0;
        all.take(canvas, Vec2::new(middle - area.center().x, 0.0));
        all.write(&Label::new(name, PLAIN), Point::new(middle, lowest - BETWEEN));
        left += width + VIEWS_APART;
    }
    all
}

fn wrapped(texts: &[String], width: f64) -> Vec<String> {
    texts.iter().flat_map(|text| wrap(text, PLAIN, false, width)).collect()
}

/// How high lines of text are, in mm.
fn height(lines: &[String]) -> f64 {
    lines.len() as f64 * PLAIN * LEADING
}

/// Lines of text one below the other, the first below `top`.
fn write_lines(canvas: &mut Canvas, lines: &[String], top: f64) {
    for (i, line) in lines.iter().enumerate() {
        let y = top - (i + 1) as f64 * PLAIN * LEADING;
        canvas.write_from(&Label::new(line.clone(), PLAIN), Point::new(0.0, y));
    }
}

/// A box from its upper left corner.
fn hung(left: f64, top: f64, width: f64, height: f64) -> Rect {
    Rect::new(left, top - height, left + width, top)
}
