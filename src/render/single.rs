//! Files that stand by themselves, beside those of a project: measuring sheets and the page to check a printer with.

use kurbo::Size;

use super::failed;
use crate::drawing::{Drawing, MeasuringSheet, measuring_sheet};
use crate::holder::{Explain, sketched};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::page::{self, RulerPage, pdf, ruler_page};
use crate::reading::{Problem, Source};
use crate::shop::{Paper, Printer, default_shop, read_shop};
use crate::style::{StyleFile, asked_figures};
use crate::trial::{self, Example};

/// A sheet to measure a tool with for the style `name`, as PDF: the tool with the lines to measure along, and boxes for
/// the figures. On `paper`, else on that of the built-in shop of `units`.
///
/// # Errors
/// What is wrong in the style's files, and when what it asks for finds no room on one page.
pub fn measuring_page(
    inputs: &Inputs,
    name: &str,
    units: Units,
    paper: Option<Paper>,
) -> Result<Vec<u8>, Vec<Problem>> {
    let (drawing, printer) = measuring_drawing(inputs, name, units, paper)?;
    let drawings = [drawing];
    let pages = page::leaves(&drawings, &printer).map_err(|e| vec![failed(e.explain(units))])?;
    pdf::write(&drawings[0].title, &pages, &drawings).map_err(|error| vec![failed(error)])
}

/// The sheet as it is drawn, and the printer that it is laid out for.
pub(crate) fn measuring_drawing(
    inputs: &Inputs,
    name: &str,
    units: Units,
    paper: Option<Paper>,
) -> Result<(Drawing, Printer), Vec<Problem>> {
    let Example { file, shop, .. } = trial::example(inputs, name, units)?;
    let sketch = sketched(&file, &shop)?;
    let asked = asked_figures(&file.style, units);
    let printer = Printer { paper: paper.unwrap_or(shop.printer.paper), ..shop.printer };
    let StyleFile { title, hangs, .. } = file.style.own();
    let sheet = MeasuringSheet { title, name, hangs, units, asked: &asked, sketch: &sketch };
    let (size, margins) = (printer.paper.size(), 2.0 * printer.margin);
    let room = Size::new(size.width - margins, size.height - margins);
    let drawing = measuring_sheet(&sheet, room).ok_or_else(|| {
        let paper = printer.paper.name();
        let message = format!("{name} asks for more than one page of {paper} paper takes");
        vec![Problem::plain(message).with_help("take larger paper, with --paper tabloid or a3")]
    })?;
    Ok((drawing, printer))
}

/// A page to check a printer with, as PDF: bars both ways, drawn with the scale that the shop file has now. Without a shop
/// file the built-in shop of `units` serves; on `paper`, else on the shop's, told in `units`, else in the shop's.
///
/// # Errors
/// What is wrong in the shop file, and when the printer's figures leave no room.
pub fn printer_check(
    shop: Option<Source>,
    units: Option<Units>,
    paper: Option<Paper>,
) -> Result<Vec<u8>, Vec<Problem>> {
    let built_in = || Source::new("the built-in shop", default_shop(units.unwrap_or_default()));
    let shop = read_shop(&shop.unwrap_or_else(built_in))?;
    let units = units.unwrap_or(shop.units);
    let printer = Printer { paper: paper.unwrap_or(shop.printer.paper), ..shop.printer };
    let RulerPage { page, words } =
        ruler_page(&printer, units).map_err(|error| vec![failed(error.explain(units))])?;
    let title = words.title.clone();
    pdf::write(&title, &[page], &[words]).map_err(|error| vec![failed(error)])
}
