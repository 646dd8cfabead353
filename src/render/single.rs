//! Files that stand by themselves, beside those of a project: measuring sheets and the page to check a printer with.

use kurbo::Size;

use super::failed;
use crate::drawing::{MeasuringSheet, measuring_sheet};
use crate::holder::{Explain, sketched};
use crate::inputs::Inputs;
use crate::length::Units;
use crate::page::{self, pdf};
use crate::reading::Problem;
use crate::shop::Paper;
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
        let message = format!("{name} asks for more than one page of {} takes", printer.paper.name());
        vec![Problem::plain(message).with_help("take larger paper, with --paper tabloid or a3")]
    })?;
    let drawings = [drawing];
    let pages = page::leaves(&drawings, &printer)
        .map_err(|error| vec![failed(error.explain(units))])?;
    pdf::write(&drawings[0].title, &pages, &drawings).map_err(|error| vec![failed(error.to_string())])
}
