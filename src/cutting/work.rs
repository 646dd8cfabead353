//! The order of work: cuts one after another, so that each width is set on the fence once.

use std::cmp::Ordering;
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
    /// A panel shorter than this along the cut is not run along the fence: the mitre gauge holds it.
    pub shortest: i64,
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
    /// Crosscut to a stop at this length, the wood held by the mitre gauge.
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
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

/// Fewer settings in all are better; of as many, fewer of the fence.
impl Ord for Count {
    fn cmp(&self, other: &Self) -> Ordering {
        (self.all(), self.rips).cmp(&(other.all(), other.rips))
    }
}

impl PartialOrd for Count {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Cut {
    /// Width of what stays, 0 where nothing does.
    pub fn rest_width(&self) -> i64 {
        self.rest.map_or(0, |rest| rest.area.size[self.way.axis()])
    }
}

impl Setting {
    /// How often something is set for these cuts: for narrow strips the fence moves to what stays
    /// of each panel, and a straightedge is laid on for each cut.
    pub fn times(&self) -> usize {
        match self.fence {
            Fence::Straightedge => self.cuts.len(),
            Fence::Narrow(_) => {
                let mut rests: Vec<i64> = self.cuts.iter().map(Cut::rest_width).collect();
                rests.sort_unstable();
                rests.dedup();
                rests.len()
            }
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
/// Of the ways to go about it (see [`Habit`]) the one with fewest settings is taken. Each panel is there before it is sawn.
pub fn order(roots: &[Root], rules: &Rules, first: usize) -> Vec<Setting> {
    let tried = Habit::ALL.map(|habit| {
        let mut bench = Bench::new(roots, rules, first, habit);
        while bench.step() {}
        bench.settings
    });
    tried.into_iter().min_by_key(|settings| count(settings)).unwrap_or_default()
}

/// When crosscuts that open up further rips are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Habit {
    /// Before the rips at hand.
    OpenersFirst,
    /// After them.
    OpenersLast,
    /// Whichever of both needs to be set but once comes first.
    OnceFirst,
}

impl Habit {
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
struct Open<'r> {
    sheet: usize,
    name: Name,
    area: Area,
    way: Way,
    slices: Vec<&'r Slab>,
    /// The cuts that could be made on it, as it is now.
    choices: Vec<Choice>,
}

/// A cut that could be made now.
#[derive(Clone, Copy)]
struct Choice {
    fence: Fence,
    slice: usize,
    /// How many slices are as wide.
    same: usize,
    width: i64,
    held: Side,
    push_stick: bool,
    /// Whether the panel holds rips that this cut comes before.
    opens: bool,
}

struct Bench<'r> {
    rules: &'r Rules,
    habit: Habit,
    open: Vec<Open<'r>>,
    /// How many slices of each way and width are still to be cut, those not yet in hand too.
    to_come: BTreeMap<(Way, i64), usize>,
    settings: Vec<Setting>,
    next: usize,
}

impl<'r> Bench<'r> {
    fn new(roots: &'r [Root], rules: &'r Rules, first: usize, habit: Habit) -> Self {
        let mut bench = Self {
            rules,
            habit,
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

    fn expect(&mut self, slab: &'r Slab) {
        if let Fate::Sliced { way, slices } = &slab.fate {
            for slice in slices {
                *self.to_come.entry((*way, slice.size[way.axis()])).or_default() += 1;
                self.expect(slice);
            }
        }
    }

    /// Lays a panel aside for its cuts and says what it is.
    fn take(&mut self, sheet: usize, name: Name, area: Area, slab: &'r Slab) -> Body {
        let what = match &slab.fate {
            Fate::Piece { item, turned } => What::Piece { item: *item, turned: *turned },
            Fate::Left => What::Left,
            Fate::Sliced { way, slices } => {
                let (way, slices) = (*way, slices.iter().collect());
                let mut open = Open { sheet, name, area, way, slices, choices: Vec::new() };
                open.look(self.rules, false);
                self.open.push(open);
                What::More
            }
        };
        Body { name, area, what }
    }

    /// Makes one more cut; `false` when all are made.
    fn step(&mut self) -> bool {
        if self.open.iter().all(|open| open.choices.is_empty()) {
            // Then those too that are better put off.
            for open in &mut self.open {
                open.look(self.rules, true);
            }
        }
        let now = self.settings.last().map(|setting| setting.fence);
        let Some((open, choice)) = now
            .and_then(|fence| self.heaviest(fence))
            .or_else(|| self.heaviest(self.next_fence()?))
        else {
            return false;
        };
        self.cut(open, choice);
        true
    }

    fn choices(&self) -> impl Iterator<Item = (usize, &Open<'r>, &Choice)> {
        let all = self.open.iter().enumerate();
        all.flat_map(|(i, open)| open.choices.iter().map(move |choice| (i, open, choice)))
    }

    /// At one setting, long and heavy first.
    fn heaviest(&self, fence: Fence) -> Option<(usize, Choice)> {
        let there = self.choices().filter(|(.., choice)| choice.fence == fence);
        let heavy = |(i, open, _): &(usize, &Open<'_>, &Choice)| {
            (open.area.size[0], open.area.size[1], usize::MAX - i)
        };
        there.max_by_key(heavy).map(|(i, _, choice)| (i, *choice))
    }

    /// The setting to go on with: what comes first by its rank, then one that is done with at a
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
                (self.habit.rank(**fence, *opens, again), again, -*width)
            };
        at_hand.iter().min_by_key(rank).map(|(fence, _)| *fence)
    }

    fn cut(&mut self, index: usize, choice: Choice) {
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
        left.at[axis] += at + self.rules.kerf;
        left.size[axis] -= at + self.rules.kerf;
        if let Some(count) = self.to_come.get_mut(&(way, at)) {
            *count = count.saturating_sub(1);
        }
        let rest = self.keep(index, left, axis);
        let gives = self.take(sheet, Name::Cut(number), comes_off, slice);
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
            open.look(self.rules, false);
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

impl Open<'_> {
    /// Finds the cuts that could be made now, one for each width. `forced` when none is as it
    /// should be: then those too that are better put off.
    fn look(&mut self, rules: &Rules, forced: bool) {
        let opens = self.slices.iter().any(|slice| slice.has_rips(rules.shortest));
        let mut choices: Vec<Choice> = Vec::new();
        for (i, slice) in self.slices.iter().enumerate() {
            let width = slice.size[self.way.axis()];
            if let Some(choice) = choices.iter_mut().find(|choice| choice.width == width) {
                choice.same += 1;
                continue;
            }
            let how = match self.way {
                Way::Across => Some((self.crosscut(rules, width), Side::Slice, false)),
                Way::Along if self.area.size[0] < rules.shortest => {
                    Some((Fence::Stop(width), Side::Slice, false))
                }
                Way::Along => self.rip(rules, width, forced),
            };
            let Some((fence, held, push_stick)) = how else { continue };
            choices.push(Choice { fence, slice: i, same: 1, width, held, push_stick, opens });
        }
        self.choices = choices;
    }

    fn crosscut(&self, rules: &Rules, width: i64) -> Fence {
        let too_long = rules.longest.is_some_and(|longest| self.area.size[1] > longest);
        if too_long { Fence::Straightedge } else { Fence::Stop(width) }
    }

    /// How a slice of `width` is ripped off, if it may be now.
    fn rip(&self, rules: &Rules, width: i64, forced: bool) -> Option<(Fence, Side, bool)> {
        let Rules { kerf, narrowest, widest, .. } = *rules;
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
}
