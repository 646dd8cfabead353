//! Below the wall: where each holder hangs, and the wall cleats of each row, in figures.

use kurbo::Point;

use super::{FIGURE, WallScene};
use crate::drawing::Line;
use crate::drawing::canvas::{Canvas, Label};
use crate::drawing::table::wrap;
use crate::length::Units;
use crate::wall::{HungPlace, PlannedRow};

/// From one line to the next, in mm.
const PITCH: f64 = 3.8;

/// What a number takes, white between columns and between blocks of them, and what a title has at least, in mm.
const NUMBER: f64 = 6.0;
const COLUMN: f64 = 2.4;
const BLOCK: f64 = 6.0;
const TITLE: f64 = 22.0;

/// A block of no more lines is not parted.
const SHORT: usize = 6;

/// What stands over the figures.
const HEADS: [&str; 4] = ["row", "left", "right", "foot"];

/// One holder's line.
struct Entry {
    number: usize,
    title: String,
    figures: [String; 4],
}

/// Writes the lists from `corner` down, no wider than `width` mm; how far down they reach.
pub(super) fn draw(canvas: &mut Canvas, scene: &WallScene<'_>, corner: Point, width: f64) -> f64 {
    let places = (1..).zip(&scene.wall.places);
    let entries: Vec<Entry> = places.map(|(number, place)| entry(scene, number, place)).collect();
    let foot = match entries.is_empty() {
        true => corner.y,
        false => ListLayout::new(&entries, width).draw(canvas, &entries, corner),
    };
    cleats(canvas, scene, Point::new(corner.x, foot - 1.4), width)
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

/// Blocks of lines beside each other, each under a head of its own.
struct ListLayout {
    blocks: usize,
    /// From one block to the next.
    step: f64,
    titles: f64,
    columns: [f64; 4],
}

impl ListLayout {
    /// As many blocks as titles of the least width leave room for.
    fn new(entries: &[Entry], width: f64) -> Self {
        let run = |text: &str| Label::new(text, FIGURE).bold().run();
        let widest = |texts: &mut dyn Iterator<Item = &str>| texts.map(run).fold(0.0, f64::max);
        let columns: [f64; 4] = std::array::from_fn(|at| {
            let figures = entries.iter().map(|entry| entry.figures[at].as_str());
            widest(&mut figures.chain([HEADS[at]])) + COLUMN
        });
        let fixed = NUMBER + columns.iter().sum::<f64>();
        let most = ((width + BLOCK) / (fixed + TITLE + BLOCK)).max(1.0) as usize;
        let blocks = most.min(entries.len().div_ceil(SHORT));
        let step = (width + BLOCK) / blocks as f64;
        let longest = widest(&mut entries.iter().map(|entry| entry.title.as_str()));
        let titles = (step - BLOCK - fixed).min(longest.max(TITLE) + COLUMN);
        Self { blocks, step, titles, columns }
    }

    fn draw(&self, canvas: &mut Canvas, entries: &[Entry], corner: Point) -> f64 {
        let each = entries.len().div_ceil(self.blocks);
        let blocks = entries.chunks(each).zip(0..).map(|(some, block)| {
            let left = corner.x + self.step * f64::from(block);
            self.block(canvas, some, Point::new(left, corner.y))
        });
        blocks.fold(corner.y, f64::min)
    }

    fn block(&self, canvas: &mut Canvas, entries: &[Entry], corner: Point) -> f64 {
        let mut at = corner - (0.0, PITCH);
        self.line(canvas, ("", "holder", HEADS), at, true);
        let right = at.x + NUMBER + self.titles + self.columns.iter().sum::<f64>();
        at.y -= 1.2;
        canvas.line(Line::Furniture, at, Point::new(right - COLUMN, at.y));
        for entry in entries {
            at.y -= PITCH;
            let lines = wrap(&entry.title, FIGURE, false, self.titles - COLUMN);
            let first = lines.first().map_or("", String::as_str);
            let figures = entry.figures.each_ref().map(String::as_str);
            self.line(canvas, (&entry.number.to_string(), first, figures), at, false);
            for line in lines.iter().skip(1) {
                at.y -= PITCH;
                canvas.write_from(&Label::new(line.as_str(), FIGURE), at + (NUMBER, 0.0));
            }
        }
        at.y
    }

    /// A line of a block; its number stands out.
    fn line(
        &self,
        canvas: &mut Canvas,
        (number, title, figures): (&str, &str, [&str; 4]),
        at: Point,
        bold: bool,
    ) {
        let columns = std::iter::once(self.titles).chain(self.columns);
        let mut x = at.x + NUMBER;
        if !number.is_empty() {
            canvas.write_from(&Label::new(number, FIGURE).bold(), at);
        }
        for (text, width) in std::iter::once(title).chain(figures).zip(columns) {
            canvas.write_from(&Label { bold, ..Label::new(text, FIGURE) }, Point::new(x, at.y));
            x += width;
        }
    }
}

/// From where to where the wall cleats of each row are; rows that follow each other and are alike are told once.
fn cleats(canvas: &mut Canvas, scene: &WallScene<'_>, at: Point, width: f64) -> f64 {
    let rows = (1..).zip(&scene.wall.rows).map(|(number, row)| (number, ends(scene.units(), row)));
    let rows: Vec<(usize, String)> = rows.collect();
    let mut y = at.y;
    for group in rows.chunk_by(|a, b| a.1 == b.1) {
        let which = match group {
            [(one, _)] => format!("row {one}"),
            [(first, _), (last, _)] => format!("rows {first} and {last}"),
            [(first, _), .., (last, _)] => format!("rows {first} to {last}"),
            [] => continue,
        };
        let told = format!("Wall cleats of {which}: {}.", group[0].1);
        for line in wrap(&told, FIGURE, false, width) {
            y -= PITCH;
            canvas.write_from(&Label::new(line, FIGURE), Point::new(at.x, y));
        }
    }
    y
}

fn ends(units: Units, row: &PlannedRow) -> String {
    let each = row.cleats.iter().map(|cleat| {
        let [from, to] = [cleat.from, cleat.to].map(|place| units.bare_length(place));
        format!("{from} to {to}")
    });
    each.collect::<Vec<_>>().join(", ")
}
