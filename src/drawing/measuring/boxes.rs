//! Boxes to write in: one for each reading, and a table for what is measured on each tool.

use kurbo::Point;

use super::{LEADING, PLAIN, hung};
use crate::drawing::canvas::{Canvas, Label};
use crate::drawing::table::wrap;
use crate::drawing::{Line, text_width};
use crate::length::Units;
use crate::reading::Kind;
use crate::style::{AskedCount, AskedFigure, AskedOf};

/// Letter sizes of names and of notes, in mm.
const NAME: f64 = 3.2;
const NOTE: f64 = 2.6;

/// A box for one figure, one for a figure of each tool, and what is kept for the unit behind it, in mm.
const BOX: (f64, f64) = (30.0, 8.5);
const WIDE_BOX: f64 = 58.0;
const UNIT: f64 = 10.0;

/// White between columns and round what is in a row, in mm.
const GUTTER: f64 = 4.0;
const PAD: f64 = 1.2;

/// Height of a row of the table to write in, width of its first column, in mm.
const ROW: f64 = 8.5;
const NUMBERS: f64 = 20.0;

/// How many tools a table has room for.
const FEWEST: usize = 4;
const MOST: usize = 16;

/// What stands over the rows, in this order.
const HEADINGS: [&str; 3] = ["Required", "May be left out", "To decide, under [choices]"];

/// All boxes of a sheet.
pub(super) struct Boxes {
    width: f64,
    /// Heading by heading, the readings with a box of their own.
    sections: Vec<(&'static str, Vec<BoxRow>)>,
    columns: Vec<BoxColumn>,
}

/// A reading with its box.
struct BoxRow {
    name: Label,
    /// Where the question begins.
    indent: f64,
    ask: Vec<String>,
    notes: Vec<String>,
    unit: &'static str,
    wide: bool,
}

/// A reading of each tool, as a column of the table.
struct BoxColumn {
    name: Label,
    lines: Vec<String>,
    unit: &'static str,
}

impl Boxes {
    /// The boxes for what is `asked`, in all `width` mm wide.
    pub(super) fn new(asked: &[AskedFigure], units: Units, width: f64) -> Self {
        let (each, single): (Vec<_>, Vec<_>) =
            asked.iter().partition(|figure| figure.count == AskedCount::Each);
        let names = single.iter().map(|figure| text_width(&figure.name, NAME, true));
        let indent = names.fold(0.0, f64::max) + GUTTER;
        let row = |figure: &&AskedFigure| BoxRow::new(figure, units, indent, width);
        let sections = HEADINGS.map(|heading| {
            let under = single.iter().filter(|figure| self::heading(figure) == heading);
            (heading, under.map(row).collect::<Vec<_>>())
        });
        let wide = (width - NUMBERS) / each.len().max(1) as f64;
        Self {
            width,
            sections: sections.into_iter().filter(|(_, rows)| !rows.is_empty()).collect(),
            columns: each.iter().map(|figure| BoxColumn::new(figure, units, wide)).collect(),
        }
    }

    /// How many tools the table is for where it may be `room` mm high; 0 without a table.
    pub(super) fn rows(&self, room: f64) -> usize {
        let rows = (room / ROW).max(0.0) as usize;
        if self.columns.is_empty() { 0 } else { rows.clamp(FEWEST, MOST) }
    }

    /// How high all of them are with so many tools, in mm.
    pub(super) fn height(&self, tools: usize) -> f64 {
        let sections = self.sections.iter().map(|(_, rows)| {
            PLAIN * LEADING + rows.iter().map(BoxRow::height).sum::<f64>() + GUTTER / 2.0
        });
        let table = self.head() + tools as f64 * ROW + GUTTER;
        let table = if self.columns.is_empty() { 0.0 } else { table };
        sections.sum::<f64>() + table
    }

    /// Draws them below `top`, the table first; tells where they end.
    pub(super) fn draw(&self, canvas: &mut Canvas, top: f64, tools: usize) -> f64 {
        let mut y = self.draw_table(canvas, top, tools);
        for (heading, rows) in &self.sections {
            y -= PLAIN * LEADING;
            canvas.write_from(&Label::new(*heading, PLAIN).bold(), Point::new(0.0, y + PAD));
            for row in rows {
                canvas.line(Line::Furniture, Point::new(0.0, y), Point::new(self.width, y));
                row.draw(canvas, y, self.width);
                y -= row.height();
            }
            y -= GUTTER / 2.0;
        }
        y
    }

    /// Height of the table's head, in mm.
    fn head(&self) -> f64 {
        let lines = self.columns.iter().map(|column| column.lines.len()).max().unwrap_or_default();
        2.0 * PAD + NAME * LEADING + (lines + 1) as f64 * NOTE * LEADING + GUTTER / 2.0
    }

    fn draw_table(&self, canvas: &mut Canvas, top: f64, tools: usize) -> f64 {
        if self.columns.is_empty() {
            return top;
        }
        let (head, wide) = (self.head(), (self.width - NUMBERS) / self.columns.len() as f64);
        canvas.rectangle(Line::Furniture, hung(0.0, top, NUMBERS, head));
        let label = Label::new("which tool", NOTE);
        canvas.write_from(&label, Point::new(PAD, top - head + PAD + 0.5));
        for (i, column) in self.columns.iter().enumerate() {
            let left = NUMBERS + i as f64 * wide;
            canvas.rectangle(Line::Furniture, hung(left, top, wide, head));
            column.draw_head(canvas, Point::new(left, top), head);
        }
        for row in 0..tools {
            let y = top - head - row as f64 * ROW;
            canvas.rectangle(Line::Furniture, hung(0.0, y, NUMBERS, ROW));
            let number = Label::new((row + 1).to_string(), NOTE);
            canvas.write_from(&number, Point::new(PAD, y - ROW / 2.0 - 1.0));
            for i in 0..self.columns.len() {
                let left = NUMBERS + i as f64 * wide;
                canvas.rectangle(Line::Furniture, hung(left, y, wide, ROW));
            }
        }
        top - head - tools as f64 * ROW - GUTTER
    }
}

impl BoxRow {
    fn new(figure: &AskedFigure, units: Units, indent: f64, width: f64) -> Self {
        let wide = figure.count == AskedCount::OneOrEach;
        let behind = if wide { WIDE_BOX } else { BOX.0 } + UNIT + GUTTER;
        let room = width - indent - behind;
        let each = if wide { "; one for all, or one for each tool" } else { "" };
        Self {
            name: Label::new(figure.name.clone(), NAME).bold(),
            indent,
            ask: wrap(&figure.ask, PLAIN, false, room),
            notes: wrap(&format!("{}{each}", how(figure, "If left out:")), NOTE, false, room),
            unit: unit(figure.kind, units),
            wide,
        }
    }

    fn height(&self) -> f64 {
        let ask = self.ask.len() as f64 * PLAIN;
        let notes = self.notes.len() as f64 * NOTE;
        ((ask + notes) * LEADING).max(BOX.1) + 2.0 * PAD
    }

    fn draw(&self, canvas: &mut Canvas, top: f64, width: f64) {
        let mut y = top - PAD;
        canvas.write_from(&self.name, Point::new(0.0, y - PLAIN * 1.1));
        for (lines, size) in [(&self.ask, PLAIN), (&self.notes, NOTE)] {
            for line in lines {
                y -= size * LEADING;
                let at = Point::new(self.indent, y + size * 0.35);
                canvas.write_from(&Label::new(line.clone(), size), at);
            }
        }
        let wide = if self.wide { WIDE_BOX } else { BOX.0 };
        let left = width - UNIT - wide;
        let top = top - (self.height() - BOX.1) / 2.0;
        canvas.rectangle(Line::Furniture, hung(left, top, wide, BOX.1));
        if !self.unit.is_empty() {
            let at = Point::new(width - UNIT + 1.5, top - BOX.1 / 2.0 - 1.0);
            canvas.write_from(&Label::new(self.unit, PLAIN), at);
        }
    }
}

impl BoxColumn {
    fn new(figure: &AskedFigure, units: Units, width: f64) -> Self {
        let room = width - 2.0 * PAD;
        let needs = text_width(&figure.name, NAME, true);
        let size = if needs > room { NAME * room / needs } else { NAME };
        let text = format!("{} {}.", figure.ask, how(figure, "May be left out: then"));
        Self {
            name: Label::new(figure.name.clone(), size).bold(),
            lines: wrap(&text, NOTE, false, room),
            unit: unit(figure.kind, units),
        }
    }

    fn draw_head(&self, canvas: &mut Canvas, corner: Point, head: f64) {
        let left = corner.x + PAD;
        let mut y = corner.y - PAD - NAME;
        canvas.write_from(&self.name, Point::new(left, y));
        y -= 0.45 * NAME;
        for line in &self.lines {
            y -= NOTE * LEADING;
            canvas.write_from(&Label::new(line.clone(), NOTE), Point::new(left, y + NOTE * 0.35));
        }
        if !self.unit.is_empty() {
            let at = Point::new(left, corner.y - head + PAD + 0.5);
            canvas.write_from(&Label::new(self.unit, NOTE).bold(), at);
        }
    }
}

/// The heading that a figure stands under.
fn heading(figure: &AskedFigure) -> &'static str {
    let [required, optional, choices] = HEADINGS;
    match (figure.of, &figure.left_out) {
        (AskedOf::Choices, _) => choices,
        (AskedOf::Measures, None) => required,
        (AskedOf::Measures, Some(_)) => optional,
    }
}

/// What a figure is taken with, and what holds where it is left out, told after `if_left_out`.
fn how(figure: &AskedFigure, if_left_out: &str) -> String {
    let with = match figure.with.as_str() {
        "" => None,
        with => Some(format!("With {with}")),
    };
    let left_out = figure.left_out.as_ref().map(|value| format!("{if_left_out} {value}"));
    let both: Vec<String> = [with, left_out].into_iter().flatten().collect();
    both.join(". ")
}

/// What a figure is written in.
fn unit(kind: Kind, units: Units) -> &'static str {
    match (kind, units) {
        (Kind::Length, _) => units.symbol(),
        (Kind::Mass, Units::Inches) => "lb",
        (Kind::Mass, Units::Millimeters) => "kg",
        (Kind::Angle, _) => "deg",
        (Kind::Count | Kind::Number, _) => "",
    }
}
