//! The tables of a run as CSV: what to cut and what to buy.

use std::borrow::Cow;

use crate::cutting::CuttingPlan;
use crate::document::{totals, words};
use crate::holder::Holder;

/// The cut list: a row a part, with the letters of its pieces in the cutting plan and a caution for
/// small ones. Sizes stand as a tape reads.
///
/// # Errors
/// When the table can't be written (out of memory).
pub(crate) fn cut_list(holders: &[&Holder], plan: &CuttingPlan) -> csv::Result<Vec<u8>> {
    let mut table = CsvTable::new();
    table.row([
        "holder",
        "part",
        "quantity",
        "stock",
        "thickness",
        "length",
        "width",
        "grain along",
        "what it is",
        "letters",
        "caution",
    ])?;
    for holder in holders {
        let units = holder.units;
        for (part, letters) in holder.parts.iter().zip(plan.letters_of(holder)) {
            let sizes = [part.stock.thickness, part.length(), part.width()];
            let [thickness, length, width] = sizes.map(|mm| units.length(mm));
            table.row([
                holder.name.as_str(),
                &part.name,
                &part.quantity().to_string(),
                &part.stock.name,
                &thickness,
                &length,
                &width,
                part.grain.word(),
                &part.about,
                &letters.join(" "),
                part.caution().unwrap_or_default(),
            ])?;
        }
    }
    table.finish()
}

/// The hardware of all holders together: a row for each item and size, with the bits it wants and the boxes of
/// `in_box` screws to buy.
///
/// # Errors
/// When the table can't be written (out of memory).
pub(crate) fn hardware(holders: &[&Holder], in_box: usize) -> csv::Result<Vec<u8>> {
    let mut table = CsvTable::new();
    table.row([
        "item",
        "size",
        "quantity",
        "boxes",
        "clearance",
        "pilot",
        "countersink",
        "holders",
    ])?;
    for total in totals(holders) {
        let [item, size] = words::item(total.first);
        let boxes = total.boxes(in_box).unwrap_or_default();
        let names: Vec<&str> = total.holders.iter().map(|holder| holder.name.as_str()).collect();
        let [clearance, pilot, countersink] = total.bits.map(|bits| bits.join(" or "));
        table.row([
            item.as_str(),
            &size,
            &total.quantity.to_string(),
            &boxes,
            &clearance,
            &pilot,
            &countersink,
            &names.join(", "),
        ])?;
    }
    table.finish()
}

/// A table in the making.
pub(super) struct CsvTable(csv::Writer<Vec<u8>>);

impl CsvTable {
    pub(super) fn new() -> Self {
        // A byte-order mark: without it spreadsheets take the letters of another script for rubbish.
        Self(csv::Writer::from_writer("\u{feff}".into()))
    }

    /// # Errors
    /// When it can't be written (out of memory).
    pub(super) fn row<'c>(&mut self, cells: impl IntoIterator<Item = &'c str>) -> csv::Result<()> {
        self.0.write_record(cells.into_iter().map(harmless).map(Cow::into_owned))
    }

    /// # Errors
    /// When it can't be written (out of memory).
    pub(super) fn finish(self) -> csv::Result<Vec<u8>> {
        self.0.into_inner().map_err(|e| csv::Error::from(e.into_error()))
    }
}

/// A cell that a spreadsheet would take for a formula, with an apostrophe before it, which says that
/// it is a text. A plain negative number stays a number.
fn harmless(cell: &str) -> Cow<'_, str> {
    let runs = cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠']);
    let number = cell.strip_prefix('-').is_some_and(|rest| {
        rest.starts_with(|c: char| c.is_ascii_digit())
            && rest.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && rest.parse::<f64>().is_ok()
    });
    if runs && !number { Cow::Owned(format!("'{cell}")) } else { Cow::Borrowed(cell) }
}

#[cfg(test)]
mod tests {
    use super::harmless;

    /// What spreadsheets run: OWASP, "CSV injection".
    #[test]
    fn what_a_spreadsheet_would_run_is_a_text() {
        for cell in ["=1+1", "+1", "-2+3", "@sum(a1)", "\t=1", "\r=1", "-", "--1", "-1e3", "＝1"] {
            assert_eq!(harmless(cell), format!("'{cell}"));
        }
        for cell in ["-3.5", "-12", "3/4 in", "", "a=b", "1-2", "Küche"] {
            assert_eq!(harmless(cell), cell);
        }
    }
}
