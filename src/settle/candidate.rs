//! A holder as its files would make it, looked at as a whole.

use super::change::Change;
use super::worth::Worth;
use crate::carry::{Checked, check, close_calls, load_findings};
use crate::holder::{Finding, Holder, Level, Part, build, cut_parts};
use crate::length::Units;
use crate::motion::{soon_hanging, soon_told};
use crate::reading::Problems;
use crate::shop::Shop;
use crate::style::HolderFile;
use crate::tool::tool_room;

/// As many stops as count for what is not looked at where a holder can't be made, its loads, its way on the wall, its
/// tools: more than those that can be made ever have.
const UNMADE: usize = 1_000;

/// A holder that comes into question.
#[derive(Debug, Clone)]
pub(super) struct Candidate {
    pub holder: Holder,
    /// What it carries; nothing where it can't be made.
    pub checked: Checked,
    /// What that finds, no advice with it.
    pub loads: Vec<Finding>,
    /// Screws that stand where wood may split or break out.
    pub close: Vec<Finding>,
    /// What keeps it from being hooked on from the front, and its tools from coming to their places and staying there.
    pub hung: Vec<Finding>,
}

impl Candidate {
    pub(super) fn of(file: &HolderFile, shop: &Shop) -> Result<Self, Problems> {
        let bare = Self::bare(file, shop)?;
        let hanging = bare.clone();
        let (carrying, hanging) =
            rayon::join(|| bare.carrying_in(shop), || hanging.hanging_in(shop));
        Ok(Self { hung: hanging.hung, ..carrying })
    }

    /// The same without a look at how it comes on its cleat and its tools on it, which takes longest.
    pub(super) fn carrying(file: &HolderFile, shop: &Shop) -> Result<Self, Problems> {
        Ok(Self::bare(file, shop)?.carrying_in(shop))
    }

    /// The same as it is built, with no look at what it carries either.
    fn bare(file: &HolderFile, shop: &Shop) -> Result<Self, Problems> {
        Ok(Self::unlooked(build(file, shop)?))
    }

    fn unlooked(holder: Holder) -> Self {
        let (loads, close, hung) = (Vec::new(), Vec::new(), Vec::new());
        Self { holder, checked: Checked::default(), loads, close, hung }
    }

    fn carrying_in(self, shop: &Shop) -> Self {
        let holder = &self.holder;
        if !can_be_made(holder) {
            return self;
        }
        let checked = check(holder, shop);
        let loads = load_findings(holder, &checked.checks, &checked.failed, "", "");
        let close = close_calls(holder, shop);
        Self { checked, loads, close, ..self }
    }

    fn hanging_in(self, shop: &Shop) -> Self {
        let holder = &self.holder;
        if !can_be_made(holder) {
            return self;
        }
        let hanging = soon_hanging(holder, shop);
        let mut hung: Vec<Finding> =
            hanging.iter().filter_map(|on| soon_told(holder, shop, on)).collect();
        let room = tool_room(holder, shop, hanging.as_ref());
        hung.extend(room.into_iter().flat_map(|room| room.findings));
        Self { hung, ..self }
    }

    /// As if it were looked at no further than is `wanted` for what is found till then: its loads, then how it hangs.
    pub(super) fn no_further(self, wanted: [&dyn Fn(&Self) -> bool; 2]) -> Self {
        let Self { holder, checked, loads, close, hung } = self;
        let bare = Self::unlooked(holder);
        if !wanted[0](&bare) {
            return bare;
        }
        let carrying = Self { checked, loads, close, ..bare };
        if wanted[1](&carrying) { Self { hung, ..carrying } } else { carrying }
    }

    /// What it finds, of all kinds.
    pub(super) fn findings(&self) -> impl Iterator<Item = &Finding> + Clone {
        let found = self.holder.findings.iter();
        found.chain(&self.loads).chain(&self.close).chain(&self.hung)
    }

    /// What it is worth with so many choices moved so far.
    pub(super) fn worth(&self, moved_and_far: [usize; 2]) -> Worth {
        let worth = Worth::of(&self.holder, &self.findings(), moved_and_far);
        let unmade = if can_be_made(&self.holder) { 0 } else { UNMADE };
        Worth { stops: worth.stops + unmade, ..worth }
    }
}

fn can_be_made(holder: &Holder) -> bool {
    !holder.findings.iter().any(|finding| finding.level == Level::Stop)
}

/// The files of a holder, from which candidates are made.
#[derive(Clone, Copy)]
pub(super) struct Files<'f> {
    pub file: &'f HolderFile,
    pub shop: &'f Shop,
}

impl Files<'_> {
    /// What figures of the holder are written in.
    pub(super) fn units(&self) -> Units {
        self.file.units.unwrap_or(self.shop.units)
    }

    /// The files with `changes`.
    pub(super) fn with<'c>(
        &self,
        changes: impl IntoIterator<Item = &'c Change>,
    ) -> (HolderFile, Shop) {
        let (mut file, mut shop) = (self.file.clone(), self.shop.clone());
        for change in changes {
            file = change.in_file(file, self.units());
            change.in_shop(&mut shop);
        }
        (file, shop)
    }

    /// The holder with `changes`; `None` where a change does not go with the style's formulas.
    pub(super) fn tried<'c>(
        &self,
        changes: impl IntoIterator<Item = &'c Change>,
    ) -> Option<Candidate> {
        self.tried_where(changes, [&|_| true, &|_| true])
    }

    /// The same, with a look at what it carries, and then at how it and its tools come to their places, only where it is
    /// `wanted` for what is found till then.
    pub(super) fn tried_where<'c>(
        &self,
        changes: impl IntoIterator<Item = &'c Change>,
        wanted: [&dyn Fn(&Candidate) -> bool; 2],
    ) -> Option<Candidate> {
        let (file, shop) = self.with(changes);
        let looks = [Candidate::carrying_in, Candidate::hanging_in];
        let mut candidate = Candidate::bare(&file, &shop).ok()?;
        for (look, wanted) in looks.into_iter().zip(wanted) {
            if !wanted(&candidate) {
                break;
            }
            candidate = look(candidate, &shop);
        }
        Some(candidate)
    }

    /// The parts of the holder with `changes` as they are cut, and nothing looked at; `None` where they can't be built.
    pub(super) fn cut<'c>(
        &self,
        changes: impl IntoIterator<Item = &'c Change>,
    ) -> Option<Vec<Part>> {
        let (file, shop) = self.with(changes);
        cut_parts(&file, &shop).ok()
    }
}
