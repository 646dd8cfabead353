//! When the last sheet is hardly used: which holders to leave out so as to save it.

use std::collections::BTreeSet;

use super::finding::counts;
use super::group::{Group, Laid};
use super::search::filling;
use super::slab::Slab;
use super::supply::Supply;
use super::{Budget, Piece, solve};
use crate::holder::Finding;
use crate::router;
use crate::shop::Shop;

/// A last sheet filled less than this is worth a thought.
const HARDLY: f64 = 1.0 / 3.0;

/// How many holders are tried, one at a time.
const TRIED: usize = 12;

/// Says which holders to leave out to save the sheet that is filled least, if that is hardly used;
/// each saving is worked out by laying out what remains.
pub(super) fn advice(
    group: &Group<'_>,
    laid: &Laid,
    pieces: &[Piece],
    shop: &Shop,
    router: &router::Plan,
    steps: u64,
) -> Option<Finding> {
    let new = laid.panels.iter().filter(|(stock, _)| !group.supply.is_offcut(*stock));
    let (share, last) =
        new.map(|(_, slab)| (filling(slab), slab)).min_by(|a, b| a.0.total_cmp(&b.0))?;
    if share >= HARDLY || !counts(group.row.kind) {
        return None;
    }
    let used = group.new_ones(&laid.panels);
    let trial = Trial { group, pieces, shop, router, steps: steps / 10 };
    let all: BTreeSet<&str> =
        laid.panels.iter().flat_map(|(_, slab)| trial.holders(slab)).collect();
    let saves = |left_out: &BTreeSet<&str>| {
        // To leave out all that use the stock is no advice.
        let others = all.difference(left_out).next();
        others.and_then(|_| trial.new_ones_without(left_out)).filter(|needed| *needed < used)
    };
    let on_last = trial.holders(last);
    let alone = on_last.iter().take(TRIED).map(|holder| BTreeSet::from([*holder]));
    let together = std::iter::once(on_last.iter().copied().collect::<BTreeSet<&str>>());
    let (left_out, needed) =
        alone.chain(together).find_map(|set| saves(&set).map(|needed| (set, needed)))?;
    let names: Vec<&str> = left_out.into_iter().collect();
    let word = group.row.kind.word();
    let will_do = match needed {
        0 if group.row.quantity.is_some() => "it stays whole".to_owned(),
        0 => format!("no new {word} is needed"),
        _ => format!("{needed} of {used} will do"),
    };
    let message = format!(
        "The last {word} of \"{}\" is only {:.0} % used. Leave out {}, and {will_do}.",
        group.row.name,
        100.0 * share,
        names.join(", ")
    );
    Some(Finding::note("save-a-sheet", message))
}

struct Trial<'t> {
    group: &'t Group<'t>,
    pieces: &'t [Piece],
    shop: &'t Shop,
    router: &'t router::Plan,
    steps: u64,
}

impl<'t> Trial<'t> {
    /// How many new panels it takes without some holders; `None` when it can't all be made.
    fn new_ones_without(&self, left_out: &BTreeSet<&str>) -> Option<usize> {
        let row = self.group.row;
        let index = self.shop.stock.iter().position(|stock| stock == row)?;
        let supply = Supply::new(self.shop, row, self.router);
        let wanted = |piece: &Piece| !left_out.contains(piece.part.holder().name.as_str());
        let rest = Group::new(self.pieces, self.shop, index, supply, 0, &wanted)?;
        let answer = solve(&rest.problem, Budget { steps: self.steps }).ok()?;
        let new = answer.layouts.iter().filter(|layout| !rest.supply.is_offcut(layout.stock));
        let all_made = answer.unmet.iter().all(|count| *count == 0);
        all_made.then(|| new.map(|layout| layout.times).sum())
    }

    /// Names of the holders that have pieces on a panel, those with least of the stock first.
    fn holders(&self, slab: &Slab) -> Vec<&'t str> {
        let mut names = BTreeSet::new();
        slab.each_item(&mut |item| {
            let members = self.group.members.get(item).into_iter().flatten();
            for piece in members.flat_map(|sawn| self.group.pieces_of(*sawn)) {
                names.extend(self.pieces.get(piece).map(|piece| piece.part.holder().name.as_str()));
            }
        });
        let mut holders: Vec<(i64, &str)> =
            names.into_iter().map(|name| (self.area(name), name)).collect();
        holders.sort_unstable();
        holders.into_iter().map(|(_, name)| name).collect()
    }

    /// What a holder takes of the stock, in square mm.
    fn area(&self, holder: &str) -> i64 {
        let all = (0..self.group.members.len()).flat_map(|item| {
            self.group
                .members
                .get(item)
                .into_iter()
                .flatten()
                .flat_map(|s| self.group.pieces_of(*s))
        });
        let own = all.filter_map(|i| self.pieces.get(i)).filter(|p| p.part.holder().name == holder);
        own.filter_map(|piece| piece.blank)
            .map(|blank| blank.size[0] / 1000 * (blank.size[1] / 1000))
            .sum()
    }
}
