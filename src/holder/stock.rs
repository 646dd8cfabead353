//! What a part is cut from.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::part::Stock;
use crate::shop::{StockKind, StockRow, density};
use crate::style::PartSpec;

/// Density in kg/m³ of a wood the program does not know.
const USUAL_DENSITY: f64 = 600.0;

/// The stock of the part that `spec` says.
///
/// # Errors
/// When a formula fails or the shop has no such stock.
pub(super) fn stock(bench: &Bench<'_>, spec: &PartSpec) -> Result<Stock, Refusal> {
    let from = spec.cut_from.get_ref().as_str();
    if from == "cleat" {
        let cleat = &bench.shop.cleat;
        let made = of(&cleat.from, StockKind::Cleat, cleat.thickness, cleat.wood_name());
        return Ok(Stock { plies: cleat.plies, ..made });
    }
    let row = match (&spec.diameter, bench.values.stock(from)) {
        (Some(diameter), _) => dowel(bench, bench.length(diameter)?)?,
        (None, Some(row)) => row,
        (None, None) => {
            let message = format!("The shop has no {from} for the part {}.", bench.name);
            return Err(Finding::stop("no-stock", message).into());
        }
    };
    let made = of(&row.name, row.kind, row.thickness, row.wood_name());
    Ok(Stock { plies: row.plies, ..made })
}

fn of(name: &str, kind: StockKind, thickness: f64, wood: &str) -> Stock {
    Stock {
        name: name.to_owned(),
        kind,
        thickness,
        wood: wood.to_owned(),
        plies: None,
        density: density(wood).unwrap_or(USUAL_DENSITY),
    }
}

/// What to say of a stock whose wood is not known.
pub(super) fn unknown(stock: &Stock) -> Option<Finding> {
    if density(&stock.wood).is_some() {
        return None;
    }
    let message = format!(
        "The weight of \"{}\" is not known: {} is counted as wood of middling weight.",
        stock.wood, stock.name
    );
    Some(Finding::note("unknown-wood", message))
}

/// The shop's dowel of a diameter. Dowels are sold by nominal size: half a millimeter off is it.
fn dowel<'a>(bench: &Bench<'a>, diameter: f64) -> Result<&'a StockRow, Refusal> {
    let fits = |row: &&StockRow| (row.thickness - diameter).abs() <= 0.5;
    bench.shop.of_kind(StockKind::Dowel).find(fits).ok_or_else(|| {
        let sizes: Vec<String> =
            bench.shop.of_kind(StockKind::Dowel).map(|row| bench.write(row.thickness)).collect();
        let has = if sizes.is_empty() { "none".to_owned() } else { sizes.join(", ") };
        let message = format!(
            "{} needs a dowel {} thick; the shop has {has}: add a [[dowel]] to shop.toml or choose a diameter it has.",
            bench.name,
            bench.write(diameter)
        );
        Finding::stop("no-stock", message).into()
    })
}
