//! The order of work: cuts one after another, so that each width is set on the fence once.

use std::collections::BTreeMap;

use super::Way;
use super::slab::{Fate, Slab};

/// What the saw can do and what it takes, in whole micrometres.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rules {
    pub kerf: i64,
    /// The narrowest strip that may run between fence and blade.
    pub narrowest: i64,
    /// The widest that fits between fence and blade.
    pub widest: Option<i64>,
    /// The longest crosscut.
    pub longest: Option<i64>,
}

/// What is set on the saw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fence {
    /// A hand-held saw along a straightedge: the table saw has no room for these cuts.
    Straightedge,
    /// Rip, so much wood between fence and blade.
    Rip(i64),
    /// Rip narrow strips of this width on the free side of the blade: the fence holds the rest and
    /// moves up after each.
    Narrow(i64),
    /// Crosscut to a stop at this length.
    Stop(i64),
    /// Rip with the blade tilted, this width left on the wide face; thousandths of a degree.
    Bevel { width: i64, angle: i64 },
}

/// The cuts made at one setting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    pub fence: Fence,
    pub cuts: Vec<Cut>,
}

/// One cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// Counted from 1 over the whole work.
    pub number: usize,
    /// Index of the sheet, board or dowel that the wood comes from.
    pub sheet: usize,
    /// What is sawn.
    pub from: Name,
    pub area: Area,
    pub way: Way,
    /// Width of what comes off; the kerf lies beyond it.
    pub at: i64,
    /// Which side of the blade runs along the fence or lies at the stop.
    pub held: Side,
    /// Whether what is held is narrower than hands should guide.
    pub push_stick: bool,
    pub gives: Body,
    /// What stays of the panel, if anything does.
    pub rest: Option<Body>,
}

/// The two sides of a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// What comes off.
    Slice,
    Rest,
}

/// Something in hand between two cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Body {
    pub name: Name,
    pub area: Area,
    pub what: What,
}

/// What a panel in hand is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Name {
    /// The sheet, or what stays of it.
    Sheet(usize),
    /// What this cut took off, or what stays of that.
    Cut(usize),
    /// The other half of what this bevel cut parted.
    Second(usize),
}

/// Where a panel lies on its sheet: its corner nearest the origin, and its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Area {
    pub at: [i64; 2],
    pub size: [i64; 2],
}

/// What something in hand is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A finished blank.
    Piece { item: usize, turned: bool },
    /// To be sawn further.
    More,
    /// Left over.
    Left,
}

/// How often the saw is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Count {
    /// Settings of the rip fence, the straightedge and the tilted blade.
    pub rips: usize,
    /// Settings of the stop.
    pub stops: usize,
}

impl Count {
    pub fn all(self) -> usize {
        self.rips + self.stops
    }
}

impl Setting {
    /// How often something is set for these cuts: for narrow strips the fence moves each time, and
    /// so does a straightedge.
    pub fn times(&self) -> usize {
        match self.fence {
            Fence::Straightedge | Fence::Narrow(_) => self.cuts.len(),
            Fence::Rip(_) | Fence::Stop(_) | Fence::Bevel { .. } => 1,
        }
    }
}

/// How often the saw is set for all of `settings`.
pub fn count(settings: &[Setting]) -> Count {
    let mut count = Count::default();
    for setting in settings {
        match setting.fence {
            Fence::Stop(_) => count.stops += 1,
            _ => count.rips += setting.times(),
        }
    }
    count
}

/// A panel to begin with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Root {
    pub sheet: usize,
    pub name: Name,
    pub at: [i64; 2],
    pub slab: Slab,
}

/// Puts the cuts of `roots` in order; the first is numbered `first`.
///
/// Of the ways to go about it (crosscuts that open up further rips before or after the rips at
/// hand) the one with fewest settings is taken. Each panel is there before it is sawn.
pub fn order(roots: &[Root], rules: &Rules, first: usize) -> Vec<Setting> {
    let ways = [true, false].map(|openers_first| {
        let mut bench = Bench::new(roots, rules, first, openers_first);
        while bench.step() {}
        bench.settings
    });
    let [a, b] = ways;
    if count(&b) < count(&a) { b } else { a }
}

/// A panel in hand with slices still to be taken off.
struct Open {
    sheet: usize,
    name: Name,
    area: Area,
    way: Way,
    slices: Vec<Slab>,
}

/// A cut that could be made now.
#[derive(Clone, Copy)]
struct Choice {
    fence: Fence,
    open: usize,
    slice: usize,
    held: Side,
    push_stick: bool,
    /// What is to be done first has a smaller rank.
    rank: u8,
}

struct Bench<'r> {
    rules: &'r Rules,
    openers_first: bool,
    open: Vec<Open>,
    /// How many slices of each way and width are still to be cut, those not yet in hand too.
    to_come: BTreeMap<(Way, i64), usize>,
    settings: Vec<Setting>,
    next: usize,
}

impl<'r> Bench<'r> {
    fn new(roots: &[Root], rules: &'r Rules, first: usize, openers_first: bool) -> Self {
        let mut bench = Self {
            rules,
            openers_first,
            open: Vec::new(),
            to_come: BTreeMap::new(),
            settings: Vec::new(),
            next: first,
        };
        for root in roots {
            bench.expect(&root.slab);
            let area = Area { at: root.at, size: root.slab.size };
            bench.take(root.sheet, root.name, area, &root.slab);
        }
        bench
    }

    fn expect(&mut self, slab: &Slab) {
        if let Fate::Sliced { way, slices } = &slab.fate {
            for slice in slices {
                *self.to_come.entry((*way, slice.size[way.axis()])).or_default() += 1;
                self.expect(slice);
            }
        }
    }

    /// Lays a panel aside for its cuts and says what it is.
    fn take(&mut self, sheet: usize, name: Name, area: Area, slab: &Slab) -> Body {
        let what = match &slab.fate {
            Fate::Piece { item, turned } => What::Piece { item: *item, turned: *turned },
            Fate::Left => What::Left,
            Fate::Sliced { way, slices } => {
                self.open.push(Open { sheet, name, area, way: *way, slices: slices.clone() });
                What::More
            }
        };
        Body { name, area, what }
    }

    /// Makes one more cut; `false` when all are made.
    fn step(&mut self) -> bool {
        let mut choices = self.choices(false);
        if choices.is_empty() {
            choices = self.choices(true);
        }
        let now = self.settings.last().map(|setting| setting.fence);
        let same = choices.iter().filter(|c| Some(c.fence) == now);
        // Long and heavy first.
        let heavy = |c: &&Choice| {
            self.open.get(c.open).map(|o| (o.area.size[0], o.area.size[1], usize::MAX - c.open))
        };
        let Some(choice) = same.max_by_key(heavy).copied().or_else(|| {
            let fence = self.next_fence(&choices)?;
            choices.iter().filter(|c| c.fence == fence).max_by_key(heavy).copied()
        }) else {
            return false;
        };
        self.cut(choice);
        true
    }

    /// The setting to go on with: what comes first by its rank, then one that is done with at a
    /// single visit, then the widest.
    fn next_fence(&self, choices: &[Choice]) -> Option<Fence> {
        let mut at_hand: BTreeMap<Fence, (u8, usize, usize, i64)> = BTreeMap::new();
        for choice in choices {
            let Some(open) = self.open.get(choice.open) else { continue };
            let Some(slice) = open.slices.get(choice.slice) else { continue };
            let width = slice.size[open.way.axis()];
            let to_come = self.to_come.get(&(open.way, width)).copied().unwrap_or_default();
            let same = open.slices.iter().filter(|s| s.size[open.way.axis()] == width).count();
            let entry = at_hand.entry(choice.fence).or_insert((choice.rank, 0, to_come, width));
            entry.0 = entry.0.min(choice.rank);
            entry.1 += same;
        }
        let rank = |(_, (rank, now, to_come, width)): &(&Fence, &(u8, usize, usize, i64))| {
            (*rank, now < to_come, -*width)
        };
        at_hand.iter().min_by_key(rank).map(|(fence, _)| *fence)
    }

    /// The cuts that could be made now, one for each width on each panel. `forced` when none is as
    /// it should be: then those too that are better put off.
    fn choices(&self, forced: bool) -> Vec<Choice> {
        let mut choices = Vec::new();
        for (i, open) in self.open.iter().enumerate() {
            let mut seen: Vec<i64> = Vec::new();
            for (j, slice) in open.slices.iter().enumerate() {
                let width = slice.size[open.way.axis()];
                if !seen.contains(&width) {
                    seen.push(width);
                    choices.extend(self.choice(i, j, open, width, forced));
                }
            }
        }
        choices
    }

    fn choice(
        &self,
        index: usize,
        slice: usize,
        open: &Open,
        width: i64,
        forced: bool,
    ) -> Option<Choice> {
        let (fence, held, push_stick) = match open.way {
            Way::Across => (self.crosscut(open, width), Side::Slice, false),
            Way::Along => self.rip(open, width, forced)?,
        };
        let opens = open.slices.iter().any(Slab::has_rips);
        let rank = match (fence, opens, self.openers_first) {
            (Fence::Straightedge, ..) => 0,
            (Fence::Stop(_), true, true) => 1,
            (Fence::Rip(_) | Fence::Bevel { .. }, ..) => 2,
            (Fence::Narrow(_), ..) => 3,
            (Fence::Stop(_), true, false) => 4,
            (Fence::Stop(_), false, _) => 5,
        };
        Some(Choice { fence, open: index, slice, held, push_stick, rank })
    }

    fn crosscut(&self, open: &Open, width: i64) -> Fence {
        let too_long = self.rules.longest.is_some_and(|longest| open.area.size[1] > longest);
        if too_long { Fence::Straightedge } else { Fence::Stop(width) }
    }

    /// How a slice of `width` is ripped off, if it may be now.
    fn rip(&self, open: &Open, width: i64, forced: bool) -> Option<(Fence, Side, bool)> {
        let Rules { kerf, narrowest, widest, .. } = *self.rules;
        let rest = open.area.size[1] - width - kerf;
        let fits = |held: i64| widest.is_none_or(|widest| held <= widest);
        if width >= narrowest {
            // Enough must stay for the fence to hold while narrow strips come off.
            let narrow = open.slices.iter().map(|s| s.size[1]).filter(|w| *w < narrowest);
            let narrow: i64 = narrow.map(|w| w + kerf).sum();
            if narrow > 0 && rest - narrow < narrowest && !forced {
                return None;
            }
            return Some(match (fits(width), fits(rest) && rest >= narrowest) {
                (true, _) => (Fence::Rip(width), Side::Slice, false),
                (false, true) => (Fence::Rip(rest), Side::Rest, false),
                (false, false) => (Fence::Straightedge, Side::Slice, false),
            });
        }
        if rest < narrowest {
            return Some((Fence::Rip(width), Side::Slice, true));
        }
        if fits(rest) {
            return Some((Fence::Narrow(width), Side::Rest, false));
        }
        forced.then_some((Fence::Straightedge, Side::Slice, false))
    }

    fn cut(&mut self, choice: Choice) {
        let number = self.next;
        self.next += 1;
        let Some(open) = self.open.get_mut(choice.open) else { return };
        if choice.slice >= open.slices.len() {
            return;
        }
        let slice = open.slices.remove(choice.slice);
        let (sheet, from, area, way) = (open.sheet, open.name, open.area, open.way);
        let axis = way.axis();
        let at = slice.size[axis];
        let comes_off = Area { at: area.at, size: slice.size };
        let mut left = area;
        left.at[axis] += at + self.rules.kerf;
        left.size[axis] -= at + self.rules.kerf;
        if let Some(count) = self.to_come.get_mut(&(way, at)) {
            *count = count.saturating_sub(1);
        }
        let rest = self.keep(choice.open, left, axis);
        let gives = self.take(sheet, Name::Cut(number), comes_off, &slice);
        let (held, push_stick) = (choice.held, choice.push_stick);
        let cut = Cut { number, sheet, from, area, way, at, held, push_stick, gives, rest };
        match self.settings.last_mut() {
            Some(setting) if setting.fence == choice.fence => setting.cuts.push(cut),
            _ => self.settings.push(Setting { fence: choice.fence, cuts: vec![cut] }),
        }
    }

    /// What stays of a panel after a cut: `left` is its area.
    fn keep(&mut self, index: usize, left: Area, axis: usize) -> Option<Body> {
        let open = self.open.get_mut(index)?;
        let is_last = matches!(open.slices.as_slice(), [only] if only.size == left.size);
        if !open.slices.is_empty() && !is_last {
            open.area = left;
            return Some(Body { name: open.name, area: left, what: What::More });
        }
        let done = self.open.remove(index);
        if let Some(last) = done.slices.first() {
            // It has come free by the cut on its other side.
            if let Some(count) = self.to_come.get_mut(&(done.way, last.size[axis])) {
                *count = count.saturating_sub(1);
            }
            return Some(self.take(done.sheet, done.name, left, last));
        }
        (left.size[axis] > 0).then_some(Body { name: done.name, area: left, what: What::Left })
    }
}
