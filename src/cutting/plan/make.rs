//! From holders and the shop to the whole plan.

use std::sync::Arc;

use super::super::index::{PieceIndex, RowIndex};
use super::super::layout::{LaidGroup, lay};
use super::super::least::{Budget, OutOfRange};
use super::super::stock::{CleatBlank, SawnStrip, StockGroup, Supply, pieces};
use super::super::work::{SawLimits, SetupCount};
use super::join::Work;
use super::verdict::Verdict;
use super::{CuttingPlan, advice, finding, kept, sheet, shopping, verdict};
use crate::holder::Holder;
use crate::router::RouterPlan;
use crate::shop::Shop;

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
    let groups = plan.groups(shop, router);
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
    plan.add_work(&laid, &limits);
    for laid in &laid {
        plan.add_verdict(laid, shop, share(&laid.group));
    }
    let (homeless, said) = finding::no_cleat_stock(&plan.pieces);
    plan.missing.extend(homeless);
    plan.missing.sort_unstable();
    plan.findings.extend(said);
    plan.left = kept::kept(&plan, shop, router);
    plan.findings.extend(finding::of_cuts(&plan.setups, shop));
    for laid in &laid {
        plan.findings.extend(advice::advice(laid, &plan.pieces, shop, router, share(&laid.group)));
    }
    plan
}

impl CuttingPlan {
    /// Every stock that something is sawn from; what is too large for it is told.
    fn groups<'s>(&mut self, shop: &'s Shop, router: &RouterPlan) -> Vec<StockGroup<'s>> {
        let mut groups = Vec::new();
        for (index, row) in shop.stock.iter().enumerate() {
            let supply = Supply::new(shop, row, router);
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
    fn add_work(&mut self, laid: &[LaidGroup<'_>], limits: &SawLimits) {
        let plain: Vec<_> = laid.iter().map(|laid| (&laid.group, &laid.plain)).collect();
        let chosen: Vec<_> = laid.iter().map(|laid| (&laid.group, &laid.panels)).collect();
        self.plain = SetupCount::of(&Work::new(&plain, limits).setups);
        let work = Work::new(&chosen, limits);
        self.count = SetupCount::of(&work.setups);
        self.sheets = sheet::sheets(laid, &work);
        self.strips = laid.iter().flat_map(|l| &l.group.strips).map(strip_pieces).collect();
        (self.blanks, self.setups) = (work.blanks, work.setups);
    }

    fn add_verdict(&mut self, laid: &LaidGroup<'_>, shop: &Shop, steps: u64) {
        let missing = laid.missing();
        let short = laid.to_buy(steps);
        self.findings.extend(finding::short(&laid.group, &missing, short, &self.pieces, shop));
        self.verdicts.push(verdict::of(laid, missing.len()));
        self.missing.extend(missing);
        self.shopping.extend(shopping::buy(laid, short));
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

fn strip_pieces(blank: &CleatBlank) -> Vec<Vec<PieceIndex>> {
    let pieces = |strip: &SawnStrip| strip.pieces.iter().map(|(_, piece)| *piece).collect();
    blank.strips().map(pieces).collect()
}
