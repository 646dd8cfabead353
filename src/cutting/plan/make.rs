//! From holders and the shop to the whole plan.

use std::sync::Arc;

use super::super::index::{PieceIndex, RowIndex};
use super::super::layout::{LaidGroup, is_kept, lay};
use super::super::least::{Budget, OutOfRange};
use super::super::stock::{
    Blank, CleatBlank, CutPiece, RouterLeavings, SawnStrip, StockGroup, Supply, pieces,
};
use super::super::work::{SawLimits, SetupCount};
use super::join::Work;
use super::parting::partings;
use super::shopping::StockUse;
use super::verdict::Verdict;
use super::{CuttingPlan, advice, finding, kept, sheet, verdict};
use crate::holder::Holder;
use crate::router::RouterPlan;
use crate::shop::{SawRules, Shop, StockKind, StockRow};

/// Plans all cutting for `holders`: what is made by hand from sheets and boards, cleat strips and
/// dowels. Sheets and offcuts that the router uses are not there for the saw. The same steps give
/// the same plan.
pub(crate) fn plan(
    holders: &[Arc<Holder>],
    shop: &Shop,
    router: &RouterPlan,
    budget: Budget,
) -> CuttingPlan {
    let limits = SawLimits::new(shop);
    let mut plan = CuttingPlan { pieces: pieces(holders, shop), ..CuttingPlan::default() };
    let leavings = leavings(&plan.pieces, shop, router);
    let groups = plan.groups(shop, router, &leavings);
    let blanks: u64 = groups.iter().map(StockGroup::blanks).sum();
    // A stock has its share of the budget by its blanks.
    let share = |group: &StockGroup<'_>| budget.steps / blanks.max(1) * group.blanks();
    let mut laid: Vec<LaidGroup<'_>> = Vec::new();
    for group in &groups {
        match lay(group, shop, &limits, share(group)) {
            Ok(group) => laid.push(group),
            Err(error) => plan.add_unlaid(group, &error),
        }
    }
    plan.add_work(&laid, shop, &leavings, &limits);
    let mut short: Vec<usize> = Vec::new();
    for laid in &laid {
        short.push(plan.add_verdict(laid, shop, share(&laid.group)));
    }
    plan.uses = uses(shop, router, &laid, &short);
    let (homeless, said) = finding::no_cleat_stock(&plan.pieces);
    plan.missing.extend(homeless);
    plan.missing.sort_unstable();
    plan.findings.extend(said);
    plan.left = kept::kept(&plan, shop, router, &leavings);
    plan.findings.extend(finding::of_cuts(&plan.setups, shop));
    for laid in &laid {
        let steps = share(&laid.group);
        plan.findings.extend(advice::advice(laid, &plan.pieces, shop, (router, &leavings), steps));
    }
    plan
}

/// What the router leaves that is worth keeping, or that a piece may be sawn from and is large
/// enough to run along the fence.
fn leavings(pieces: &[CutPiece], shop: &Shop, router: &RouterPlan) -> RouterLeavings {
    let is_from = |blank: &Blank, stock: &str| {
        let row = blank.stock.and_then(|row| row.of(&shop.stock));
        row.is_some_and(|row| row.kind == StockKind::Sheet && row.name == stock)
    };
    let fits = |blank: &Blank, size: [i64; 2]| {
        let [a, b] = blank.size;
        let holds = |[a, b]: [i64; 2]| a <= size[0] && b <= size[1];
        holds([a, b]) || blank.turns && holds([b, a])
    };
    let blanks = || pieces.iter().filter_map(|piece| piece.blank.as_ref());
    let SawLimits { narrowest, shortest, .. } = SawLimits::new(shop);
    let held = |[a, b]: [i64; 2]| a.max(b) >= shortest && a.min(b) >= narrowest;
    let usable = |stock: &str, size: [i64; 2]| {
        is_kept(size, false, &shop.saw)
            || held(size) && blanks().any(|blank| is_from(blank, stock) && fits(blank, size))
    };
    RouterLeavings::new(shop, router, &usable)
}

/// What is used of each stock; `laid` with what each is short of.
fn uses(
    shop: &Shop,
    router: &RouterPlan,
    laid: &[LaidGroup<'_>],
    short: &[usize],
) -> Vec<StockUse> {
    let used = |row: &StockRow| {
        let own = laid.iter().zip(short).find(|(laid, _)| laid.group.row == row);
        StockUse::new(row, router, own.map(|(laid, short)| (laid, *short)))
    };
    let uses = shop.stock.iter().map(used);
    uses.filter(|uses| uses.used() + uses.short > 0).collect()
}

impl CuttingPlan {
    /// Every stock that something is sawn from; what is too large for it is told.
    fn groups<'s>(
        &mut self,
        shop: &'s Shop,
        router: &RouterPlan,
        leavings: &RouterLeavings,
    ) -> Vec<StockGroup<'s>> {
        let mut groups = Vec::new();
        for (index, row) in shop.stock.iter().enumerate() {
            let supply = Supply::new(shop, row, router, leavings);
            let group = StockGroup::new(&self.pieces, shop, RowIndex(index), supply, &|_| true);
            let Some(group) = group else { continue };
            self.missing.extend(&group.too_large);
            self.findings.extend(finding::too_large(&group, &self.pieces, shop));
            if !group.is_empty() {
                groups.push(group);
            }
        }
        groups
    }

    /// The order of work, and the same for panels that are laid for least waste alone.
    fn add_work(
        &mut self,
        laid: &[LaidGroup<'_>],
        shop: &Shop,
        leavings: &RouterLeavings,
        limits: &SawLimits,
    ) {
        let plain: Vec<_> = laid.iter().map(|laid| (&laid.group, &laid.plain)).collect();
        let chosen: Vec<_> = laid.iter().map(|laid| (&laid.group, &laid.panels)).collect();
        self.plain = SetupCount::of(&Work::new(&plain, limits, 1).setups);
        self.routed_trim = Some(shop.saw.edge_trim).filter(|trim| *trim > 0.0);
        self.partings = partings(leavings, &wanted(laid, &shop.saw, leavings));
        let work = Work::new(&chosen, limits, self.partings.len() + 1);
        self.count = SetupCount::of(&work.setups);
        self.sheets = sheet::sheets(laid, leavings, &work);
        self.strips = laid.iter().flat_map(|l| &l.group.strips).map(strip_pieces).collect();
        (self.blanks, self.setups) = (work.blanks, work.setups);
    }

    /// The verdict on a stock; how many more of it would make what is missing.
    fn add_verdict(&mut self, laid: &LaidGroup<'_>, shop: &Shop, steps: u64) -> usize {
        let missing = laid.missing();
        let short = laid.to_buy(steps);
        self.findings.extend(finding::short(&laid.group, &missing, short, &self.pieces, shop));
        self.verdicts.push(verdict::of(laid, missing.len()));
        self.missing.extend(missing);
        short
    }

    /// What there is to say of a stock that can't be laid out.
    fn add_unlaid(&mut self, group: &StockGroup<'_>, error: &OutOfRange) {
        self.findings.push(finding::not_laid_out(group, error));
        let blanks = group.members.iter().flatten();
        let missing: Vec<PieceIndex> = blanks.flat_map(|blank| group.pieces_of(*blank)).collect();
        self.verdicts.push(Verdict::unlaid(group.row, missing.len()));
        self.missing.extend(missing);
    }
}

/// Which of what the router leaves is sawn or kept.
fn wanted(laid: &[LaidGroup<'_>], saw: &SawRules, leavings: &RouterLeavings) -> Vec<bool> {
    let panels = laid.iter().flat_map(|laid| laid.panels.iter().map(move |panel| (laid, panel)));
    let sawn: Vec<usize> =
        panels.filter_map(|(laid, panel)| laid.group.supply.left(panel.stock)).collect();
    let all = leavings.left.iter().enumerate();
    all.map(|(at, left)| sawn.contains(&at) || is_kept(left.size(), false, saw)).collect()
}

fn strip_pieces(blank: &CleatBlank) -> Vec<Vec<PieceIndex>> {
    let pieces = |strip: &SawnStrip| strip.pieces.iter().map(|(_, piece)| *piece).collect();
    blank.strips().map(pieces).collect()
}
