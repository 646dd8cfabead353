//! Files that stand by themselves, beside those of a project: measuring sheets and the page to check a printer with.

use kurbo::Size;

use super::failed;
use crate::drawing::{MeasuringSheet, measuring_sheet};
use crate::holder::{Explain, sketched};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::page::{self, RulerPage, pdf, ruler_page};
use crate::reading::{Problem, Source};
use crate::shop::{Paper, default_shop, read_shop};
use crate::style::asked_figures;
use crate::trial;

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
    let example = trial::example(inputs, name, units)?;
    let sketch = sketched(&example.file, &example.shop)?;
    let style = &example.file.style;
    let asked = asked_figures(style, units);
    let mut printer = example.shop.printer;
    printer.paper = paper.unwrap_or(printer.paper);
    let own = style.own();
    let sheet = MeasuringSheet {
        title: &own.title,
        name,
        hangs: &own.hangs,
        units,
        asked: &asked,
        sketch: &sketch,
    };
    let size = printer.paper.size();
    let room = Size::new(size.width - 2.0 * printer.margin, size.height - 2.0 * printer.margin);
    let drawing = measuring_sheet(&sheet, room).ok_or_else(|| {
        let message =
            format!("{name} asks for more than one page of {} takes", printer.paper.name());
        vec![Problem::plain(message).with_help("take larger paper, with --paper tabloid or a3")]
    })?;
    let drawings = [drawing];
    let pages =
        page::leaves(&drawings, &printer).map_err(|error| vec![failed(error.explain(units))])?;
    pdf::write(&drawings[0].title, &pages, &drawings).map_err(|error| vec![failed(error)])
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
    let mut printer = shop.printer;
    printer.paper = paper.unwrap_or(printer.paper);
    let RulerPage { page, words } =
        ruler_page(&printer, units).map_err(|error| vec![failed(error.explain(units))])?;
    let title = words.title.clone();
    pdf::write(&title, &[page], &[words]).map_err(|error| vec![failed(error)])
}
