//! All stock together, so that a width is set once for all sheets and boards.

use super::super::index::{BlankIndex, SheetIndex, StripIndex};
use super::super::layout::{LaidPanel, Panels};
use super::super::least::ItemIndex;
use super::super::stock::{BlankUse, CleatBlank, StockGroup};
use super::super::work::{
    Area, Fate, Root, SawLimits, Setup, Slab, WholeBlank, WorkName, next_number, order, tilted,
};

/// The order of work over all stock.
pub(super) struct Work {
    pub setups: Vec<Setup>,
    pub blanks: Vec<BlankUse>,
    /// Panels that are a blank as they are.
    pub whole: Vec<WholeBlank>,
}

/// An item of one of several groups.
#[derive(Debug, Clone, Copy)]
struct GroupItem {
    group: usize,
    item: ItemIndex,
}

impl Work {
    /// The first cut is numbered `first`.
    pub(super) fn new(
        groups: &[(&StockGroup<'_>, &Panels)],
        limits: &SawLimits,
        first: usize,
    ) -> Self {
        let [flat, round] = all_roots(groups);
        let mut ordered = order(&flat, limits, first);
        let next = next_number(&ordered, first);
        ordered.extend(order(&round, limits, next));
        let mut free = FreeBlanks::new(groups);
        let roots = flat.iter().chain(&round);
        let whole: Vec<WholeBlank> = roots.filter_map(|root| free.whole(root)).collect();
        let mut setups: Vec<Setup> =
            ordered.into_iter().map(|setup| setup.renamed(&mut |item| free.give(item))).collect();
        let mut blanks = free.blanks;
        let strips = groups.iter().flat_map(|(group, _)| group.strips.iter().cloned());
        let strips: Vec<CleatBlank> = strips.collect();
        setups.extend(tilted((&setups, first), &whole, &mut blanks, &strips, limits));
        Self { setups, blanks, whole }
    }
}

/// The panels of all groups, and those of dowels, their sheets numbered one after the other.
fn all_roots(groups: &[(&StockGroup<'_>, &Panels)]) -> [Vec<Root<Slab<GroupItem>>>; 2] {
    let (mut flat, mut round) = (Vec::new(), Vec::new());
    let mut next = 0;
    for (at, (group, panels)) in groups.iter().enumerate() {
        let roots = if group.is_dowel() { &mut round } else { &mut flat };
        for panel in *panels {
            roots.push(root(panel, at, SheetIndex(next)));
            next += 1;
        }
    }
    [flat, round]
}

fn root(panel: &LaidPanel, group: usize, sheet: SheetIndex) -> Root<Slab<GroupItem>> {
    let slab = panel.slab.renamed(&|item| GroupItem { group, item: *item });
    Root { sheet, name: WorkName::Sheet(sheet), at: [0, 0], slab }
}

/// Gives every blank of an item its own use, in the order they come free.
struct FreeBlanks {
    /// By group and item, the first to be given out last.
    members: Vec<Vec<Vec<BlankUse>>>,
    blanks: Vec<BlankUse>,
}

impl FreeBlanks {
    fn new(groups: &[(&StockGroup<'_>, &Panels)]) -> Self {
        let mut strips = 0;
        let mut members = Vec::new();
        for (group, _) in groups {
            members.push(reversed(group, strips));
            strips += group.strips.len();
        }
        Self { members, blanks: Vec::new() }
    }

    /// The next blank of an item; `None` when there are no more, which the panels never ask for.
    fn give(&mut self, of: GroupItem) -> Option<BlankIndex> {
        let items = self.members.get_mut(of.group)?;
        self.blanks.push(items.get_mut(of.item.0)?.pop()?);
        Some(BlankIndex(self.blanks.len() - 1))
    }

    fn whole(&mut self, root: &Root<Slab<GroupItem>>) -> Option<WholeBlank> {
        let Fate::Blank { blank, .. } = root.slab.fate else { return None };
        let area = Area { at: root.at, size: root.slab.size };
        Some(WholeBlank { sheet: root.sheet, blank: self.give(blank)?, area })
    }
}

/// The members of each item from the last to the first; `before` strips belong to other groups.
fn reversed(group: &StockGroup<'_>, before: usize) -> Vec<Vec<BlankUse>> {
    let numbered = |of: &BlankUse| match of {
        BlankUse::Piece(piece) => BlankUse::Piece(*piece),
        BlankUse::Strip(strip) => BlankUse::Strip(StripIndex(strip.0 + before)),
    };
    group.members.iter().map(|all| all.iter().rev().map(numbered).collect()).collect()
}
