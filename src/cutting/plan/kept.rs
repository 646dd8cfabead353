//! What is left over and worth keeping.

use super::super::index::SheetIndex;
use super::super::layout::is_kept;
use super::super::measure::{micrometers, millimeters};
use super::super::stock::{RouterLeavings, RouterLeft, unused};
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
    /// What it is left of.
    pub from: KeptFrom,
}

/// What wood is left of.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum KeptFrom {
    /// A sheet that is sawn.
    Sheet(SheetIndex),
    /// A sheet of the router; by its own name.
    Router(String),
    /// An offcut that stays as it was.
    Uncut,
}

/// What is left of what is sawn, what the router leaves that the saw has no use for, and offcuts
/// that stay as they were.
pub(super) fn kept(
    plan: &CuttingPlan,
    shop: &Shop,
    router: &RouterPlan,
    leavings: &RouterLeavings,
) -> Vec<KeptOffcut> {
    let mut kept = Vec::new();
    for (_, cut) in plan.cuts() {
        if let Some(sheet) = cut.sheet.of(&plan.sheets) {
            kept.extend(left_of(cut, sheet, plan.is_beveled(cut.number), &shop.saw));
        }
    }
    kept.extend(unsawn(plan, shop, leavings));
    kept.extend(untouched(unused(shop, router), &plan.sheets));
    kept
}

/// What the router leaves that is worth keeping and not sawn.
fn unsawn(plan: &CuttingPlan, shop: &Shop, leavings: &RouterLeavings) -> Vec<KeptOffcut> {
    let sawn = |left: &&RouterLeft| {
        plan.sheets.iter().any(|sheet| sheet.left.as_ref() == Some(&left.name))
    };
    let unsawn = leavings.left.iter().filter(|left| !sawn(left));
    let kept = unsawn.filter(|left| is_kept(left.size(), false, &shop.saw));
    kept.map(|left| {
        let [length, width] = left.size().map(millimeters);
        let from = KeptFrom::Router(left.name.clone());
        KeptOffcut { of: left.stock.clone(), length, width, beveled: false, from }
    })
    .collect()
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
        KeptOffcut {
            of: sheet.stock.clone(),
            length,
            width,
            beveled,
            from: KeptFrom::Sheet(cut.sheet),
        }
    })
}

/// Offcuts the router leaves that are not among `sheets` in use either.
fn untouched(unused: Vec<&Offcut>, sheets: &[SawnSheet]) -> Vec<KeptOffcut> {
    let mut used: Vec<&SawnSheet> =
        sheets.iter().filter(|sheet| sheet.offcut && sheet.left.is_none()).collect();
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
                from: KeptFrom::Uncut,
            }),
        }
    }
    left
}
