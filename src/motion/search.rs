//! The best way from where a holder hangs to where it is free, through cells of slices of tilt.

use std::cmp::{Ordering, Reverse};
use std::collections::BinaryHeap;

use kurbo::Point;

use super::scene::Scene;
use super::slice::{FreeCell, HeldPose, TiltSlice, along, crossing};
use super::turning::may_turn;

/// Slices of tilt in their order, each made when it is first asked for.
pub(super) struct Slices<'s> {
    pub scene: &'s Scene,
    tilts: Vec<f64>,
    made: Vec<Option<TiltSlice>>,
}

impl<'s> Slices<'s> {
    /// `tilts` in degrees, rising, with 0 among them.
    pub(super) fn new(scene: &'s Scene, tilts: Vec<f64>) -> Self {
        let made = tilts.iter().map(|_| None).collect();
        Self { scene, tilts, made }
    }

    /// Puts one more half way between each two neighbors from `first` to `last`.
    pub(super) fn refine(&mut self, first: usize, last: usize) {
        for at in (first..last.min(self.tilts.len() - 1)).rev() {
            let between = f64::midpoint(self.tilts[at], self.tilts[at + 1]);
            self.tilts.insert(at + 1, between);
            self.made.insert(at + 1, None);
        }
    }

    fn make(&mut self, at: usize) {
        if self.made[at].is_none() {
            self.made[at] = Some(TiltSlice::new(self.scene, self.tilts[at]));
        }
    }

    fn get(&self, at: usize) -> Option<&TiltSlice> {
        self.made.get(at).and_then(Option::as_ref)
    }

    fn count(&self) -> usize {
        self.tilts.len()
    }

    fn level(&self) -> Option<usize> {
        self.tilts.iter().position(|tilt| *tilt == 0.0)
    }
}

/// What the best way is.
#[derive(Debug, Clone, Copy)]
pub(super) enum Aim {
    /// Rises least, and less than this, in mm.
    LeastRise(f64),
    /// Tilts least and rises no more than this, in mm.
    LeastTilt(f64),
}

impl Aim {
    /// What a step that rises to `rise` at `tilt` counts; `None` where it is out of the question.
    fn counts(self, rise: f64, tilt: f64) -> Option<f64> {
        match self {
            Self::LeastRise(most) => (rise <= most).then_some(rise),
            Self::LeastTilt(most) => (rise <= most).then_some(tilt.abs()),
        }
    }
}

/// A cell of a slice.
type Node = (usize, usize);

/// How a cell was come into.
#[derive(Debug, Clone, Copy)]
struct Arrival {
    counted: f64,
    /// `None` for the cell that the holder hangs in.
    from: Option<Node>,
    /// From the same slice: how high it may be where both cells meet. From another: where it turns.
    through: Portal,
    done: bool,
}

/// Where two cells meet.
#[derive(Debug, Clone, Copy)]
struct Portal {
    x: f64,
    low: f64,
    high: f64,
}

impl Portal {
    /// The height in it that is nearest to `height`.
    fn nearest(self, height: f64) -> f64 {
        height.min(self.high).max(self.low)
    }
}

/// A cell that waits to be gone on from; the one that counts least is the first.
#[derive(PartialEq)]
struct Waiting(f64, Node);

impl Eq for Waiting {}

impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Waiting {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0).then(self.1.cmp(&other.1))
    }
}

/// A way that was found.
#[derive(Debug, Clone)]
pub(super) struct FoundWay {
    /// From where it hangs to where it is free; between two poses turn and shift go on evenly.
    pub poses: Vec<HeldPose>,
    /// The highest rise on it, in mm.
    pub rise: f64,
    /// The greatest tilt on it, in degrees, of either sign.
    pub tilt: f64,
    /// The slices between which it rises highest.
    pub highest: [usize; 2],
}

/// The best way with an `aim`, if there is one.
pub(super) fn best_way(slices: &mut Slices<'_>, aim: Aim) -> Option<FoundWay> {
    let level = slices.level()?;
    slices.make(level);
    let mut search =
        Search { aim, reached: vec![Vec::new(); slices.count()], heap: BinaryHeap::new() };
    let start = (level, hung_cell(slices.get(level)?)?);
    search.arrive(slices, start, Some(0.0), None, Portal { x: 0.0, low: 0.0, high: 0.0 });
    while let Some(Reverse(Waiting(_, node))) = search.heap.pop() {
        let Some(arrival) = search.reached[node.0][node.1].filter(|arrival| !arrival.done) else {
            continue;
        };
        search.reached[node.0][node.1] = Some(Arrival { done: true, ..arrival });
        if is_free(slices.get(node.0)?, node.1) {
            return Some(search.way(slices, node));
        }
        search.go_on(slices, node, arrival.counted);
    }
    None
}

/// The cell that the holder hangs in.
fn hung_cell(slice: &TiltSlice) -> Option<usize> {
    slice.cells.iter().position(|cell| {
        let [low, high] = cell.at(0.0);
        cell.x[0] <= 0.0 && 0.0 < cell.x[1] && low <= 0.0 && 0.0 <= high
    })
}

/// Whether the holder is in front of everything there: nothing is in the last column.
fn is_free(slice: &TiltSlice, cell: usize) -> bool {
    slice.cells[cell].column + 2 == slice.columns.len()
}

struct Search {
    aim: Aim,
    reached: Vec<Vec<Option<Arrival>>>,
    heap: BinaryHeap<Reverse<Waiting>>,
}

impl Search {
    fn arrive(
        &mut self,
        slices: &Slices<'_>,
        node: Node,
        counted: Option<f64>,
        from: Option<Node>,
        through: Portal,
    ) {
        let (Some(slice), Some(counted)) = (slices.get(node.0), counted) else { return };
        let reached = &mut self.reached[node.0];
        reached.resize(slice.cells.len(), None);
        if reached[node.1].is_none_or(|known| !known.done && counted < known.counted) {
            reached[node.1] = Some(Arrival { counted, from, through, done: false });
            self.heap.push(Reverse(Waiting(counted, node)));
        }
    }

    fn is_done(&self, node: Node) -> bool {
        let known = self.reached[node.0].get(node.1).copied().flatten();
        known.is_some_and(|arrival| arrival.done)
    }

    /// Whether coming there with `counted` would be no better than what is known.
    fn is_no_better(&self, node: Node, counted: f64) -> bool {
        let known = self.reached[node.0].get(node.1).copied().flatten();
        known.is_some_and(|arrival| arrival.done || arrival.counted <= counted)
    }

    fn go_on(&mut self, slices: &mut Slices<'_>, node: Node, counted: f64) {
        self.along(slices, node, counted);
        for other in [node.0.checked_sub(1), Some(node.0 + 1)].into_iter().flatten() {
            if other < slices.count() {
                slices.make(other);
                self.turned(slices, node, other, counted);
            }
        }
    }

    /// To the cells beside it in the same slice.
    fn along(&mut self, slices: &Slices<'_>, node: Node, counted: f64) {
        let Some(slice) = slices.get(node.0) else { return };
        let cell = slice.cells[node.1];
        let beside = [cell.column.checked_sub(1), Some(cell.column + 1)];
        for column in beside.into_iter().flatten().filter(|at| at + 1 < slice.columns.len()) {
            let x = if column < cell.column { cell.x[0] } else { cell.x[1] };
            for next in slice.columns[column]..slice.columns[column + 1] {
                let [[low, high], [lower, higher]] = [cell.at(x), slice.cells[next].at(x)];
                let through = Portal { x, low: low.max(lower), high: high.min(higher) };
                if through.low < through.high {
                    let step = self.aim.counts(through.low, slice.tilt);
                    let counted = step.map(|step| step.max(counted));
                    self.arrive(slices, (node.0, next), counted, Some(node), through);
                }
            }
        }
    }

    /// To the cells of a slice beside it that are free at the same place.
    fn turned(&mut self, slices: &Slices<'_>, node: Node, other: usize, counted: f64) {
        let (Some(from), Some(to)) = (slices.get(node.0), slices.get(other)) else { return };
        let cell = from.cells[node.1];
        let first = to.cells.partition_point(|next| next.x[1] <= cell.x[0]);
        for (next, there) in to.cells.iter().enumerate().skip(first) {
            if there.x[0] >= cell.x[1] {
                break;
            }
            if self.is_done((other, next)) {
                continue;
            }
            let Some(shared) = shared(&cell, there) else { continue };
            for place in shared.tried() {
                let Some(step) = self.aim.counts(place.y, to.tilt) else { continue };
                let counted = step.max(counted);
                if self.is_no_better((other, next), counted) {
                    break;
                }
                if may_turn(slices.scene, [from, to], place) {
                    let through = Portal { x: place.x, low: place.y, high: place.y };
                    self.arrive(slices, (other, next), Some(counted), Some(node), through);
                    break;
                }
            }
        }
    }

    /// The poses on the way to a node, its rise and its tilt.
    fn way(&self, slices: &Slices<'_>, node: Node) -> FoundWay {
        let mut nodes = vec![node];
        while let Some(from) = self.arrival(nodes[nodes.len() - 1]).and_then(|arrival| arrival.from)
        {
            nodes.push(from);
        }
        nodes.reverse();
        let mut trail = Trail::new(slices, nodes[0]);
        for pair in nodes.windows(2) {
            if let Some(arrival) = self.arrival(pair[1]) {
                trail.step(slices, [pair[0], pair[1]], arrival.through);
            }
        }
        trail.out(slices, node);
        FoundWay { poses: trail.poses, rise: trail.rise, tilt: trail.tilt, highest: trail.highest }
    }

    fn arrival(&self, node: Node) -> Option<Arrival> {
        self.reached.get(node.0)?.get(node.1).copied().flatten()
    }
}

/// A way that is being walked.
struct Trail {
    at: Point,
    poses: Vec<HeldPose>,
    rise: f64,
    tilt: f64,
    highest: [usize; 2],
}

impl Trail {
    fn new(slices: &Slices<'_>, start: Node) -> Self {
        let mut trail = Self {
            at: Point::ZERO,
            poses: Vec::new(),
            rise: 0.0,
            tilt: 0.0,
            highest: [start.0; 2],
        };
        trail.go(slices, start.0, Point::ZERO);
        trail
    }

    fn go(&mut self, slices: &Slices<'_>, slice: usize, at: Point) {
        let Some(there) = slices.get(slice) else { return };
        let pose = there.pose(at);
        if self.poses.last() != Some(&pose) {
            self.poses.push(pose);
        }
        self.at = at;
        self.tilt = self.tilt.max(there.tilt.abs());
    }

    fn step(&mut self, slices: &Slices<'_>, [from, to]: [Node; 2], through: Portal) {
        let height = through.nearest(self.at.y);
        if through.low > self.rise {
            (self.rise, self.highest) = (through.low, [from.0.min(to.0), from.0.max(to.0)]);
        }
        let at = Point::new(through.x, height);
        self.go(slices, from.0, at);
        if to.0 != from.0 {
            self.go(slices, to.0, at);
        }
    }

    /// Out of the last cell to where the holder is free.
    fn out(&mut self, slices: &Slices<'_>, node: Node) {
        if let Some(slice) = slices.get(node.0) {
            let at = Point::new(slice.cells[node.1].x[1], self.at.y);
            self.go(slices, node.0, at);
        }
    }
}

/// What two cells of neighboring slices share.
struct SharedPlaces {
    x: [f64; 2],
    lows: [[f64; 2]; 2],
    highs: [[f64; 2]; 2],
    lowest: Point,
}

/// The places in both cells; `None` where there are none.
fn shared(one: &FreeCell, other: &FreeCell) -> Option<SharedPlaces> {
    if is_above(one, other) || is_above(other, one) {
        return None;
    }
    let x = [one.x[0].max(other.x[0]), one.x[1].min(other.x[1])];
    let within = |from: [f64; 2], y: [f64; 2]| x.map(|at| along(from, y, at));
    let lows = [within(one.x, one.low), within(other.x, other.low)];
    let highs = [within(one.x, one.high), within(other.x, other.high)];
    let lowest = Point::new(x[0], f64::INFINITY);
    let mut shared = SharedPlaces { x, lows, highs, lowest };
    let crossings = lows.iter().flat_map(|low| highs.iter().map(move |high| [low, high]));
    let crossings = crossings.chain([[&lows[0], &lows[1]]]);
    let crossings = crossings.filter_map(|[a, b]| crossing(x, *a, *b));
    // Ends first, so that of equally low places the plainer one is taken.
    for at in x.into_iter().chain(crossings) {
        let [low, high] = shared.at(at);
        let place = Point::new(at, high.min(low.max(0.0)));
        if low <= high + SAME_HEIGHT && place.y < shared.lowest.y {
            shared.lowest = place;
        }
    }
    shared.lowest.y.is_finite().then_some(shared)
}

/// Whether all of a cell is clearly higher than all of another: most are, of two columns that meet.
fn is_above(one: &FreeCell, other: &FreeCell) -> bool {
    one.low[0].min(one.low[1]) > other.high[0].max(other.high[1]) + 10.0 * SAME_HEIGHT
}

/// Heights nearer than this, in mm, are the same.
const SAME_HEIGHT: f64 = 1e-9;

impl SharedPlaces {
    fn at(&self, x: f64) -> [f64; 2] {
        let on = |lines: [[f64; 2]; 2]| lines.map(|line| along(self.x, line, x));
        let ([a, b], [c, d]) = (on(self.lows), on(self.highs));
        [a.max(b), c.min(d)]
    }

    /// Places to try a turn at, the lowest first: there, and well inside.
    fn tried(&self) -> impl Iterator<Item = Point> {
        let middle = f64::midpoint(self.x[0], self.x[1]);
        let inside = [self.lowest.x, middle].map(|x| {
            let [low, high] = self.at(x);
            let high = if high.is_finite() { high } else { low.max(0.0) + 1.0 };
            let low = if low.is_finite() { low } else { high.min(0.0) - 1.0 };
            (low < high).then(|| Point::new(x, f64::midpoint(low, high)))
        });
        [Some(self.lowest)].into_iter().chain(inside).flatten()
    }
}
