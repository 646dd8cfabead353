//! Bridges: wood left in the way of a cut, so that what it would free stays in the sheet.

use kurbo::{Point, Rect, Vec2};

use crate::kernel::{BitSide, Contour, Segment};
use crate::shop::RouterSheets;
use crate::tolerance::COORDINATE;

/// A part has a bridge for each so many mm around it, at least two; so small parts have fewer. Common practice,
/// no source.
const PER_BRIDGE: f64 = 200.0;

/// How far a chord may stand off its arc where sides are looked at, in mm.
const COARSE: f64 = 0.1;

/// One bridge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bridge {
    /// Its middle, on the edge that is cut.
    pub at: Point,
    /// Unit direction of the edge there.
    pub way: Vec2,
}

/// The bridges round an outline: on its longest straight sides, where one is easily sawn and planed off, never in a
/// slot or a notch; on a tab's shoulders, or on a tab, where no other side has room. None where none is wanted or no side has
/// room at all.
pub(super) fn around(
    outline: &Contour,
    tabs: &[Rect],
    rules: &RouterSheets,
    bit: f64,
) -> Vec<Bridge> {
    let place = |sides: Vec<EdgeSide>| {
        spread(&sides, wanted(outline, rules), gap(BitSide::Outside, rules, bit))
    };
    let placed = by_choice(outline, tabs).into_iter().map(place);
    placed.into_iter().find(|bridges| !bridges.is_empty()).unwrap_or_default()
}

/// The bridges that hold the slug of an opening: on its longest straight sides, on its arcs where these have no room.
pub(super) fn within(opening: &Contour, rules: &RouterSheets, bit: f64) -> Vec<Bridge> {
    let place = |sides: &[EdgeSide]| {
        spread(sides, wanted(opening, rules), gap(BitSide::Inside, rules, bit))
    };
    let on_lines = place(&straight(opening));
    if on_lines.is_empty() { place(&EdgeSide::all(opening)) } else { on_lines }
}

/// What a bridge takes of the edge, in mm: its wood, and what the bit takes at either end; on the shorter way round
/// the inside of a corner as much again.
fn gap(side: BitSide, rules: &RouterSheets, bit: f64) -> f64 {
    rules.bridge_width
        + match side {
            BitSide::Outside => bit,
            BitSide::Inside => 2.0 * bit,
        }
}

/// The longest straight side of a contour that a bridge may stand on, and how long one must be, in mm.
pub(super) fn longest(
    contour: &Contour,
    side: BitSide,
    rules: &RouterSheets,
    bit: f64,
) -> [f64; 2] {
    let sides = match side {
        BitSide::Outside => by_choice(contour, &[]).concat(),
        BitSide::Inside => straight(contour),
    };
    let longest = sides.iter().map(EdgeSide::length).fold(0.0, f64::max);
    [longest, room(1, gap(side, rules, bit))]
}

fn straight(contour: &Contour) -> Vec<EdgeSide> {
    EdgeSide::all(contour).into_iter().filter(|side| side.segment.is_line()).collect()
}

/// The straight sides of an outline that nothing stands before: those that no joint needs, shoulders of tabs, tabs.
pub(super) fn by_choice(outline: &Contour, tabs: &[Rect]) -> [Vec<EdgeSide>; 3] {
    let points = outline.flatten(COARSE);
    let mut choice = [Vec::new(), Vec::new(), Vec::new()];
    for side in EdgeSide::all(outline) {
        if !side.segment.is_line() || !side.looks_out(&points) {
            continue;
        }
        let [free, shoulders, tips] = &mut choice;
        match (side.is_jointed(tabs), side.is_on(tabs)) {
            (false, _) => free.push(side),
            (true, false) => shoulders.push(side),
            (true, true) => tips.push(side),
        }
    }
    choice
}

/// How many bridges a contour is to have.
pub(super) fn wanted(contour: &Contour, rules: &RouterSheets) -> usize {
    let enough = (contour.perimeter() / PER_BRIDGE).round() as usize;
    rules.bridges.min(enough.max(2))
}

/// A side of a contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct EdgeSide {
    pub segment: Segment,
    length: f64,
}

impl EdgeSide {
    pub(super) fn all(contour: &Contour) -> Vec<Self> {
        contour.segments().map(|segment| Self { segment, length: segment.length() }).collect()
    }

    /// Whether the way straight out from its middle meets no other side of the outline through `points`.
    fn looks_out(&self, points: &[Point]) -> bool {
        let (at, way) = (self.segment.middle(), self.segment.end - self.segment.start);
        let out = -way.turn_90() / self.length;
        let next = points.iter().cycle().skip(1);
        !points.iter().zip(next).any(|(a, b)| {
            let (from, to) = (out.cross(*a - at), out.cross(*b - at));
            let crossed = (from < 0.0) != (to < 0.0);
            crossed && out.dot(a.lerp(*b, from / (from - to)) - at) > COORDINATE
        })
    }

    /// Whether it is a side of a tab.
    fn is_on(&self, tabs: &[Rect]) -> bool {
        let middle = self.segment.middle();
        tabs.iter().any(|tab| tab.inflate(COORDINATE, COORDINATE).contains(middle))
    }

    /// Whether it is a side of a tab, or lies in line with one beside it: its shoulder.
    fn is_jointed(&self, tabs: &[Rect]) -> bool {
        let Segment { start, end, .. } = self.segment;
        let along = |a: f64, b: f64, line: f64| {
            (a - line).abs() <= COORDINATE && (b - line).abs() <= COORDINATE
        };
        tabs.iter().any(|tab| {
            let in_line = [tab.x0, tab.x1].iter().any(|x| along(start.x, end.x, *x))
                || [tab.y0, tab.y1].iter().any(|y| along(start.y, end.y, *y));
            let beside = tab.inflate(tab.width(), tab.height());
            in_line && beside.overlaps(Rect::from_points(start, end))
        })
    }

    pub(super) fn length(&self) -> f64 {
        self.length
    }

    /// `count` places on it, evenly, the middle left free: there the bit begins.
    fn places(&self, count: usize) -> impl Iterator<Item = Bridge> {
        let stretches = count + count % 2;
        let share = move |i: usize| (i as f64 + 0.5) / stretches as f64;
        let segment = self.segment;
        (0..count).map(move |i| {
            let at = segment.point_at(share(i));
            Bridge { at, way: segment.direction_at(at) }
        })
    }
}

/// Gives each bridge to the side that has most length for it, those already there counted (the rule by which seats
/// are shared out by highest averages), as long as the side has a stretch for each with room for its `gap`.
fn spread(sides: &[EdgeSide], count: usize, gap: f64) -> Vec<Bridge> {
    let mut given = vec![0_usize; sides.len()];
    for _ in 0..count {
        // To a micrometer: of sides as long the first one comes first.
        let share = |i: usize| ((sides[i].length / (given[i] + 1) as f64) * 1e3).round() as i64;
        let has_room = |i: &usize| sides[*i].length >= room(given[*i] + 1, gap);
        let next = (0..sides.len()).filter(has_room).max_by_key(|i| (share(*i), usize::MAX - i));
        let Some(next) = next else { break };
        given[next] += 1;
    }
    sides.iter().zip(given).flat_map(|(side, count)| side.places(count)).collect()
}

/// The least length of a side for `count` gaps: each stands in a stretch of its own, a little free beside it.
fn room(count: usize, gap: f64) -> f64 {
    (count + count % 2) as f64 * 1.1 * gap
}
