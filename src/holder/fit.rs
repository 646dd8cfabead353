//! Whether a part can be had from the shop's stock.

use super::finding::Finding;
use super::part::Part;
use crate::length::Units;
use crate::shop::{Shop, StockKind, StockRow};
use crate::style::Grain;
use crate::tolerance::COORDINATE;

/// What stands in the way of cutting `part` from its stock.
pub(super) fn fits(part: &Part, shop: &Shop, units: Units) -> Vec<Finding> {
    let rows: Vec<&StockRow> =
        shop.stock.iter().filter(|row| row.name == part.stock.name).collect();
    let lies = |row: &&StockRow| {
        let (length, width) = (part.length(), part.width());
        let straight = holds(row, length, width);
        let turned = holds(row, width, length);
        match (part.stock.kind, row.grain, part.grain) {
            // A cleat is ripped along the grain, whatever the stock.
            (StockKind::Cleat | StockKind::Dowel, ..) | (_, true, Grain::Length) => straight,
            (_, true, Grain::Width) => turned,
            _ => straight || turned,
        }
    };
    // A cleat strip that names no stock can be as long as it needs to be.
    if rows.is_empty() || rows.iter().any(lies) {
        return Vec::new();
    }
    let sizes: Vec<String> = rows
        .iter()
        .map(|row| format!("{} × {}", units.length(row.length), units.length(row.width)))
        .collect();
    let grain = match part.grain {
        Grain::Any => "",
        Grain::Length => ", grain along its length",
        Grain::Width => ", grain across its length",
    };
    let message = format!(
        "{} is {} × {}{grain}, larger than \"{}\" ({}): hang fewer tools on it, make two holders, or \
         add larger stock to shop.toml.",
        part.name,
        units.length(part.length()),
        units.length(part.width()),
        part.stock.name,
        sizes.join(", ")
    );
    vec![Finding::stop("larger-than-stock", message)]
}

fn holds(row: &StockRow, length: f64, width: f64) -> bool {
    length <= row.length + COORDINATE && width <= row.width.max(row.thickness) + COORDINATE
}
