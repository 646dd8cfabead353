//! The tables of the cutting plan: what each piece is sawn as, what to buy, what is left.

use std::fmt::Write;

use super::tables::CsvTable;
use std::collections::BTreeMap;

use crate::cutting::{Buy, CuttingPlan, PieceIndex, millimeters};
use crate::length::Units;
use crate::router::RouterPlan;

/// A row for each piece: its letter, its blank, the sheet it is on and the cut that frees it.
///
/// # Errors
/// When the table can't be written (out of memory).
pub(crate) fn pieces(plan: &CuttingPlan, units: Units) -> csv::Result<Vec<u8>> {
    let mut table = CsvTable::new();
    table.row([
        "letter",
        "holder",
        "part",
        "piece",
        "stock",
        "made by",
        "blank length",
        "blank width",
        "sheet",
        "freed by cut",
    ])?;
    for (index, piece) in plan.pieces.iter().enumerate() {
        let size = piece.blank.map(|blank| blank.size.map(millimeters));
        let [length, width] =
            size.map_or([String::new(), String::new()], |s| s.map(|mm| units.length(mm)));
        let (sheet, cut) = plan.freed(PieceIndex(index)).unwrap_or_default();
        let how = if piece.blank.is_some() { "saw" } else { "CNC router" };
        table.row([
            piece.letter.as_str(),
            &piece.part.holder().name,
            &piece.part.name,
            &piece.number.to_string(),
            &piece.part.stock.name,
            how,
            &length,
            &width,
            &sheet,
            &cut.map_or(String::new(), |cut| cut.to_string()),
        ])?;
    }
    table.finish()
}

/// What to buy, with prices where the shop file names them.
///
/// # Errors
/// When the table can't be written (out of memory).
pub(crate) fn shopping(plan: &CuttingPlan, units: Units) -> csv::Result<Vec<u8>> {
    let mut table = CsvTable::new();
    let head =
        ["stock", "kind", "quantity", "length", "width", "thickness", "price", "total", "why"];
    table.row(head)?;
    for buy in &plan.shopping {
        let Buy { quantity, price, .. } = *buy;
        let why = if buy.planned { "the plan uses it" } else { "not enough at hand" };
        let money = |amount: Option<f64>| amount.map_or(String::new(), |a| format!("{a:.2}"));
        table.row([
            buy.stock.as_str(),
            buy.kind.word(),
            &quantity.to_string(),
            &units.length(buy.length),
            &units.length(buy.width),
            &units.length(buy.thickness),
            &money(price),
            &money(price.map(|price| price * quantity as f64)),
            why,
        ])?;
    }
    table.finish()
}

/// What is left, as `[[offcut]]` tables for the shop file. Lengths are rounded down to what a tape
/// reads, so that no offcut is promised larger than it is.
pub(crate) fn offcuts(plan: &CuttingPlan, router: &RouterPlan, units: Units) -> String {
    let mut text = "# What is left once everything is sawn by the cutting plan. Put these tables in place of the \
                    [[offcut]] tables in shop.toml.\n"
        .to_owned();
    let mut used: BTreeMap<&str, usize> = plan.new_ones().collect();
    for sheet in router.sheets.iter().filter(|sheet| !sheet.offcut) {
        *used.entry(&sheet.stock).or_default() += 1;
    }
    for (stock, used) in used {
        let _ = writeln!(text, "# {}: lower its quantity by {used}.", one_line(stock));
    }
    if !router.sheets.is_empty() {
        text.push_str("# What the CNC router leaves of its sheets is not listed: measure it.\n");
    }
    for left in &plan.left {
        let [length, width] = [left.length, left.width].map(|mm| down(mm, units));
        if left.beveled {
            // A shop file holds square wood only.
            let of = one_line(&left.of);
            let _ = writeln!(text, "\n# Cleat strip, beveled, of {of}: {length} × {width}.");
            continue;
        }
        let of = toml::Value::String(left.of.clone());
        let _ =
            write!(text, "\n[[offcut]]\nof = {of}\nlength = \"{length}\"\nwidth = \"{width}\"\n");
    }
    text
}

fn down(mm: f64, units: Units) -> String {
    let step = units.either(1.0 / 32.0, 0.1);
    // What is on a mark stays there, whatever its last binary digit says.
    units.length((mm / step + 1e-6).floor() * step)
}

fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
