//! What is to be said of the jobs of a sheet.

use std::collections::BTreeSet;

use super::bridge;
use super::job::{Jobs, MillCut, MillPath, MillWork};
use crate::holder::Finding;
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::Shop;

/// Parts without room for a bridge, and a sheet that is turned without room for dowels; each part is told once.
pub(super) fn findings(sheet: &RoutedSheet, jobs: &Jobs, shop: &Shop) -> Vec<Finding> {
    let mut told = BTreeSet::new();
    let loose = jobs.front.cuts.iter().filter(|cut| is_loose(cut, shop));
    let pieces = loose.filter_map(|cut| sheet.parts.get(cut.piece));
    let first = pieces
        .filter(|piece| told.insert((piece.part.holder().name.clone(), piece.part.name.clone())));
    let unheld: Vec<Finding> = first.map(unheld).collect();
    let turned = sheet.parts.iter().find(|piece| piece.part.is_turned_over());
    let unplaced = turned.filter(|_| jobs.dowels.is_none()).map(|piece| no_dowels(sheet, piece));
    unheld.into_iter().chain(unplaced).collect()
}

/// Whether a part is to have bridges and has none.
fn is_loose(cut: &MillCut, shop: &Shop) -> bool {
    let MillPath::Closed(contour) = &cut.path else { return false };
    matches!(cut.work, MillWork::Outline { .. })
        && cut.bridges.is_empty()
        && bridge::wanted(contour, &shop.router_sheets) > 0
}

fn unheld(piece: &RoutedPiece) -> Finding {
    let message = format!(
        "{} of {}: none of its straight outer sides has room for a bridge. Hold it with double-sided tape or a screw \
         in the waste, or make bridge_width under [router] smaller.",
        piece.part.name,
        piece.part.holder().name
    );
    Finding::warn("no-bridge", message)
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
