//! Measuring sheets of every built-in style, and the page to check a printer with, on every paper and in either system.

use kurbo::{Point, Rect};

use super::legible::met;
use crate::drawing::{Drawing, Item, Line, Path, text_width};
use crate::length::Units;
use crate::page::{leaves, ruler_page};
use crate::reading::Kind;
use crate::render::measuring_drawing;
use crate::shop::{Paper, Printer};
use crate::style::{AskedFigure, AskedOf, Library, asked_figures};
use crate::{Inputs, measuring_page};

const SYSTEMS: [Units; 2] = [Units::Inches, Units::Millimeters];

/// Rounding of sums of widths, in mm.
const ROUNDING: f64 = 0.01;

fn names() -> Vec<String> {
    Library::built_in().names().map(str::to_owned).collect()
}

fn asked(name: &str, units: Units) -> Vec<AskedFigure> {
    asked_figures(&Library::built_in().style(name).unwrap().unwrap(), units)
}

/// Each style's sheet in either system, on letter and A4.
fn sheets() -> impl Iterator<Item = (String, Units, Drawing, Printer)> {
    names().into_iter().flat_map(|name| {
        let of = |units, paper| {
            let (drawing, printer) =
                measuring_drawing(&Inputs::new(), &name, units, Some(paper)).unwrap();
            (format!("{name} {} {}", units.symbol(), paper.name()), units, drawing, printer)
        };
        SYSTEMS
            .map(|units| [Paper::Letter, Paper::A4].map(|paper| of(units, paper)))
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
    })
}

fn texts(drawing: &Drawing) -> Vec<&str> {
    let texts = drawing.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text.text.as_str()),
        _ => None,
    });
    texts.collect()
}

/// A reading stands once where its box or column is, and once on its line if it is a length: nothing else is named.
#[test]
fn every_reading_is_named_once_at_its_box_and_once_on_its_line() {
    for (sheet, units, drawing, _) in sheets() {
        let name = sheet.split(' ').next().unwrap();
        let (texts, asked) = (texts(&drawing), asked(name, units));
        assert!(!asked.is_empty(), "{sheet}");
        for figure in asked {
            let lined = figure.kind == Kind::Length;
            let named = texts.iter().filter(|text| **text == figure.name).count();
            assert_eq!(named, 1 + usize::from(lined), "{sheet}: {}", figure.name);
        }
    }
}

/// The readings that must be given come before those that may be left out, those before choices.
#[test]
fn required_readings_come_first() {
    for name in names() {
        let asked = asked(&name, Units::Inches);
        let rank = |figure: &AskedFigure| match figure.of {
            AskedOf::Measures => usize::from(figure.left_out.is_some()),
            AskedOf::Choices => 2,
        };
        assert!(asked.is_sorted_by_key(rank), "{name}");
        let library = Library::built_in();
        let style = library.style(&name).unwrap().unwrap();
        let measures = asked.iter().filter(|figure| figure.of == AskedOf::Measures);
        assert_eq!(measures.count(), style.measures().count(), "{name}");
    }
}

#[test]
fn nothing_on_a_sheet_is_clipped_and_no_text_meets_anything() {
    for (sheet, _, drawing, printer) in sheets() {
        let page = Rect::new(0.0, 0.0, drawing.width, drawing.height).inflate(ROUNDING, ROUNDING);
        for item in &drawing.items {
            let reach = reach(item);
            assert!(page.union(reach) == page, "{sheet}: {item:?} reaches beyond the sheet");
        }
        assert_eq!(met(&drawing), Vec::<String>::new(), "{sheet}");
        let pages = leaves(std::slice::from_ref(&drawing), &printer).unwrap();
        assert_eq!(pages.len(), 1, "{sheet}");
        let place = pages[0].windows[0].place();
        let printable = pages[0].printable.inflate(ROUNDING, ROUNDING);
        assert!(printable.union(place) == printable, "{sheet}: {place:?} in {printable:?}");
    }
}

/// What an item covers, without the width of its line.
fn reach(item: &Item) -> Rect {
    let around = |points: Vec<Point>| {
        let boxes = points.into_iter().map(|p| Rect::from_points(p, p));
        boxes.reduce(|a, b| a.union(b)).unwrap()
    };
    match item {
        Item::Fill(contour) | Item::Shade(contour) => contour.bounds(),
        Item::Stroke { path: Path::Closed(contour), .. } => contour.bounds(),
        Item::Stroke { path: Path::Circle { center, radius }, .. } => {
            Rect::from_center_size(*center, (2.0 * radius, 2.0 * radius))
        }
        Item::Stroke { path: Path::Open(ends), .. } => around(ends.iter().map(|v| v.at).collect()),
        Item::Text(text) => {
            let run = text_width(&text.text, text.size, text.bold);
            let map = kurbo::Affine::translate(text.at.to_vec2())
                * kurbo::Affine::rotate(text.turn.to_radians());
            let before = match text.anchor {
                crate::drawing::Anchor::Start => 0.0,
                crate::drawing::Anchor::Middle => run / 2.0,
                crate::drawing::Anchor::End => run,
            };
            around(vec![map * Point::new(-before, 0.0), map * Point::new(run - before, 0.0)])
        }
    }
}

/// Boxes to write in are as high as a hand writes: common practice, no source.
#[test]
fn boxes_are_large_enough_and_of_lists_there_are_enough() {
    for (sheet, units, drawing, _) in sheets() {
        let name = sheet.split(' ').next().unwrap();
        let boxes = drawing.items.iter().filter_map(|item| match item {
            Item::Stroke { line: Line::Furniture, path: Path::Closed(contour) } => {
                Some(contour.bounds().size())
            }
            _ => None,
        });
        let boxes: Vec<_> = boxes.filter(|size| size.height >= 8.0 && size.width >= 18.0).collect();
        let asked = asked(name, units);
        let each = asked.iter().filter(|f| f.count == crate::style::AskedCount::Each).count();
        // A head and at least four rows for each column, and the column of numbers.
        let least = asked.len() - each + if each > 0 { 5 * (each + 1) } else { 0 };
        assert!(boxes.len() >= least, "{sheet}: {} boxes, {least} wanted", boxes.len());
    }
}

/// A style of a person's own, with a line that is wrong in some way.
fn own(lines: &str) -> Result<Vec<u8>, String> {
    let style = format!(
        r#"title = "Roll rail"
hangs = "rolls of sail tape"
makes = "a back with a row of dowels"
include = ["back", "spacer-strip"]

[measures]
tool_width = {{}}
tool_mass = {{}}

[choices]
count = 6
back_height = {{ ask = "How high the back is", length = ["4 in", "12 in"], default = "6 in" }}
sheet = {{}}

[series]
pegs = {{ of = "tool_width", count = "count", gap = "1 in", ends = "1 in" }}

[workings]
hang_width = "pegs.length"
hang_height = "back_height"
acts_out = "front + 1 in"

[parts.peg]
about = "a roll hangs on it"
cut_from = "dowel"
diameter = "3/4 in"
size = "2 in + sheet.thickness, 3/4 in"
sits = {{ faces = "left", at = "pegs.at - 3/8 in, back_height / 2, standoff", repeat = "count" }}

[[parts.back.drillings]]
at = "pegs.at, back_height / 2 + 3/8 in"
diameter = "3/4 in"
purpose = "peg"
repeat = "count"

[weights]
mass = "count * tool_mass"
path = ["peg", "back"]

[measuring.body.roll]
from = "0, 0, 0"
to = "0, 0, 1 in"
diameter = "tool_width"

{lines}
"#
    );
    let inputs = Inputs::new().with("styles/roll-rail.toml", &style);
    measuring_page(&inputs, "roll-rail", Units::Inches, None)
        .map_err(|problems| problems.iter().map(|p| format!("{p:?}")).collect())
}

#[test]
fn a_style_of_ones_own_has_a_sheet() {
    let line = |keys: &str| format!("[measuring.lines]\n{keys}");
    let good = line(
        r#"tool_width = { from = "-tool_width / 2, 0, 0", to = "tool_width / 2, 0, 0", beside = "below" }"#,
    );
    assert!(own(&good).unwrap().starts_with(b"%PDF"));
    // Without lines there are the boxes.
    assert!(own("").unwrap().starts_with(b"%PDF"));
}

#[test]
fn what_is_wrong_with_a_line_is_told_with_its_place() {
    let told = [
        (r#"tool_widht = { from = "0, 0, 0", to = "1 in, 0, 0" }"#, "tool_widht"),
        (r#"tool_mass = { from = "0, 0, 0", to = "1 in, 0, 0" }"#, "tool_mass"),
        (r#"tool_width = { from = "0, 0, 0", to = "1 in, 1 in, 0" }"#, "along one axis"),
        (r#"tool_width = { from = "0, 0, 0", to = "1 in, 0, 0", beside = "left" }"#, "differ in y"),
        (r#"tool_width = { from = "0, 0, 0", to = "0, 1 in, 0", beside = "above" }"#, "x or z"),
        (
            r#"tool_width = { from = "0, 0, 0", to = "0, 0, 1 in", view = "front" }"#,
            "leave view out",
        ),
        (
            r#"tool_width = { from = "0, 0, 0", to = "1 in, 0, 0", view = "side" }"#,
            "leave view out",
        ),
        (
            r#"tool_width = { from = "0, 0, 0", to = "1 in, 0, 1 in", beside = "above" }"#,
            "say view",
        ),
        (r#"tool_width = { from = "0, 0, 0", to = "wdith, 0, 0" }"#, "wdith"),
        (r#"tool_width = { from = "0, 0, 0", to = "1 in, 0, 0", beside = "on top" }"#, "on top"),
        (r#"tool_width = { from = "0, 0, 0", to = "1 kg, 0, 0" }"#, "kg"),
    ];
    for (keys, word) in told {
        let problem = own(&format!("[measuring.lines]\n{keys}")).unwrap_err();
        assert!(problem.contains(word), "{keys}: {problem}");
        assert!(problem.contains("roll-rail.toml"), "{keys}: {problem}");
    }
    let flat = r#"[measuring]
shapes = [{ view = "front", corners = ["0, 0", "1 in, 0"] }]"#;
    let problem = own(flat).unwrap_err();
    assert!(problem.contains("three corners") && problem.contains("roll-rail.toml"), "{problem}");
}

/// On every paper: within what the printer reaches, no text meets anything, told in either system.
#[test]
fn the_page_to_check_a_printer_with_is_legible() {
    for paper in Paper::ALL {
        for (scale_x, scale_y) in [(1.0, 1.0), (0.994, 1.003)] {
            let printer = Printer { paper, scale_x, scale_y, ..Printer::default() };
            for units in SYSTEMS {
                let ruler = ruler_page(&printer, units).unwrap();
                let page = ruler.page;
                let printable = page.printable.inflate(ROUNDING, ROUNDING);
                let shift = kurbo::Affine::translate(page.windows[0].at.to_vec2());
                let words = ruler.words.items.iter().map(|item| item.transformed(shift));
                let items: Vec<Item> = page.furniture.iter().cloned().chain(words).collect();
                for item in &items {
                    let reach = reach(item);
                    assert!(printable.union(reach) == printable, "{paper:?}: {item:?}");
                }
                let (width, height) = (page.paper.width, page.paper.height);
                let all = Drawing { title: String::new(), width, height, items };
                assert_eq!(met(&all), Vec::<String>::new(), "{paper:?} {units:?}");
                let told = texts(&all).join(" ");
                let present = format!("scale_x = {scale_x} and scale_y = {scale_y}");
                assert_eq!(told.contains("present scale"), scale_x != 1.0, "{told}");
                assert!(scale_x == 1.0 || told.contains(&present), "{told}");
            }
        }
    }
}

/// The scale of a bar that comes out short: 198.8 of 200 is 0.994, reckoned by hand; with a present scale it is that much
/// of it.
#[test]
fn the_table_tells_the_scale_to_write() {
    let a4 = Printer { paper: Paper::A4, margin: 2.0, ..Printer::default() };
    let cells = |printer: &Printer| -> Vec<String> {
        let page = ruler_page(printer, Units::Millimeters).unwrap().page;
        let texts = page.furniture.into_iter().filter_map(|item| match item {
            Item::Text(text) => Some(text.text),
            _ => None,
        });
        texts.collect()
    };
    // 206 mm of room leave a bar of 190 mm with its ends; 187 of 190 is 0.9842.
    let behind = |cells: &[String], measured: &str| {
        let at = cells.iter().position(|cell| cell == measured).unwrap();
        cells[at + 1].clone()
    };
    assert_eq!(behind(&cells(&a4), "187 mm"), "0.9842");
    let scaled = Printer { scale_x: 0.99, ..a4 };
    assert_eq!(behind(&cells(&scaled), "187 mm"), format!("{:.4}", 0.99 * 187.0 / 190.0));
}
