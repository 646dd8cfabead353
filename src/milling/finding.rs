//! What is to be said of the jobs of a sheet.

use std::collections::BTreeSet;

use super::bridge;
use super::job::{Jobs, MillCut, MillPath, MillWork};
use crate::holder::Finding;
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::Shop;

/// What holds where no bridge does.
const HOLD_IT: &str = "Stick it down with double-sided tape, or leave a skin: write bridges = 0 and skin under [router].";

/// Parts and slugs without room for a bridge, parts that nothing holds, and a sheet that is turned without room for
/// dowels.
pub(super) fn findings(sheet: &RoutedSheet, jobs: &Jobs, shop: &Shop) -> Vec<Finding> {
    let rules = &shop.router_sheets;
    let loose = if rules.skin > 0.0 { Vec::new() } else { loose(jobs) };
    let told: Vec<Finding> = match rules.bridges {
        0 => (!loose.is_empty()).then(|| unheld(sheet)).into_iter().collect(),
        _ => once_each(sheet, &loose)
            .into_iter()
            .map(|(piece, cut)| no_bridge(piece, cut, jobs, shop))
            .collect(),
    };
    let turned = sheet.parts.iter().find(|piece| piece.part.is_turned_over());
    let unplaced =
        turned.filter(|_| jobs.front.dowels.is_none()).map(|piece| no_dowels(sheet, piece));
    told.into_iter().chain(unplaced).collect()
}

/// What is cut free and has no bridge.
pub(crate) fn loose(jobs: &Jobs) -> Vec<&MillCut> {
    let frees = |cut: &&MillCut| match cut.work {
        MillWork::Outline { .. } => true,
        MillWork::Opening { .. } => !cut.clears,
        _ => false,
    };
    jobs.front.cuts.iter().filter(frees).filter(|cut| cut.bridges.is_empty()).collect()
}

/// The first of the cuts of each part.
fn once_each<'s>(
    sheet: &'s RoutedSheet,
    cuts: &[&'s MillCut],
) -> Vec<(&'s RoutedPiece, &'s MillCut)> {
    let mut told = BTreeSet::new();
    let pieces = cuts.iter().filter_map(|cut| Some((sheet.parts.get(cut.piece)?, *cut)));
    let mut is_new = |piece: &RoutedPiece| {
        told.insert((piece.part.holder().name.clone(), piece.part.name.clone()))
    };
    pieces.filter(|(piece, _)| is_new(piece)).collect()
}

fn no_bridge(piece: &RoutedPiece, cut: &MillCut, jobs: &Jobs, shop: &Shop) -> Finding {
    let (units, bit) = (shop.units, jobs.front.bit_of(cut));
    let what = match cut.work {
        MillWork::Outline { .. } => "side",
        _ => "side of an opening",
    };
    let [longest, least] = match &cut.path {
        MillPath::Closed(contour) => {
            bridge::longest(contour, cut.work.side(), &shop.router_sheets, bit)
        }
        _ => [0.0; 2],
    };
    let message = format!(
        "{} of {}: its longest straight {what} is {}, and one bridge takes {}. {HOLD_IT}",
        piece.part.name,
        piece.part.holder().name,
        units.length(longest),
        units.length(least)
    );
    Finding::warn("no-bridge", message)
}

fn unheld(sheet: &RoutedSheet) -> Finding {
    let parts = match sheet.parts.len() {
        1 => "its part".to_owned(),
        count => format!("its {count} parts"),
    };
    let message = format!(
        "{}, number {}: nothing holds {parts} once they are cut, with bridges = 0 and no skin. Stick them down with \
         double-sided tape, or write bridges = 4 under [router].",
        sheet.stock, sheet.number
    );
    Finding::note("nothing-holds", message)
}

fn no_dowels(sheet: &RoutedSheet, piece: &RoutedPiece) -> Finding {
    let message = format!(
        "{}, number {}: {} of {} has work on both faces, and there is no waste for the two dowels that bring the \
         turned sheet to its place. Make hold_down under [router] wider, or do its back by hand.",
        sheet.stock,
        sheet.number,
        piece.part.name,
        piece.part.holder().name
    );
    Finding::warn("no-dowels", message)
}
