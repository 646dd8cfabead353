//! A page to check a printer with: a bar each way as long as the page allows, and what to write where one is not true.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::frame::{Frame, frames};
use super::{Page, PageError, Printer, Window};
use crate::drawing::{Anchor, Drawing, Item, Line, Path, Text, TextLine, written};
use crate::length::{MM_PER_INCH, Units};

/// How wide the strip of a bar is, and how far its line lies from the strip's outer edge, in mm.
const STRIP: f64 = 24.0;
const LINE: f64 = 9.0;

/// From the edge of what the printer reaches to the ends of a bar: half a figure, in mm.
const INSET: f64 = 4.0;

/// Lengths of ticks in mm, the longest first, with which parts of 10 mm or an inch they stand at.
const MM_TICKS: [(u32, f64); 3] = [(10, 4.5), (5, 3.2), (1, 2.0)];
const INCH_TICKS: [(u32, f64); 5] = [(16, 4.5), (8, 3.6), (4, 2.9), (2, 2.2), (1, 1.5)];

/// Letter sizes, in mm.
const FIGURE: f64 = 2.4;
const NAME: f64 = 2.8;
const CELL: f64 = 3.2;

/// Height of a row of the table, in mm; rows on each side of what is true; columns, from left to right.
const ROW: f64 = 5.2;
const ASIDE: i32 = 6;
const COLUMNS: [f64; 4] = [40.0, 25.0, 40.0, 25.0];

/// A page with the bars, and the words on it as the one pattern that it shows.
pub(crate) struct RulerPage {
    pub page: Page,
    pub words: Drawing,
}

/// One of the two bars.
struct RulerBar {
    /// Its longest whole lengths, in mm and inches.
    tens: u32,
    inches: u32,
    /// The key of the shop file that it checks, what that is now, and which way it runs.
    key: &'static str,
    scale: f64,
    way: &'static str,
}

/// The page that checks `printer`, drawn with its present scale, told in `units`.
///
/// # Errors
/// When the printer's figures leave no room.
pub(crate) fn ruler_page(printer: &Printer, units: Units) -> Result<RulerPage, PageError> {
    let [upright, _] = frames(printer)?;
    let Frame { paper, scale, printable, .. } = upright;
    let across = RulerBar::new(
        printable.width(),
        "scale_x",
        scale.x,
        "the lower bar, across the short side of the paper",
    );
    let along = RulerBar::new(
        printable.height() - STRIP,
        "scale_y",
        scale.y,
        "the left bar, along the long side of the paper",
    );
    let corner = printable.origin() + Vec2::new(INSET, LINE);
    let foot = Affine::translate(corner.to_vec2());
    let side = Affine::translate(printable.origin().to_vec2() + Vec2::new(LINE, STRIP + INSET))
        * Affine::rotate(std::f64::consts::FRAC_PI_2)
        // What is over a level bar is to the right of an upright one.
        * Affine::scale_non_uniform(1.0, -1.0);
    let room = Rect { x0: printable.x0 + STRIP + 2.0, y0: printable.y0 + STRIP + 2.0, ..printable };
    let mut furniture = across.draw(foot, 0.0);
    furniture.extend(along.draw(side, 90.0));
    let above = Size::new(room.width(), room.height() - table_height());
    let words = words([&across, &along], units, above)
        .ok_or(PageError::NoRoom { title: TITLE.to_owned() })?;
    let size = Size::new(words.width, words.height);
    let source = Rect::from_origin_size(Point::ORIGIN, size);
    let at = Point::new(room.x0, room.y1 - size.height);
    furniture.extend(table([&across, &along], units, at));
    let window = Window { pattern: 0, name: String::new(), source, at, seams: Vec::new() };
    let page =
        Page { paper, scale, printable, room, windows: vec![window], bars: Vec::new(), furniture };
    Ok(RulerPage { page, words })
}

const TITLE: &str = "Check your printer";

impl RulerBar {
    fn new(room: f64, key: &'static str, scale: f64, way: &'static str) -> Self {
        let room = room - 2.0 * INSET;
        let whole = |part: f64| (room / part).floor() as u32;
        Self { tens: whole(10.0), inches: whole(MM_PER_INCH), key, scale, way }
    }

    /// What it must measure in `units`, in mm and as it is written.
    fn true_length(&self, units: Units) -> f64 {
        units.either(f64::from(self.inches), f64::from(self.tens * 10))
    }

    /// Ticks and figures in mm over its line, in inches below, `map`ped to their place, where text is turned by `turn`.
    fn draw(&self, map: Affine, turn: f64) -> Vec<Item> {
        let long = f64::from(self.tens * 10).max(f64::from(self.inches) * MM_PER_INCH);
        let mut items = vec![stroke(map, (0.0, 0.0), (long, 0.0))];
        items.extend(scale(map, turn, (self.tens, 10, 1.0), &MM_TICKS, 1.0));
        let sixteenth = MM_PER_INCH / 16.0;
        items.extend(scale(map, turn, (self.inches, 16, sixteenth), &INCH_TICKS, -1.0));
        let must = format!(
            "{}: this bar must be {} mm, or {} in from 0 to its last inch figure",
            self.key,
            self.tens * 10,
            self.inches
        );
        items.push(level(map, (0.0, 10.5), must, NAME, turn));
        items
    }
}

/// So many figures, so many ticks from one to the next, so far apart; over the line, or below it with a `side` of -1.
fn scale(
    map: Affine,
    turn: f64,
    (figures, ticks, apart): (u32, u32, f64),
    lengths: &[(u32, f64)],
    side: f64,
) -> Vec<Item> {
    let mut items = Vec::new();
    for tick in 0..=figures * ticks {
        let along = f64::from(tick) * apart;
        let tall =
            lengths.iter().find(|(every, _)| tick % every == 0).map_or(0.0, |(_, tall)| *tall);
        items.push(stroke(map, (along, 0.0), (along, side * tall)));
    }
    let (tall, unit, each) = if side > 0.0 { (5.2, "mm", 10) } else { (-7.2, "in", 1) };
    for figure in 0..=figures {
        let along = f64::from(figure * ticks) * apart;
        let text = (figure * each).to_string();
        items.push(match figure {
            0 => level(map, (along - 1.0, tall), format!("{text} {unit}"), FIGURE, turn),
            _ => middle(map, (along, tall), text, turn),
        });
    }
    items
}

fn stroke(map: Affine, from: (f64, f64), to: (f64, f64)) -> Item {
    let path = Path::line(map * Point::from(from), map * Point::from(to));
    Item::Stroke { line: Line::Furniture, path }
}

/// Text along a bar; that of an upright one is read from the right, so that its letters rise away from the bar's other side.
fn level(map: Affine, at: (f64, f64), text: String, size: f64, turn: f64) -> Item {
    Item::Text(Text {
        at: along(map, at, size, turn),
        text,
        size,
        anchor: Anchor::Start,
        turn,
        bold: false,
    })
}

fn middle(map: Affine, at: (f64, f64), text: String, turn: f64) -> Item {
    let at = along(map, at, FIGURE, turn);
    Item::Text(Text { at, text, size: FIGURE, anchor: Anchor::Middle, turn, bold: false })
}

/// Where a baseline stands: the letters of an upright bar rise to the left.
fn along(map: Affine, (x, y): (f64, f64), size: f64, turn: f64) -> Point {
    let rise = if turn == 0.0 { 0.0 } else { crate::drawing::cap_height(size) };
    map * Point::new(x, y + rise)
}

/// What to do, no larger than `room`.
fn words(bars: [&RulerBar; 2], units: Units, room: Size) -> Option<Drawing> {
    let [across, along] = bars;
    let item = |mark: &str, text: String| TextLine::Item(mark.to_owned(), text);
    let told = |bar: &RulerBar| units.length(bar.true_length(units));
    let scaled = bars.iter().any(|bar| bar.scale != 1.0);
    let mut lines = vec![TextLine::Title(TITLE.to_owned())];
    if !scaled {
        lines.push(TextLine::Plain(
            "This page is printed with no correction: scale_x = 1 and scale_y = 1.".to_owned(),
        ));
    }
    if scaled {
        lines.push(TextLine::Plain(format!(
            "This page is printed with the present scale of shop.toml, scale_x = {} and scale_y = {}: these bars must be true now.",
            across.scale, along.scale
        )));
    }
    lines.push(item("1", "Print it at 100 %, actual size: no scaling, no fit to page. Lay the paper in the printer upright, as for all other pages.".to_owned()));
    for (mark, bar) in ["2", "3"].into_iter().zip(bars) {
        lines.push(item(
            mark,
            format!(
                "Measure {}, from its tick at 0 to its tick at {length}, with a steel rule. It must be {length}.",
                bar.way,
                length = told(bar)
            ),
        ));
    }
    lines.push(item(
        "4",
        "Where both are true, leave shop.toml as it is. Else write under [printer]:".to_owned(),
    ));
    for bar in bars {
        lines.push(item("", format!("{} = {}", bar.key, formula(bar, units))));
    }
    lines.push(TextLine::Plain(example(across, units)));
    lines.push(TextLine::Plain("Then print this page again, with the project named: cleatwright ruler PROJECT. The table below saves you the reckoning.".to_owned()));
    let mut pages = written(TITLE, &lines, room, room.height);
    let first = pages.drain(..).next().flatten();
    first.filter(|_| pages.is_empty())
}

/// How the scale follows from what is measured.
fn formula(bar: &RulerBar, units: Units) -> String {
    let length = units.length(bar.true_length(units));
    let present = if bar.scale == 1.0 { String::new() } else { format!("{} × ", bar.scale) };
    format!("{present}what the bar measures / {length}")
}

/// A bar that comes out a little short, reckoned through.
fn example(bar: &RulerBar, units: Units) -> String {
    let long = bar.true_length(units);
    let measured = long - units.either(1.0 / 32.0, 1.0);
    let present = if bar.scale == 1.0 { String::new() } else { format!("{} × ", bar.scale) };
    format!(
        "Example: the lower bar measures {} in place of {}: {} = {present}{} / {} = {:.4}.",
        units.length(measured),
        units.length(long),
        bar.key,
        in_figures(measured, units),
        in_figures(long, units),
        bar.scale * measured / long
    )
}

/// A length without its unit as a calculator takes it.
fn in_figures(mm: f64, units: Units) -> String {
    let text = format!("{:.4}", mm / units.in_mm());
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn table_height() -> f64 {
    f64::from(2 * ASIDE + 3) * ROW
}

/// From what a bar measures to the scale to write, for both, below `corner`.
fn table(bars: [&RulerBar; 2], units: Units, corner: Point) -> Vec<Item> {
    let (left, top) = (corner.x + 5.0, corner.y);
    let wide: f64 = COLUMNS.iter().sum();
    let rows = 2 * ASIDE + 2;
    let mut items = Vec::new();
    for (bar, (from, name)) in
        bars.into_iter().zip([(0, "lower bar measures"), (2, "left bar measures")])
    {
        let column = |i: usize| left + COLUMNS[..from + i].iter().sum::<f64>() + 1.5;
        items.push(cell(Point::new(column(0), top - ROW + 1.5), name.to_owned(), true));
        items.push(cell(Point::new(column(1), top - ROW + 1.5), format!("{} =", bar.key), true));
        for row in -ASIDE..=ASIDE {
            let y = top - f64::from(row + ASIDE + 2) * ROW + 1.5;
            let long = bar.true_length(units);
            let measured = long + f64::from(row) * units.either(1.0 / 64.0, 0.5);
            let figures = [units.length(measured), format!("{:.4}", bar.scale * measured / long)];
            for (i, figure) in figures.into_iter().enumerate() {
                items.push(cell(Point::new(column(i), y), figure, row == 0));
            }
        }
    }
    let bottom = top - f64::from(rows) * ROW;
    let lines = (0..=rows).map(|row| top - f64::from(row) * ROW);
    items.extend(lines.map(|y| stroke(Affine::IDENTITY, (left, y), (left + wide, y))));
    let columns = (0..=COLUMNS.len()).map(|i| left + COLUMNS[..i].iter().sum::<f64>());
    items.extend(columns.map(|x| stroke(Affine::IDENTITY, (x, bottom), (x, top))));
    items
}

fn cell(at: Point, text: String, bold: bool) -> Item {
    Item::Text(Text { at, text, size: CELL, anchor: Anchor::Start, turn: 0.0, bold })
}
