//! The tables of the cutting plan: what each piece is sawn as, what to buy, what is left.

use std::fmt::Write;

use super::tables::CsvTable;

use crate::cutting::{CuttingPlan, PieceIndex, StockUse, millimeters};
use crate::length::Units;

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

/// All new stock that is used, by the router and the saw together, and what is not enough: with
/// prices where the shop file names them, and how much of it is to be bought.
///
/// # Errors
/// When the table can't be written (out of memory).
pub(crate) fn shopping(plan: &CuttingPlan, units: Units) -> csv::Result<Vec<u8>> {
    let mut table = CsvTable::new();
    table.row([
        "stock",
        "kind",
        "quantity",
        "length",
        "width",
        "thickness",
        "price",
        "total",
        "why",
        "to buy",
    ])?;
    for uses in &plan.uses {
        let rows = [
            (uses.used(), used_for(uses), uses.bought()),
            (uses.short, "not enough at hand", uses.short),
        ];
        for row in rows.into_iter().filter(|(quantity, ..)| *quantity > 0) {
            table.row(stock_row(uses, row, units).iter().map(String::as_str))?;
        }
    }
    table.finish()
}

fn stock_row(
    uses: &StockUse,
    (quantity, why, to_buy): (usize, &str, usize),
    units: Units,
) -> [String; 10] {
    let money = |amount: Option<f64>| amount.map_or(String::new(), |a| format!("{a:.2}"));
    [
        uses.stock.clone(),
        uses.kind.word().to_owned(),
        quantity.to_string(),
        units.length(uses.length),
        units.length(uses.width),
        units.length(uses.thickness),
        money(uses.price),
        money(uses.price.map(|price| price * quantity as f64)),
        why.to_owned(),
        to_buy.to_string(),
    ]
}

fn used_for(uses: &StockUse) -> &'static str {
    match (uses.routed, uses.sawn) {
        (0, _) => "the saw uses it",
        (_, 0) => "the CNC router uses it",
        _ => "the CNC router and the saw use it",
    }
}

/// What is left, as `[[offcut]]` tables for the shop file. Lengths are rounded down to what a tape
/// reads, so that no offcut is promised larger than it is.
pub(crate) fn offcuts(plan: &CuttingPlan, units: Units) -> String {
    let mut text = "# What is left once everything is cut. Put these tables in place of the \
                    [[offcut]] tables in shop.toml.\n"
        .to_owned();
    let mut used: Vec<(&str, usize)> =
        plan.uses.iter().map(|uses| (uses.stock.as_str(), uses.used())).collect();
    used.sort_unstable();
    for (stock, used) in used.into_iter().filter(|(_, used)| *used > 0) {
        let _ = writeln!(text, "# {}: lower its quantity by {used}.", one_line(stock));
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
