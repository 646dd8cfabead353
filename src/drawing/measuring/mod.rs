//! A measuring sheet: one page that shows a tool of a style, what to measure on it, and boxes to write in.
//!
//! ```text
//! sketch -> view (flat) -> fitted (onto paper) -> line (named dimension lines); asked figures -> boxes
//! ```

mod boxes;
mod fitted;
mod line;
mod view;

use kurbo::{Point, Rect, Size, Vec2};

use self::boxes::Boxes;
use self::fitted::FittedAxis;
use self::view::SeenTool;
use super::canvas::{Canvas, Label};
use super::table::wrap;
use super::{Drawing, Line, text_width};
use crate::holder::ToolSketch;
use crate::length::Units;
use crate::reading::Kind;
use crate::style::{AskedCount, AskedFigure, AskedOf, SketchView};

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
const TRIES: usize = 50;

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
    let boxes = Boxes::new(sheet.asked, sheet.units, width);
    let foot = sheet.foot(width);
    let mut canvas = Canvas::default();
    let top = sheet.write_head(&mut canvas, width);
    let fixed = -top + boxes.height(0) + foot.len() as f64 * PLAIN * LEADING + 2.0 * BETWEEN;
    let left = room.height - 2.0 * AROUND - fixed;
    let rows = boxes.rows(left - BESIDE_A_TABLE);
    let left = left - (boxes.height(rows) - boxes.height(0));
    let picture = sheet.picture(Size::new(width, left.min(HIGHEST)));
    let lowest = picture.map_or(Some(top), |picture| {
        let area = picture.bounds();
        let aside = (width - area.width()) / 2.0 - area.x0;
        (left >= LEAST).then(|| {
            canvas.take(picture, Vec2::new(aside, top - area.y1));
            top - area.height() - BETWEEN
        })
    })?;
    let lowest = boxes.draw(&mut canvas, lowest, rows) - BETWEEN;
    write_lines(&mut canvas, &foot, lowest);
    let bottom = lowest - foot.len() as f64 * PLAIN * LEADING;
    let fits = -bottom <= room.height - 2.0 * AROUND && canvas.bounds().width() <= width + 0.1;
    fits.then(|| canvas.into_drawing(format!("{}, measuring sheet", sheet.title)))
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
        let hangs = wrap(&format!("{}: hangs {}.", self.name, self.hangs), PLAIN, false, width);
        write_lines(canvas, &hangs, below - 1.0);
        let units = match self.units {
            Units::Inches => "All lengths in inches, as the tape reads: 1 3/8.",
            Units::Millimeters => "All lengths in mm.",
        };
        let tool = if self.measures_a_tool() {
            "Measure your own tool. Its picture is drawn to fit, not to scale."
        } else {
            "There is no tool to measure for this style. What is shown is drawn to fit, not to scale."
        };
        let low = below - 1.0 - hangs.len() as f64 * PLAIN * LEADING;
        let remarks = wrap(&format!("{tool} {units}"), PLAIN, false, width);
        write_lines(canvas, &remarks, low);
        low - remarks.len() as f64 * PLAIN * LEADING - BETWEEN
    }

    fn measures_a_tool(&self) -> bool {
        self.asked.iter().any(|figure| figure.of == AskedOf::Measures)
    }

    fn asks_for(&self, kind: Kind) -> bool {
        self.asked.iter().any(|figure| figure.kind == kind)
    }

    /// Where the figures go, and what else there is to say.
    fn foot(&self, width: f64) -> Vec<String> {
        let each = self.asked.iter().any(|figure| figure.count == AskedCount::Each);
        let example = match (self.units, each) {
            (Units::Inches, false) => "name = \"1 3/8\"",
            (Units::Inches, true) => "name = [\"1 3/8\", \"3/4\"]",
            (Units::Millimeters, false) => "name = 35",
            (Units::Millimeters, true) => "name = [35, 19.5]",
        };
        let under = |of, heading| self.asked.iter().any(|f| f.of == of).then_some(heading);
        let headings =
            [under(AskedOf::Measures, "[measures]"), under(AskedOf::Choices, "[choices]")];
        let headings: Vec<&str> = headings.into_iter().flatten().collect();
        let order = if each { ", in the order of the table" } else { "" };
        let mass = match (self.asks_for(Kind::Mass), self.units) {
            (false, _) => "",
            (true, Units::Inches) => " A mass has its unit: \"4.6 lb\", \"2.1 kg\".",
            (true, Units::Millimeters) => " A mass has its unit: \"2.1 kg\", \"850 g\".",
        };
        let where_to = format!(
            "Write the figures into holders/NAME.toml, under {}, each behind its name{order}: {example}.{mass} \
             \"cleatwright start {}\" prints a file to begin from.",
            headings.join(" and "),
            self.name
        );
        let remarks = self.sketch.remarks.iter().chain([&where_to]);
        remarks.flat_map(|remark| wrap(remark, PLAIN, false, width)).collect()
    }

    /// The tool from the front, and from the side where something is measured there; no larger than `most`. `None` where
    /// there is nothing to measure.
    fn picture(&self, most: Size) -> Option<Canvas> {
        let name = |own: &'s Option<String>, usual| own.as_deref().unwrap_or(usual);
        let views = [
            (SketchView::Front, name(&self.sketch.front, "front")),
            (SketchView::Side, name(&self.sketch.side, "side, the wall at the right")),
        ];
        let seen = views.map(|(view, name)| (SeenTool::new(self.sketch, view), name));
        let seen: Vec<(SeenTool, &str)> =
            seen.into_iter().filter(|(tool, _)| !tool.lines.is_empty()).collect();
        let stops: Vec<f64> = seen.iter().flat_map(|(tool, _)| tool.stops(true)).collect();
        let mut scale = FIRST * most.height / FittedAxis::new(stops.clone(), 1.0).length().max(1.0);
        let mut drawn = views_side_by_side(&seen, &stops, scale);
        for _ in 0..TRIES {
            let size = drawn.bounds().size();
            if size.width <= most.width && size.height <= most.height {
                break;
            }
            scale *= SMALLER;
            drawn = views_side_by_side(&seen, &stops, scale);
        }
        (!seen.is_empty()).then_some(drawn)
    }
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
