//! What every page carries beside its drawings: names, bars to measure, a map, and how to join.
//!
//! It stands in a strip at the foot and one at the left, so that it never covers a drawing.

use kurbo::{Affine, Point, Rect, Vec2};

use super::map::Map;
use crate::drawing::{Anchor, Item, Line, Path, Text, text_width};
use crate::length::{MM_PER_INCH, Units};
use crate::shop::{FOOT_STRIP as FOOT, LEAST_WIDTH};
use crate::tolerance;

/// Height of an end tick of a bar, in mm; its label stands beside it.
const TICK: f64 = 4.0;
/// From one bar to the next, in mm.
const BAR_PITCH: f64 = 6.2;
/// Where the names begin, from the left end of the foot: past the bars.
const NAMES: f64 = 107.0;
/// Width and height of the map, in mm.
const MAP: Vec2 = Vec2::new(38.0, 22.5);
/// What keeps a line's width within the printable area, in mm.
const EDGE: f64 = 0.2;
const SMALL: f64 = 2.2;
const PLAIN: f64 = 3.0;
const TITLE: f64 = 4.2;

// Bars, names and map fit in the least width a printer may have.
const _: () = assert!(NAMES + 35.0 + MAP.x <= LEAST_WIDTH);

/// What the foot of a page says.
pub(super) struct Footer<'a> {
    pub printable: Rect,
    /// Of the patterns on the page.
    pub titles: Vec<&'a str>,
    /// Column letters and row number.
    pub name: &'a str,
    /// Which page of how many.
    pub number: (usize, usize),
    /// Whether it is the first page of a pattern.
    pub first: bool,
    /// Whether it is joined to other pages.
    pub has_seams: bool,
    pub map: Map,
}

/// What stands in the foot beside the bars.
pub(super) fn footer(footer: &Footer<'_>) -> Vec<Item> {
    let corner = footer.printable.origin();
    let mut items = help(footer);
    items.extend(names(footer));
    let place = Point::new(footer.printable.x1 - MAP.x - EDGE, corner.y + EDGE);
    let map = Rect::from_origin_size(place, MAP.to_size());
    items.extend(footer.map.draw(map));
    items
}

/// How to print and how to join, above the bars.
fn help(footer: &Footer<'_>) -> Vec<Item> {
    let mut lines = Vec::new();
    if footer.first {
        lines.push(("Print at 100 %, actual size: no scaling, no fit to page.", true));
    }
    if footer.has_seams {
        lines.push(("Cut one page along the seam, lay it on the seam line of the next", false));
        lines.push(("page so that the half diamonds meet, and tape it.", false));
    }
    let corner = footer.printable.origin();
    let placed = lines.into_iter().zip([18.6, 15.4, 12.3]);
    placed
        .map(|((say, bold), y)| text(corner + Vec2::new(0.0, y), say.to_owned(), 2.5, bold))
        .collect()
}

/// Title, page name and number, between the bars and the map.
fn names(footer: &Footer<'_>) -> Vec<Item> {
    let corner = footer.printable.origin() + Vec2::new(NAMES, 0.0);
    let wide = footer.printable.x1 - MAP.x - 3.0 - corner.x;
    let title = match footer.titles.as_slice() {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first, more @ ..] => format!("{first} and {} more", more.len()),
    };
    let (number, count) = footer.number;
    let at = |y: f64| corner + Vec2::new(0.0, y);
    let mut items = vec![
        text(at(7.0), footer.name.to_owned(), 10.0, true),
        text(at(0.8), format!("page {number} of {count}"), PLAIN, false),
    ];
    // One line as large as fits; when that is too small to read from afar, two.
    let size = (TITLE * wide / text_width(&title, TITLE, true)).min(TITLE);
    if size >= PLAIN {
        items.push(text(at(18.0), fitted(&title, size, true, wide), size, true));
    } else {
        let (first, rest) = split(&title, PLAIN, wide);
        items.push(text(at(20.2), fitted(first, PLAIN, true, wide), PLAIN, true));
        items.push(text(at(16.2), fitted(rest, PLAIN, true, wide), PLAIN, true));
    }
    items
}

/// A bar of 100 mm and, in a project in inches, one of 4 in, along the foot and up the left side.
///
/// Two lengths that no scaling turns into one another, both ways: whoever has only an inch rule
/// or only a metric one can measure, and a printer that stretches one way is found out.
pub(super) fn bars(printable: Rect, units: Units) -> Vec<Item> {
    let lengths = [(100.0, "100 mm", 10), (4.0 * MM_PER_INCH, "4 in", 4)];
    let shown = if units == Units::Inches { 2 } else { 1 };
    let along_foot = Affine::translate(printable.origin().to_vec2() + Vec2::new(EDGE, EDGE));
    let up_side = Affine::translate((printable.x0 + TICK + EDGE, printable.y0 + FOOT))
        * Affine::rotate(std::f64::consts::FRAC_PI_2);
    let rows = lengths.into_iter().zip([1.0, 0.0]).take(shown);
    rows.flat_map(|((length, name, parts), row)| {
        let foot = along_foot * Affine::translate((0.0, row * BAR_PITCH));
        let side = up_side * Affine::translate((0.0, -row * BAR_PITCH));
        [bar(length, name, parts, foot, 0.0), bar(length, name, parts, side, 90.0)]
    })
    .flatten()
    .collect()
}

/// A bar along x from the origin, `map`ped to its place, where text is turned by `turn` degrees.
/// The middles of the end ticks are `length` apart.
fn bar(length: f64, name: &str, parts: u32, map: Affine, turn: f64) -> Vec<Item> {
    let stroke = |from: (f64, f64), to: (f64, f64)| Item::Stroke {
        line: Line::Furniture,
        path: Path::line(map * Point::from(from), map * Point::from(to)),
    };
    let mut items = vec![stroke((0.0, 0.0), (length, 0.0))];
    for i in 0..=parts {
        let x = length * f64::from(i) / f64::from(parts);
        let tall = if i == 0 || i == parts { TICK } else { 0.9 };
        items.push(stroke((x, 0.0), (x, tall)));
    }
    let note = format!("measure before you cut: this bar must be {name}");
    let name_width = text_width(name, 2.8, true);
    for (x, words, size, bold) in
        [(1.5, name.to_owned(), 2.8, true), (4.0 + name_width, note, SMALL, false)]
    {
        let at = map * Point::new(x, 1.6);
        items.push(Item::Text(Text { at, text: words, size, anchor: Anchor::Start, turn, bold }));
    }
    items
}

fn text(at: Point, text: String, size: f64, bold: bool) -> Item {
    Item::Text(Text { at, text, size, anchor: Anchor::Start, turn: 0.0, bold })
}

/// `text` cut at the last space that leaves a first line no wider than `wide`.
fn split(text: &str, size: f64, wide: f64) -> (&str, &str) {
    let fits = |cut: &(&str, &str)| text_width(cut.0, size, true) <= wide;
    let mut cuts = text.rmatch_indices(' ').filter_map(|(i, _)| text.split_at_checked(i));
    cuts.find(fits).map_or((text, ""), |(first, rest)| (first, rest.trim_start()))
}

/// `text` on one line no wider than `wide` mm; what is left out is told by an ellipsis.
fn fitted(text: &str, size: f64, bold: bool, wide: f64) -> String {
    let line: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text_width(&line, size, bold) <= wide + tolerance::COORDINATE {
        return line;
    }
    let mut kept = String::new();
    for letter in line.chars() {
        if text_width(&format!("{kept}{letter}…"), size, bold) > wide {
            break;
        }
        kept.push(letter);
    }
    format!("{}…", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_title_is_shortened_to_fit() {
        let short = fitted("Back board for the long sash clamps", 4.0, true, 30.0);
        assert!(short.ends_with('…') && text_width(&short, 4.0, true) <= 30.0);
        assert_eq!(fitted("Peg\n<&>", 4.0, true, 90.0), "Peg <&>");
        assert_eq!(fitted("Peg", 4.0, true, text_width("Peg", 4.0, true)), "Peg");
    }

    #[test]
    fn a_title_is_split_at_a_space() {
        let wide = text_width("Long sash", 3.0, true);
        assert_eq!(split("Long sash clamps", 3.0, wide), ("Long sash", "clamps"));
        assert_eq!(split("Longsashclamps", 3.0, wide), ("Longsashclamps", ""));
    }
}
