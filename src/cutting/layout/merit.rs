//! What makes one plan better than another.

use std::cmp::Reverse;

use super::super::least::PanelProblem;
use super::super::work::{
    Content, DispatchRule, Precaution, SawLimits, Setup, SetupCount, order, order_by,
};
use super::kept::is_kept;
use super::panels::{Panels, cost, roots, unmet};
use crate::shop::SawRules;

/// What counts, the first most; less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Merit {
    /// Area that no stock is left for.
    pub missing: i128,
    /// Of new stock.
    pub cost: i64,
    /// Cuts with less between fence and blade than hands should guide, or hardly anything for the
    /// miter gauge to hold.
    pub narrow: usize,
    pub setups: SetupCount,
    /// Offcuts worth keeping, by the sum of the squares of their areas: one large one counts for
    /// more than several small ones.
    pub kept: Reverse<i128>,
    /// Length sawn, in micrometers.
    pub sawn: i64,
}

impl Merit {
    /// That of panels of which only the missing area is known: no better than any with as little.
    pub(super) fn unknown(missing: i128) -> Self {
        Self {
            missing,
            cost: i64::MAX,
            narrow: usize::MAX,
            setups: SetupCount::default(),
            kept: Reverse(0),
            sawn: i64::MAX,
        }
    }
}

/// What panels of one stock are judged by.
pub(super) struct Judge<'j> {
    pub problem: &'j PanelProblem,
    pub limits: &'j SawLimits,
    pub saw: &'j SawRules,
    pub is_dowel: bool,
}

impl Judge<'_> {
    /// How good `panels` are, sawn in the best order.
    pub(super) fn merit(&self, panels: &Panels) -> Merit {
        self.sawn(panels, &order(&roots(panels), self.limits, 1))
    }

    /// How good `panels` are, sawn in the order of a rule: at most as good as in the best.
    pub(super) fn merit_by(&self, rule: DispatchRule, panels: &Panels) -> Merit {
        self.sawn(panels, &order_by(rule, &roots(panels), self.limits, 1))
    }

    fn sawn<B>(&self, panels: &Panels, setups: &[Setup<B>]) -> Merit {
        let cuts = || setups.iter().flat_map(|setup| &setup.cuts);
        Merit {
            missing: self.missing(panels),
            cost: cost(self.problem, panels),
            narrow: cuts()
                .filter(|cut| cut.push_stick || cut.care == Some(Precaution::Backing))
                .count(),
            setups: SetupCount::of(setups),
            kept: Reverse(self.kept(setups)),
            sawn: cuts().map(|cut| cut.area.size[1 - cut.way.axis()]).sum(),
        }
    }

    /// Squares of the areas worth keeping, each area in square mm so that they do not run out of
    /// figures.
    fn kept<B>(&self, setups: &[Setup<B>]) -> i128 {
        let rests = setups.iter().flat_map(|setup| &setup.cuts).filter_map(|cut| cut.rest.as_ref());
        let left = rests.filter(|rest| matches!(rest.content, Content::Remainder));
        let sizes = left.map(|rest| rest.area.size);
        let kept = sizes.filter(|size| is_kept(*size, self.is_dowel, self.saw));
        kept.map(|[a, b]| (i128::from(a) * i128::from(b) / 1_000_000).pow(2)).sum()
    }

    /// The area that `panels` have no room for.
    pub(super) fn missing(&self, panels: &Panels) -> i128 {
        let unmet = unmet(self.problem, panels);
        let areas = self.problem.items.iter().zip(unmet).map(|(item, unmet)| {
            i128::from(item.size[0]) * i128::from(item.size[1]) * unmet as i128
        });
        areas.sum()
    }
}
