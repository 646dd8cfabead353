//! Below the wall: where each holder hangs, and the wall cleats of each row, in figures.

use kurbo::{Point, Rect};

use super::names::{RING, ringed};
use super::{FIGURE, WallScene};
use crate::drawing::Line;
use crate::drawing::canvas::{Canvas, Label};
use crate::drawing::table::wrap;
use crate::length::Units;
use crate::wall::{HungPlace, PlannedRow};

/// From one line to the next, and what a row takes at least, in mm.
const PITCH: f64 = 3.8;
const ROW: f64 = 5.4;

/// White between columns, between blocks of them, and what a title has at least, in mm.
const COLUMN: f64 = 3.0;
const BLOCK: f64 = 7.0;
const TITLE: f64 = 30.0;

/// What stands over the figures.
const HEADS: [&str; 4] = ["row", "left edge", "right edge", "foot"];

/// One holder's line.
struct Entry {
    number: usize,
    title: String,
    figures: [String; 4],
}

/// Writes the lists into `area` from its `y1` down, as wide as it is; how far down they reach.
pub(super) fn draw(canvas: &mut Canvas, scene: &WallScene<'_>, area: Rect) -> f64 {
    let entries: Vec<Entry> =
        (1..).zip(&scene.wall.places).map(|(number, place)| entry(scene, number, place)).collect();
    let foot = if entries.is_empty() { area.y1 } else { holders(canvas, &entries, area) };
    rows(canvas, scene, Point::new(area.x0, foot - 1.0), area.width())
}

fn entry(scene: &WallScene<'_>, number: usize, place: &HungPlace) -> Entry {
    let holder = scene.holders.iter().find(|holder| holder.name == place.holder);
    let title = holder.map_or(&place.holder, |holder| &holder.title).clone();
    let row = place.row.map_or("studs".to_owned(), |row| (row + 1).to_string());
    let wood = place.wood;
    let [left, right, foot] =
        [wood.x0, wood.x1, wood.y0].map(|place| scene.units().bare_length(place));
    Entry { number, title, figures: [row, left, right, foot] }
}

/// The holders' lines in blocks beside each other.
fn holders(canvas: &mut Canvas, entries: &[Entry], area: Rect) -> f64 {
    let wide = |at: usize| {
        let texts = entries.iter().map(|entry| entry.figures[at].as_str()).chain([HEADS[at]]);
        texts.map(|text| Label::new(text, FIGURE).bold().run()).fold(0.0, f64::max) + COLUMN
    };
    let columns: [f64; 4] = std::array::from_fn(wide);
    let fixed = 2.0 * RING + COLUMN + columns.iter().sum::<f64>();
    let most = ((area.width() + BLOCK) / (fixed + TITLE + BLOCK)).floor().max(1.0);
    let blocks = most.min(entries.len() as f64);
    let step = (area.width() + BLOCK) / blocks;
    let each = (entries.len() as f64 / blocks).ceil() as usize;
    let drawn = entries.chunks(each.max(1)).zip(0..).map(|(some, block)| {
        let left = area.x0 + step * f64::from(block);
        let titles = (step - BLOCK - fixed).min(longest(entries) + COLUMN);
        ListBlock { left, titles, columns }.draw(canvas, some, area.y1)
    });
    drawn.fold(area.y1, f64::min)
}

fn longest(entries: &[Entry]) -> f64 {
    let runs = entries.iter().map(|entry| Label::new(entry.title.as_str(), FIGURE).run());
    runs.fold(TITLE, f64::max)
}

/// A block of lines under a head of their own.
struct ListBlock {
    left: f64,
    titles: f64,
    columns: [f64; 4],
}

impl ListBlock {
    fn draw(&self, canvas: &mut Canvas, entries: &[Entry], top: f64) -> f64 {
        let mut y = top - PITCH;
        self.line(canvas, ("holder", HEADS), y, true);
        y -= 1.4;
        let right = self.left + self.start() + self.titles + self.columns.iter().sum::<f64>();
        canvas.line(Line::Furniture, Point::new(self.left, y), Point::new(right, y));
        for entry in entries {
            let lines = wrap(&entry.title, FIGURE, false, self.titles - COLUMN);
            let baseline = y - ROW / 2.0 - 0.9;
            ringed(canvas, entry.number, Point::new(self.left + RING, y - ROW / 2.0));
            let first = lines.first().map_or("", String::as_str);
            let figures = entry.figures.each_ref().map(String::as_str);
            self.line(canvas, (first, figures), baseline, false);
            for (line, below) in lines.iter().skip(1).zip(1..) {
                let at = Point::new(self.left + self.start(), baseline - PITCH * f64::from(below));
                canvas.write_from(&Label::new(line.as_str(), FIGURE), at);
            }
            y -= ROW + PITCH * lines.len().saturating_sub(1) as f64;
        }
        y
    }

    fn start(&self) -> f64 {
        2.0 * RING + COLUMN
    }

    fn line(&self, canvas: &mut Canvas, (title, figures): (&str, [&str; 4]), y: f64, bold: bool) {
        let set = |text: &str| Label { bold, ..Label::new(text, FIGURE) };
        let mut x = self.left + self.start();
        canvas.write_from(&set(title), Point::new(x, y));
        x += self.titles;
        for (figure, width) in figures.into_iter().zip(self.columns) {
            canvas.write_from(&set(figure), Point::new(x, y));
            x += width;
        }
    }
}

/// The wall cleats of each row, from where to where.
fn rows(canvas: &mut Canvas, scene: &WallScene<'_>, at: Point, width: f64) -> f64 {
    let mut y = at.y;
    for (number, row) in (1..).zip(&scene.wall.rows) {
        for line in wrap(&cleats(scene.units(), number, row), FIGURE, false, width) {
            y -= PITCH;
            canvas.write_from(&Label::new(line, FIGURE), Point::new(at.x, y));
        }
    }
    y
}

fn cleats(units: Units, number: usize, row: &PlannedRow) -> String {
    let each = row.cleats.iter().map(|cleat| {
        let [from, to] = [cleat.from, cleat.to].map(|place| units.bare_length(place));
        format!("{from} to {to}")
    });
    let each: Vec<String> = each.collect();
    let height = units.bare_length(row.height);
    format!("Row {number}: top edge {height} from the floor; wall cleats {}.", each.join(", "))
}
