//! When the last sheet is hardly used: which holders to leave out so as to save it.

use std::collections::BTreeSet;

use super::super::index::RowIndex;
use super::super::layout::{LaidGroup, LaidPanel};
use super::super::least::{Budget, solve};
use super::super::stock::{CutPiece, RouterLeavings, StockGroup, Supply};
use crate::holder::Finding;
use crate::router::RouterPlan;
use crate::shop::{Shop, StockKind};

/// A last sheet filled less than this is worth a thought.
const HARDLY: f64 = 1.0 / 3.0;

/// How many holders are tried, one at a time.
const TRIED: usize = 12;

/// Says which holders to leave out to save the sheet that is filled least, if that is hardly used;
/// each saving is worked out by laying out what remains.
pub(super) fn advice(
    laid: &LaidGroup<'_>,
    pieces: &[CutPiece],
    shop: &Shop,
    (router, leavings): (&RouterPlan, &RouterLeavings),
    steps: u64,
) -> Option<Finding> {
    let group = &laid.group;
    let new = laid.panels.iter().filter(|panel| !group.supply.is_free(panel.stock));
    let last = new.min_by(|a, b| a.filling().total_cmp(&b.filling()))?;
    if last.filling() >= HARDLY || !is_worth_telling(group.row.kind) {
        return None;
    }
    let used = laid.new_ones();
    let trial = Trial { group, pieces, shop, router, leavings, steps: steps / 10 };
    let (left_out, needed) = trial.saving(laid, last, used)?;
    let names: Vec<&str> = left_out.into_iter().collect();
    let word = group.row.kind.word();
    let will_do = match needed {
        0 if group.row.quantity.is_some() => "it stays whole".to_owned(),
        0 => format!("no new {word} is needed"),
        _ => format!("{needed} instead of {used} are enough"),
    };
    let message = format!(
        "The last {word} of \"{}\" is only {:.0} % used: leave out {}, and {will_do}.",
        group.row.name,
        100.0 * last.filling(),
        names.join(", ")
    );
    Some(Finding::note("save-a-sheet", message))
}

/// Whether leaving things out can save a panel of this kind worth telling.
fn is_worth_telling(kind: StockKind) -> bool {
    matches!(kind, StockKind::Sheet | StockKind::Board)
}

struct Trial<'t> {
    group: &'t StockGroup<'t>,
    pieces: &'t [CutPiece],
    shop: &'t Shop,
    router: &'t RouterPlan,
    leavings: &'t RouterLeavings,
    steps: u64,
}

impl<'t> Trial<'t> {
    /// The first holders whose leaving out saves a new panel, and how many are then needed: each on
    /// the last panel alone, then all of them.
    fn saving(
        &self,
        laid: &LaidGroup<'_>,
        last: &LaidPanel,
        used: usize,
    ) -> Option<(BTreeSet<&'t str>, usize)> {
        let all: BTreeSet<&str> =
            laid.panels.iter().flat_map(|panel| self.holders(panel)).collect();
        let saves = |left_out: &BTreeSet<&str>| {
            // To leave out all that use the stock is no advice.
            let others = all.difference(left_out).next();
            others.and_then(|_| self.new_ones_without(left_out)).filter(|needed| *needed < used)
        };
        let on_last = self.holders(last);
        let alone = on_last.iter().take(TRIED).map(|holder| BTreeSet::from([*holder]));
        let together = std::iter::once(on_last.iter().copied().collect::<BTreeSet<&str>>());
        alone.chain(together).find_map(|set| saves(&set).map(|needed| (set, needed)))
    }

    /// How many new panels it takes without some holders; `None` when it can't all be made.
    fn new_ones_without(&self, left_out: &BTreeSet<&str>) -> Option<usize> {
        let row = self.group.row;
        let index = self.shop.stock.iter().position(|stock| stock == row).map(RowIndex)?;
        let supply = Supply::new(self.shop, row, self.router, self.leavings);
        let wanted = |piece: &CutPiece| !left_out.contains(piece.part.holder().name.as_str());
        let rest = StockGroup::new(self.pieces, self.shop, index, supply, &wanted)?;
        let answer = solve(&rest.problem, Budget { steps: self.steps }).ok()?;
        let new = answer.layouts.iter().filter(|layout| !rest.supply.is_free(layout.stock));
        let all_made = answer.unmet.iter().all(|count| *count == 0);
        all_made.then(|| new.map(|layout| layout.times).sum())
    }

    /// Names of the holders that have pieces on a panel, those with least of the stock first.
    fn holders(&self, panel: &LaidPanel) -> Vec<&'t str> {
        let mut names = BTreeSet::new();
        panel.slab.each_item(&mut |item| {
            let members = self.group.members_of(item).iter();
            for piece in members.flat_map(|blank| self.group.pieces_of(*blank)) {
                names.extend(piece.of(self.pieces).map(|piece| piece.part.holder().name.as_str()));
            }
        });
        let mut holders: Vec<(i64, &str)> =
            names.into_iter().map(|name| (self.area(name), name)).collect();
        holders.sort_unstable();
        holders.into_iter().map(|(_, name)| name).collect()
    }

    /// What a holder takes of the stock, in square mm.
    fn area(&self, holder: &str) -> i64 {
        let all =
            self.group.members.iter().flatten().flat_map(|blank| self.group.pieces_of(*blank));
        let own = all
            .filter_map(|piece| piece.of(self.pieces))
            .filter(|p| p.part.holder().name == holder);
        own.filter_map(|piece| piece.blank)
            .map(|blank| blank.size[0] / 1000 * (blank.size[1] / 1000))
            .sum()
    }
}
