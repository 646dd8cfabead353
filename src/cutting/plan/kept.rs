//! What is left over and worth keeping.

use super::super::index::SheetIndex;
use super::super::layout::is_kept;
use super::super::measure::{micrometers, millimeters};
use super::super::stock::unused;
use super::super::work::{Content, Cut, Setup};
use super::{CuttingPlan, SawnSheet};
use crate::router::RouterPlan;
use crate::shop::{Offcut, SawRules, Shop, StockKind};

/// A piece of wood left over, sizes in mm, along the grain first.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct KeptOffcut {
    /// Name of the stock.
    pub of: String,
    /// Along the grain.
    pub length: f64,
    /// Across it.
    pub width: f64,
    /// Whether it is the rest of a finished cleat strip, `width` wide on its wide face.
    pub beveled: bool,
    /// The sheet it is left of; `None` for an offcut that stays as it was.
    pub from: Option<SheetIndex>,
}

/// What is left of what is sawn, and offcuts that stay as they were.
pub(super) fn kept(plan: &CuttingPlan, shop: &Shop, router: &RouterPlan) -> Vec<KeptOffcut> {
    let mut kept = Vec::new();
    for (_, cut) in plan.cuts() {
        if let Some(sheet) = cut.sheet.of(&plan.sheets) {
            kept.extend(left_of(cut, sheet, plan.is_beveled(cut.number), &shop.saw));
        }
    }
    kept.extend(untouched(unused(shop, router), &plan.sheets));
    kept
}

/// Whether the cut of this number comes after the blade was tilted.
pub(super) fn is_beveled(setups: &[Setup], number: usize) -> bool {
    let after = setups.iter().skip_while(|setup| !setup.fence.is_tilted());
    after.flat_map(|setup| &setup.cuts).any(|cut| cut.number == number)
}

/// What one cut leaves that is worth keeping.
fn left_of(
    cut: &Cut,
    sheet: &SawnSheet,
    beveled: bool,
    saw: &SawRules,
) -> impl Iterator<Item = KeptOffcut> {
    let as_strip = beveled || sheet.kind == StockKind::Dowel;
    let left = cut.both().filter(|work| work.content == Content::Remainder);
    let sizes = left.map(|work| work.area.size).filter(move |size| is_kept(*size, as_strip, saw));
    sizes.map(move |size| {
        let [length, width] = size.map(millimeters);
        KeptOffcut { of: sheet.stock.clone(), length, width, beveled, from: Some(cut.sheet) }
    })
}

/// Offcuts the router leaves that are not among `sheets` in use either.
fn untouched(unused: Vec<&Offcut>, sheets: &[SawnSheet]) -> Vec<KeptOffcut> {
    let mut used: Vec<&SawnSheet> = sheets.iter().filter(|sheet| sheet.offcut).collect();
    let mut left = Vec::new();
    for offcut in unused {
        let size = [offcut.length, offcut.width].map(micrometers);
        // Of a dowel's offcut the width does not count.
        let same = |sheet: &&SawnSheet| {
            let width = sheet.kind == StockKind::Dowel || sheet.size[1] == size[1];
            sheet.stock == offcut.of && sheet.size[0] == size[0] && width
        };
        match used.iter().position(same) {
            Some(index) => {
                used.remove(index);
            }
            None => left.push(KeptOffcut {
                of: offcut.of.clone(),
                length: offcut.length,
                width: offcut.width,
                beveled: false,
                from: None,
            }),
        }
    }
    left
}
