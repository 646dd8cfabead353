//! The tables of a run as CSV: what to cut and what to buy.

use std::collections::BTreeMap;

use super::cut_tables::letters;
use crate::cutting::Plan;
use crate::holder::Holder;

/// The cut list: a row a part, with the letters of its pieces in the cutting plan. Sizes stand as a
/// tape reads and, beside that, in mm.
///
/// # Errors
/// When the table can't be written (out of memory).
pub fn cut_list(holders: &[Holder], plan: &Plan<'_>) -> csv::Result<Vec<u8>> {
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record([
        "holder",
        "part",
        "quantity",
        "stock",
        "thickness",
        "length",
        "width",
        "grain along",
        "thickness mm",
        "length mm",
        "width mm",
        "what it is",
        "letters",
    ])?;
    for holder in holders {
        let units = holder.units;
        for part in &holder.parts {
            let sizes = [part.stock.thickness, part.length(), part.width()];
            let [thickness, length, width] = sizes.map(|mm| units.length(mm));
            let [thickness_mm, length_mm, width_mm] = sizes.map(|mm| format!("{mm:.1}"));
            table.write_record([
                &holder.name,
                &part.name,
                &part.quantity().to_string(),
                &part.stock.name,
                &thickness,
                &length,
                &width,
                part.grain.word(),
                &thickness_mm,
                &length_mm,
                &width_mm,
                &part.about,
                &letters(plan, &holder.name, &part.name),
            ])?;
        }
    }
    finish(table)
}

/// The hardware of all holders together: a row for each item and size.
///
/// # Errors
/// When the table can't be written (out of memory).
pub fn hardware(holders: &[Holder]) -> csv::Result<Vec<u8>> {
    let mut totals: BTreeMap<(&str, &str), (usize, Vec<&str>)> = BTreeMap::new();
    for holder in holders {
        for item in &holder.hardware {
            let (quantity, used_in) = totals.entry((&item.item, &item.size)).or_default();
            *quantity += item.quantity;
            if used_in.last() != Some(&holder.name.as_str()) {
                used_in.push(&holder.name);
            }
        }
    }
    let mut table = csv::Writer::from_writer(Vec::new());
    table.write_record(["item", "size", "quantity", "holders"])?;
    for ((item, size), (quantity, used_in)) in totals {
        table.write_record([item, size, &quantity.to_string(), &used_in.join(", ")])?;
    }
    finish(table)
}

pub(super) fn finish(table: csv::Writer<Vec<u8>>) -> csv::Result<Vec<u8>> {
    table.into_inner().map_err(|e| csv::Error::from(e.into_error()))
}
