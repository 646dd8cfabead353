//! The order of work: cuts one after another, so that each width is set on the fence once.

use std::collections::BTreeMap;

use super::super::index::SheetIndex;
use super::super::least::CutWay;
use super::care::care;
use super::cut::{Area, Content, Cut, CutSide, Fence, Setup, SetupCount, WorkName, Workpiece};
use super::limits::SawLimits;
use super::slab::{Fate, Slab};

/// A panel to begin with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Root<B> {
    pub sheet: SheetIndex,
    pub name: WorkName,
    pub at: [i64; 2],
    pub slab: Slab<B>,
}

/// Puts the cuts of `roots` in order; the first is numbered `first`.
///
/// Of the ways to go about it (see [`DispatchRule`]) the one with fewest setups is taken. Each panel
/// is there before it is sawn.
pub(crate) fn order<B: Copy>(roots: &[Root<B>], limits: &SawLimits, first: usize) -> Vec<Setup<B>> {
    let tried = DispatchRule::ALL.map(|rule| {
        let mut sequencer = Sequencer::new(roots, limits, first, rule);
        while sequencer.step() {}
        sequencer.setups
    });
    tried.into_iter().min_by_key(|setups| SetupCount::of(setups)).unwrap_or_default()
}

/// When crosscuts that open up further rips are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DispatchRule {
    /// Before the rips at hand.
    OpenersFirst,
    /// After them.
    OpenersLast,
    /// Whichever of both needs to be set but once comes first.
    OnceFirst,
}

impl DispatchRule {
    const ALL: [Self; 3] = [Self::OpenersFirst, Self::OpenersLast, Self::OnceFirst];

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

/// A panel in hand with slices still to be taken off.
struct OpenPanel<'r, B> {
    sheet: SheetIndex,
    name: WorkName,
    area: Area,
    way: CutWay,
    slices: Vec<&'r Slab<B>>,
    /// The cuts that could be made on it, as it is now.
    choices: Vec<NextCut>,
}

/// A cut that could be made now.
#[derive(Clone, Copy)]
struct NextCut {
    fence: Fence,
    slice: usize,
    /// How many slices are as wide.
    same: usize,
    width: i64,
    held: CutSide,
    push_stick: bool,
    /// Whether the panel holds rips that this cut comes before.
    opens: bool,
}

struct Sequencer<'r, B> {
    limits: &'r SawLimits,
    rule: DispatchRule,
    open: Vec<OpenPanel<'r, B>>,
    /// How many slices of each way and width are still to be cut, those not yet in hand too.
    to_come: BTreeMap<(CutWay, i64), usize>,
    setups: Vec<Setup<B>>,
    next: usize,
}

impl<'r, B: Copy> Sequencer<'r, B> {
    fn new(roots: &'r [Root<B>], limits: &'r SawLimits, first: usize, rule: DispatchRule) -> Self {
        let mut sequencer = Self {
            limits,
            rule,
            open: Vec::new(),
            to_come: BTreeMap::new(),
            setups: Vec::new(),
            next: first,
        };
        for root in roots {
            sequencer.expect(&root.slab);
            let area = Area { at: root.at, size: root.slab.size };
            sequencer.take(root.sheet, root.name, area, &root.slab);
        }
        sequencer
    }

    fn expect(&mut self, slab: &'r Slab<B>) {
        if let Fate::Sliced { way, slices } = &slab.fate {
            for slice in slices {
                *self.to_come.entry((*way, slice.size[way.axis()])).or_default() += 1;
                self.expect(slice);
            }
        }
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
                let (way, slices) = (*way, slices.iter().collect());
                let mut open = OpenPanel { sheet, name, area, way, slices, choices: Vec::new() };
                open.look(self.limits, false);
                self.open.push(open);
                Content::Panel
            }
        };
        Workpiece { name, area, content }
    }

    /// Makes one more cut; `false` when all are made.
    fn step(&mut self) -> bool {
        if self.open.iter().all(|open| open.choices.is_empty()) {
            // Then those too that are better put off.
            for open in &mut self.open {
                open.look(self.limits, true);
            }
        }
        let now = self.setups.last().map(|setup| setup.fence);
        let Some((open, choice)) = now
            .and_then(|fence| self.heaviest(fence))
            .or_else(|| self.heaviest(self.next_fence()?))
        else {
            return false;
        };
        self.cut(open, choice);
        true
    }

    fn choices(&self) -> impl Iterator<Item = (usize, &OpenPanel<'r, B>, &NextCut)> {
        let all = self.open.iter().enumerate();
        all.flat_map(|(i, open)| open.choices.iter().map(move |choice| (i, open, choice)))
    }

    /// At one setup, long and heavy first.
    fn heaviest(&self, fence: Fence) -> Option<(usize, NextCut)> {
        let there = self.choices().filter(|(.., choice)| choice.fence == fence);
        let heavy = |(i, open, _): &(usize, &OpenPanel<'_, B>, &NextCut)| {
            (open.area.size[0], open.area.size[1], usize::MAX - i)
        };
        there.max_by_key(heavy).map(|(i, _, choice)| (i, *choice))
    }

    /// The setup to go on with: what comes first by its rank, then one that is done with at a
    /// single visit, then the widest.
    fn next_fence(&self) -> Option<Fence> {
        let mut at_hand: BTreeMap<Fence, (bool, usize, usize, i64)> = BTreeMap::new();
        for (_, open, choice) in self.choices() {
            let width = choice.width;
            let to_come = self.to_come.get(&(open.way, width)).copied().unwrap_or_default();
            let entry = at_hand.entry(choice.fence).or_insert((false, 0, to_come, width));
            entry.0 |= choice.opens;
            entry.1 += choice.same;
        }
        let rank =
            |(fence, (opens, now, to_come, width)): &(&Fence, &(bool, usize, usize, i64))| {
                let again = now < to_come;
                (self.rule.rank(**fence, *opens, again), again, -*width)
            };
        at_hand.iter().min_by_key(rank).map(|(fence, _)| *fence)
    }

    fn cut(&mut self, index: usize, choice: NextCut) {
        let number = self.next;
        self.next += 1;
        let Some(open) = self.open.get_mut(index) else { return };
        if choice.slice >= open.slices.len() {
            return;
        }
        let slice = open.slices.remove(choice.slice);
        let (sheet, from, area, way) = (open.sheet, open.name, open.area, open.way);
        let axis = way.axis();
        let at = slice.size[axis];
        let comes_off = Area { at: area.at, size: slice.size };
        let mut left = area;
        left.at[axis] += at + self.limits.kerf;
        left.size[axis] -= at + self.limits.kerf;
        if let Some(count) = self.to_come.get_mut(&(way, at)) {
            *count = count.saturating_sub(1);
        }
        let rest = self.keep(index, left, axis);
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
    fn keep(&mut self, index: usize, left: Area, axis: usize) -> Option<Workpiece<B>> {
        let open = self.open.get_mut(index)?;
        let is_last = matches!(open.slices.as_slice(), [only] if only.size == left.size);
        if !open.slices.is_empty() && !is_last {
            open.area = left;
            open.look(self.limits, false);
            return Some(Workpiece { name: open.name, area: left, content: Content::Panel });
        }
        let done = self.open.remove(index);
        if let Some(last) = done.slices.first() {
            // It has come free by the cut on its other side.
            if let Some(count) = self.to_come.get_mut(&(done.way, last.size[axis])) {
                *count = count.saturating_sub(1);
            }
            return Some(self.take(done.sheet, done.name, left, last));
        }
        (left.size[axis] > 0).then_some(Workpiece {
            name: done.name,
            area: left,
            content: Content::Remainder,
        })
    }
}

impl<B> OpenPanel<'_, B> {
    /// Finds the cuts that could be made now, one for each width. `forced` when none is as it
    /// should be: then those too that are better put off.
    fn look(&mut self, limits: &SawLimits, forced: bool) {
        let opens = self.slices.iter().any(|slice| slice.has_rips(limits));
        let mut choices: Vec<NextCut> = Vec::new();
        for (i, slice) in self.slices.iter().enumerate() {
            let width = slice.size[self.way.axis()];
            if let Some(choice) = choices.iter_mut().find(|choice| choice.width == width) {
                choice.same += 1;
                continue;
            }
            let how = match self.way {
                CutWay::Along if limits.may_rip(self.area.size) => self.rip(limits, width, forced),
                _ => Some((self.crosscut(limits, width), CutSide::Slice, false)),
            };
            let Some((fence, held, push_stick)) = how else { continue };
            choices.push(NextCut { fence, slice: i, same: 1, width, held, push_stick, opens });
        }
        self.choices = choices;
    }

    /// Held by the miter gauge.
    fn crosscut(&self, limits: &SawLimits, width: i64) -> Fence {
        let long = limits.is_too_long(self.area.size[1 - self.way.axis()]);
        if long { Fence::Straightedge } else { Fence::Stop(width) }
    }

    /// How a slice of `width` is ripped off, if it may be now.
    fn rip(&self, limits: &SawLimits, width: i64, forced: bool) -> Option<(Fence, CutSide, bool)> {
        let SawLimits { kerf, narrowest, widest, .. } = *limits;
        let rest = self.area.size[1] - width - kerf;
        let fits = |held: i64| widest.is_none_or(|widest| held <= widest);
        if width >= narrowest {
            // Enough must stay for the fence to hold while narrow strips come off.
            let narrow = self.slices.iter().map(|s| s.size[1]).filter(|w| *w < narrowest);
            let narrow: i64 = narrow.map(|w| w + kerf).sum();
            if narrow > 0 && rest - narrow < narrowest && !forced {
                return None;
            }
            return Some(match (fits(width), fits(rest) && rest >= narrowest) {
                (true, _) => (Fence::Rip(width), CutSide::Slice, false),
                (false, true) => (Fence::Rip(rest), CutSide::Rest, false),
                (false, false) => (Fence::Straightedge, CutSide::Slice, false),
            });
        }
        if rest < narrowest {
            return Some((Fence::Rip(width), CutSide::Slice, true));
        }
        if fits(rest) {
            return Some((Fence::Narrow(width), CutSide::Rest, false));
        }
        forced.then_some((Fence::Straightedge, CutSide::Slice, false))
    }
}
