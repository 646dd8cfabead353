//! The order of work: cuts one after another, so that each width is set on the fence once.

use std::borrow::Borrow;

use super::super::index::SheetIndex;
use super::at_hand::{AtHand, NextCut};
use super::care::care;
use super::cut::{Area, Content, Cut, Fence, Setup, SetupCount, WorkName, Workpiece};
use super::in_hand::OpenPanel;
use super::limits::SawLimits;
use super::slab::{Fate, Slab};
use super::to_come::ToCome;

/// A panel to begin with, and what becomes of it: a [`Slab`], or one that is lent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Root<S> {
    pub sheet: SheetIndex,
    pub name: WorkName,
    pub at: [i64; 2],
    pub slab: S,
}

/// Puts the cuts of `roots` in order; the first is numbered `first`. Of the ways to go about it the one with fewest
/// setups is taken. Each panel is there before it is sawn.
pub(crate) fn order<B: Copy, S: Borrow<Slab<B>>>(
    roots: &[Root<S>],
    limits: &SawLimits,
    first: usize,
) -> Vec<Setup<B>> {
    let tried = DispatchRule::ALL.map(|rule| order_by(rule, roots, limits, first));
    tried.into_iter().min_by_key(|setups| SetupCount::of(setups)).unwrap_or_default()
}

/// The same in one of the ways to go about it.
pub(crate) fn order_by<B: Copy, S: Borrow<Slab<B>>>(
    rule: DispatchRule,
    roots: &[Root<S>],
    limits: &SawLimits,
    first: usize,
) -> Vec<Setup<B>> {
    let to_come = ToCome::of(roots.iter().map(|root| root.slab.borrow()));
    let mut sequencer = Sequencer::new(to_come, limits, first, rule);
    for root in roots {
        let slab = root.slab.borrow();
        let area = Area { at: root.at, size: slab.size };
        sequencer.take(root.sheet, root.name, area, slab);
    }
    while sequencer.step() {}
    sequencer.setups
}

/// When crosscuts that open up further rips are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum DispatchRule {
    /// Before the rips at hand.
    OpenersFirst,
    /// After them.
    OpenersLast,
    /// Whichever of both needs to be set but once comes first.
    OnceFirst,
}

impl DispatchRule {
    pub(crate) const ALL: [Self; 3] = [Self::OpenersFirst, Self::OpenersLast, Self::OnceFirst];

    /// What is to be done first has a smaller rank: `opens` that the cut comes before rips, `again`
    /// that what is set for it must be set once more later.
    fn rank(self, fence: Fence, opens: bool, again: bool) -> u8 {
        match (fence, self) {
            (Fence::Straightedge, _) => 0,
            (Fence::Stop(_), _) if !opens => 4,
            (Fence::Stop(_), Self::OpenersFirst) => 1,
            (Fence::Stop(_), Self::OpenersLast) => 3,
            (_, Self::OnceFirst) if again => 3,
            _ => 2,
        }
    }
}

struct Sequencer<'r, B> {
    limits: &'r SawLimits,
    rule: DispatchRule,
    /// As they came to hand; `None` once they are sawn.
    open: Vec<Option<OpenPanel<'r, B>>>,
    at_hand: AtHand,
    /// Slices still to be cut, those not yet in hand too.
    to_come: ToCome,
    setups: Vec<Setup<B>>,
    next: usize,
}

impl<'r, B: Copy> Sequencer<'r, B> {
    fn new(to_come: ToCome, limits: &'r SawLimits, first: usize, rule: DispatchRule) -> Self {
        let (open, at_hand, setups) = (Vec::new(), AtHand::default(), Vec::new());
        Self { limits, rule, open, at_hand, to_come, setups, next: first }
    }

    /// Lays a panel aside for its cuts and says what it is.
    fn take(
        &mut self,
        sheet: SheetIndex,
        name: WorkName,
        area: Area,
        slab: &'r Slab<B>,
    ) -> Workpiece<B> {
        let content = match &slab.fate {
            Fate::Blank { blank, turned } => Content::Blank { blank: *blank, turned: *turned },
            Fate::Remainder => Content::Remainder,
            Fate::Sliced { way, slices } => {
                let number = self.open.len();
                let panel =
                    OpenPanel::new(number, (sheet, name, area), (*way, slices), self.limits);
                panel.look(self.limits, false, &mut self.at_hand);
                self.open.push(Some(panel));
                Content::Panel
            }
        };
        Workpiece { name, area, content }
    }

    /// Makes one more cut; `false` when all are made.
    fn step(&mut self) -> bool {
        if self.at_hand.is_empty() {
            // Then those too that are better put off.
            for open in self.open.iter().flatten() {
                open.look(self.limits, true, &mut self.at_hand);
            }
        }
        let now = self.setups.last().map(|setup| setup.fence);
        let again = now.and_then(|fence| self.at_hand.heaviest(fence));
        let Some(choice) = again.or_else(|| self.at_hand.heaviest(self.next_fence()?)) else {
            return false;
        };
        self.cut(choice);
        true
    }

    /// The setup to go on with: what comes first by its rank, then one that is done with at a
    /// single visit, then the widest.
    fn next_fence(&self) -> Option<Fence> {
        let rank = |cuts: &[NextCut]| {
            let first = cuts.first()?;
            let opens = cuts.iter().any(|cut| cut.opens);
            let now: usize = cuts.iter().map(|cut| cut.same).sum();
            let again = now < self.to_come.count(first.way, first.width);
            let rank = self.rule.rank(first.fence, opens, again);
            Some(((rank, again, -first.width), first.fence))
        };
        let ranked = self.at_hand.by_fence().filter_map(rank);
        ranked.min_by_key(|(rank, _)| *rank).map(|(_, fence)| fence)
    }

    fn cut(&mut self, choice: NextCut) {
        let number = self.next;
        self.next += 1;
        self.at_hand.clear(choice.panel);
        let Some(mut open) = self.open.get_mut(choice.panel).and_then(Option::take) else { return };
        let Some(slice) = open.take(choice.slice) else { return };
        let (sheet, from, area, way) = (open.sheet, open.name, open.area, open.way);
        let axis = way.axis();
        let at = slice.size[axis];
        let comes_off = Area { at: area.at, size: slice.size };
        let mut left = area;
        left.at[axis] += at + self.limits.kerf;
        left.size[axis] -= at + self.limits.kerf;
        self.to_come.one_less(way, at);
        let rest = self.keep(open, left);
        let gives = self.take(sheet, WorkName::Cut(number), comes_off, slice);
        let (held, push_stick) = (choice.held, choice.push_stick);
        let mut cut =
            Cut { number, sheet, from, area, way, at, held, push_stick, care: None, gives, rest };
        cut.care = care(choice.fence, &cut, self.limits);
        match self.setups.last_mut() {
            Some(setup) if setup.fence == choice.fence => setup.cuts.push(cut),
            _ => self.setups.push(Setup { fence: choice.fence, cuts: vec![cut] }),
        }
    }

    /// What stays of a panel after a cut: `left` is its area.
    fn keep(&mut self, mut open: OpenPanel<'r, B>, left: Area) -> Option<Workpiece<B>> {
        let (sheet, name, way) = (open.sheet, open.name, open.way);
        if let Some(last) = open.last_of(left.size) {
            // It has come free by the cut on its other side.
            self.to_come.one_less(way, last.size[way.axis()]);
            return Some(self.take(sheet, name, left, last));
        }
        if !open.is_sawn() {
            open.area = left;
            open.look(self.limits, false, &mut self.at_hand);
            let number = open.number;
            self.open[number] = Some(open);
            return Some(Workpiece { name, area: left, content: Content::Panel });
        }
        let is_left = left.size[way.axis()] > 0;
        is_left.then_some(Workpiece { name, area: left, content: Content::Remainder })
    }
}
