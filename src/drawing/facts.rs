//! The title block: what the part is, how many, of what, and how to print and hold it.

use super::canvas::Label;
use super::letters;
use super::section::bevel_line;
use super::table::{NOTE, Table, TableRow};
use crate::holder::{Edge, Face, Grain, MadeBy, Part, StockKind};
use crate::length::{Quantity, Units};

/// Letter size of the part's name, in mm.
const NAME: f64 = 5.0;

/// Width of the table, in mm.
const WIDTH: f64 = 105.0;

const PRINT: &str = "Full size: print at 100 %, no scaling";

/// The title block of a part's pattern, for a holder, with the letters of its pieces.
pub(super) fn table(part: &Part, units: Units, (holder_title, pieces): (&str, &[&str])) -> Table {
    let mut rows = vec![TableRow::wide(Label::new(part.name.as_str(), NAME).bold())];
    let mut fact = |key: &str, text: String| {
        if !text.trim().is_empty() {
            rows.push(TableRow::keyed(Label::new(key, NOTE), text));
        }
    };
    fact("for", holder_title.to_owned());
    fact("use", part.about.clone());
    fact("pieces", letters::pieces(part, pieces));
    fact("stock", stock(part, units));
    fact("size", size(part, units));
    fact("grain", grain(part).to_owned());
    fact("faces", faces(part).to_owned());
    fact("bevel", bevel(part, units).unwrap_or_default());
    fact(
        "made by",
        match part.made_by {
            MadeBy::Hand => "hand",
            MadeBy::Router => "CNC router",
        }
        .to_owned(),
    );
    let unit = match units {
        Units::Inches => "inches",
        Units::Millimeters => "mm",
    };
    for line in [format!("Dimensions in {unit}"), PRINT.to_owned()] {
        rows.push(TableRow::wide(Label::new(line, NOTE)));
    }
    if let Some(caution) = part.caution() {
        rows.push(TableRow::wide(Label::new(caution, NOTE).bold()));
    }
    Table { width: WIDTH, key_width: 19.0, rows }
}

/// The same for a page that has its own title and says how it is printed: no more than the wood does not show.
pub(super) fn in_short(
    part: &Part,
    units: Units,
    (holder_title, pieces): (&str, &[&str]),
) -> Table {
    let made_by = if part.made_by == MadeBy::Router { "CNC router" } else { "" };
    let facts = [
        ("for", holder_title.to_owned()),
        ("use", part.about.clone()),
        ("pieces", letters::pieces(part, pieces)),
        ("stock", stock(part, units)),
        ("size", size(part, units)),
        ("faces", faces(part).to_owned()),
        ("bevel", bevel(part, units).unwrap_or_default()),
        ("made by", made_by.to_owned()),
    ];
    let name = TableRow::wide(Label::new(part.name.replace('-', " "), NOTE).bold());
    let told = facts.into_iter().filter(|(_, text)| !text.trim().is_empty());
    let told = told.map(|(key, text)| TableRow::keyed(Label::new(key, NOTE), text));
    let caution = part.caution().map(|caution| TableRow::wide(Label::new(caution, NOTE).bold()));
    let rows = std::iter::once(name).chain(told).chain(caution).collect();
    Table { width: WIDTH, key_width: 19.0, rows }
}

pub(super) fn stock(part: &Part, units: Units) -> String {
    let (stock, thickness) = (&part.stock, units.length(part.stock.thickness));
    match stock.kind {
        StockKind::Dowel => format!("{}, dowel, Ø {thickness}", stock.name),
        kind => format!("{}, {}, {thickness} thick", stock.name, kind.word()),
    }
}

pub(super) fn size(part: &Part, units: Units) -> String {
    let (length, width) = (units.length(part.length()), units.length(part.width()));
    if part.is_round() { format!("{length} long") } else { format!("{length} across, {width} up") }
}

fn grain(part: &Part) -> &'static str {
    match part.grain {
        Grain::Length => "along the arrow (across the drawing)",
        Grain::Width => "along the arrow (up the drawing)",
        Grain::Any => "any direction",
    }
}

/// Which face lies against the wall.
pub(super) fn faces(part: &Part) -> &'static str {
    match part.on_wall() {
        Some(Face::Show) => "show face (drawn) against the wall",
        Some(Face::Back) => "back against the wall",
        None => "",
    }
}

pub(super) fn bevel(part: &Part, units: Units) -> Option<String> {
    let bevel = part.bevel?;
    bevel_line(part, bevel)?;
    let angle = units.quantity(Quantity::degrees(bevel.angle));
    let edge = if bevel.edge == Edge::Bottom { "bottom" } else { "top" };
    let full = match bevel.full_face {
        Face::Show => "show face",
        Face::Back => "back",
    };
    Some(format!("{edge} edge sawn at {angle}; the {full} keeps the full width"))
}
