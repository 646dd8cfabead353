//! Finding room: around a point, inside an area, along a line.

use kurbo::{Point, Rect, Size, Vec2};

use super::Line;
use super::canvas::{Canvas, Care, Label, LabelSize};
use crate::kernel::convex::is_inside;
use crate::kernel::{Contour, Region};

/// White between what is labeled and its label, in mm, the nearest first. From [`LED`] on a
/// leader joins the two.
const AWAY: [f64; 14] =
    [1.0, 2.2, 3.6, 5.5, 8.0, 11.0, 15.0, 20.0, 26.0, 33.0, 42.0, 55.0, 75.0, 100.0];
const LED: f64 = 3.0;

/// A leader of more than this is the last resort, in mm.
const BESIDE: f64 = 20.0;

/// Radius of the dot at the end of a leader, in mm.
const DOT: f64 = 0.6;

/// The directions, those least often taken by lines first.
const DIRECTIONS: [(f64, f64); 16] = [
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 0.0),
    (-1.0, 0.0),
    (0.0, 1.0),
    (0.0, -1.0),
    (1.0, 0.4),
    (-1.0, 0.4),
    (1.0, -0.4),
    (-1.0, -0.4),
    (0.4, 1.0),
    (-0.4, 1.0),
    (0.4, -1.0),
    (-0.4, -1.0),
];

/// The part's wood, as polygons to ask whether a point lies in it.
pub(super) struct WoodArea {
    outline: Ring,
    openings: Vec<Ring>,
}

impl WoodArea {
    pub(super) fn new(region: &Region) -> Self {
        Self {
            outline: Ring::new(region.outline()),
            openings: region.openings().iter().map(Ring::new).collect(),
        }
    }

    pub(super) fn contains(&self, point: Point) -> bool {
        self.outline.contains(point) && !self.openings.iter().any(|o| o.contains(point))
    }
}

/// A contour as a polygon in its box.
struct Ring {
    bounds: Rect,
    corners: Vec<Point>,
}

impl Ring {
    fn new(contour: &Contour) -> Self {
        Self { bounds: contour.bounds(), corners: contour.flatten(0.1) }
    }

    fn contains(&self, point: Point) -> bool {
        self.bounds.contains(point) && is_inside(point, &self.corners)
    }
}

/// Places in ascending order, each as near to the one of `wanted` (ascending) as the others let it be: no two nearer to
/// each other than `pitch`.
pub(super) fn spread(wanted: impl IntoIterator<Item = f64>, pitch: f64) -> Vec<f64> {
    // Those that would stand too close are taken together about the middle of what they would like.
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for place in wanted {
        groups.push((place, 1));
        while let [.., (low, below), (high, above)] = groups[..] {
            let apart = pitch * (below + above) as f64 / 2.0;
            if high - low >= apart {
                break;
            }
            groups.pop();
            let all = below + above;
            let middle = (low * below as f64 + high * above as f64) / all as f64;
            if let Some(last) = groups.last_mut() {
                *last = (middle, all);
            }
        }
    }
    let each = |(middle, count): (f64, usize)| {
        (0..count).map(move |i| middle + pitch * (i as f64 - (count as f64 - 1.0) / 2.0))
    };
    groups.into_iter().flat_map(each).collect()
}

/// Writes `label` as near as possible to a round thing of radius `clear` at `center`, on
/// `wood`, if given, rather than beside it; further off with a leader. Whether there was room.
pub(super) fn write_around(
    canvas: &mut Canvas,
    label: &Label,
    center: Point,
    clear: f64,
    wood: Option<&WoodArea>,
) -> bool {
    let passes = [
        (Care::All, true, BESIDE),
        (Care::All, false, BESIDE),
        (Care::Firm, true, BESIDE),
        (Care::Firm, false, BESIDE),
        (Care::Firm, false, f64::MAX),
    ];
    let (size, extent) = (LabelSize::of(label), label.extent());
    let found = passes.iter().find_map(|(care, on_wood, most)| {
        around(center, clear, *most, extent).find(|spot| {
            (!on_wood || wood.is_none_or(|wood| wood.contains(spot.middle)))
                && canvas.has_room_for(&size, spot.middle, *care)
                && spot.leader.is_none_or(|(a, b)| canvas.can_lead(a, b))
        })
    });
    if let Some(spot) = &found {
        if let Some((from, to)) = spot.leader {
            canvas.line(Line::Leader, from, to);
        }
        canvas.write(label, spot.middle);
    }
    found.is_some()
}

/// A place for a label, and the leader to it if it stands far off.
struct LabelSpot {
    middle: Point,
    leader: Option<(Point, Point)>,
}

fn around(center: Point, clear: f64, most: f64, extent: Size) -> impl Iterator<Item = LabelSpot> {
    let spots = AWAY
        .iter()
        .filter(move |away| **away <= most)
        .flat_map(|away| DIRECTIONS.iter().map(move |d| (*away, *d)));
    spots.map(move |(away, (x, y))| {
        let direction = Vec2::new(x, y).normalize();
        let near = center + direction * (clear + away);
        let middle = near + Vec2::new(x * extent.width, y * extent.height) / 2.0;
        let foot = center + direction * clear;
        let head = center + direction * (clear + away - 0.7);
        LabelSpot { middle, leader: (away > LED).then_some((foot, head)) }
    })
}

/// The free place nearest to the middle of `area` for something of size `extent`, all of it
/// inside. `fits` has the last word.
pub(super) fn within(area: Rect, extent: Size, fits: impl Fn(Point) -> bool) -> Option<Point> {
    const STEPS: i32 = 12;
    let slack = Vec2::new(area.width() - extent.width, area.height() - extent.height) / 2.0;
    if slack.x < 0.0 || slack.y < 0.0 {
        return None;
    }
    // Most often the middle does: then none of the others is put in order.
    if fits(area.center()) {
        return Some(area.center());
    }
    let mut offsets: Vec<(f64, Vec2)> = (-STEPS..=STEPS)
        .flat_map(|i| (-STEPS..=STEPS).map(move |j| Vec2::new(f64::from(i), f64::from(j))))
        .map(|v| Vec2::new(v.x * slack.x, v.y * slack.y) / f64::from(STEPS))
        .map(|offset| (offset.hypot2(), offset))
        .collect();
    offsets.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut places = offsets.into_iter().map(|(_, offset)| area.center() + offset);
    places.find(|place| fits(*place))
}

/// Writes `label` beside the line from `from` to `to`, nearest to its middle. Whether there was
/// room.
pub(super) fn write_along(canvas: &mut Canvas, label: &Label, from: Point, to: Point) -> bool {
    let way = to - from;
    let label = label.clone().upright(way.y.abs() > way.x.abs());
    let extent = label.extent();
    let aside = |t: f64, side: f64| {
        let normal = Vec2::new(-way.y, way.x).normalize();
        let depth = normal.x.abs() * extent.width + normal.y.abs() * extent.height;
        from + way * t + normal * (side * (depth / 2.0 + 1.2))
    };
    let places =
        (0..20).map(|i| 0.5 + f64::from((i + 1) / 2) * if i % 2 == 0 { 0.05 } else { -0.05 });
    let spots: Vec<Point> = places.flat_map(|t| [aside(t, 1.0), aside(t, -1.0)]).collect();
    let size = LabelSize::of(&label);
    let free = |care| spots.iter().copied().find(|spot| canvas.has_room_for(&size, *spot, care));
    let found = free(Care::All).or_else(|| free(Care::Firm));
    if let Some(spot) = found {
        canvas.write(&label, spot);
    }
    found.is_some()
}

/// Whether [`write_around`] would find room clear of every line and text.
pub(super) fn room_around(canvas: &Canvas, label: &Label, center: Point, clear: f64) -> bool {
    around(center, clear, f64::MAX, label.extent()).any(|spot| {
        canvas.has_room(label, spot.middle, Care::All)
            && spot.leader.is_none_or(|(a, b)| canvas.can_lead(a, b))
    })
}

/// Writes `label` beside the line from `from` to `to`, level or upright, neither end of it past that of the line.
/// Whether there was room.
pub(super) fn write_between(canvas: &mut Canvas, label: &Label, from: Point, to: Point) -> bool {
    const STEPS: i32 = 20;
    let way = to - from;
    let label = label.clone().upright(way.y.abs() > way.x.abs());
    let slack = (way.hypot() - label.run()) / 2.0;
    let aside = way.normalize().turn_90() * (super::cap_height(label.size) / 2.0 + 1.2);
    let shifts = (0..=2 * STEPS).map(|i| f64::from((i + 1) / 2 * if i % 2 == 0 { 1 } else { -1 }));
    let spots = shifts.flat_map(|shift| {
        let middle = from.midpoint(to) + way.normalize() * (slack * shift / f64::from(STEPS));
        [middle + aside, middle - aside]
    });
    let size = LabelSize::of(&label);
    let found = spots.into_iter().find(|spot| canvas.has_room_for(&size, *spot, Care::All));
    let Some(spot) = found.filter(|_| slack >= 0.0) else { return false };
    canvas.write(&label, spot);
    true
}

/// Half of the room that a leader to `label` ends at.
pub(super) fn half_of(label: &Label) -> Size {
    const WHITE: f64 = 1.0;
    label.extent() / 2.0 + Size::new(WHITE, WHITE)
}

/// A leader from a dot to the edge of something that stands where there is room.
pub(super) struct Lead {
    from: Point,
    to: Point,
    pub middle: Point,
}

impl Lead {
    /// From `from` to what has its middle at `middle` and `half` as half its size.
    pub(super) fn new(from: Point, middle: Point, half: Size) -> Self {
        let way = middle - from;
        let (across, up) = (way.x.abs().max(1e-9), way.y.abs().max(1e-9));
        let reach = (half.width / across).min(half.height / up);
        Self { from, to: middle - way * reach.min(1.0), middle }
    }

    fn length(&self) -> f64 {
        (self.to - self.from).hypot()
    }

    pub(super) fn draw(&self, canvas: &mut Canvas) {
        canvas.line(Line::Leader, self.from, self.to);
        canvas.fill(Contour::circle(self.from, DOT));
    }
}

/// The shortest leader that can run from one of `feet` to something of which `half` is half the
/// size, where that is `free` to stand.
pub(super) fn lead(
    canvas: &Canvas,
    feet: &[Point],
    half: Size,
    free: impl Fn(Point) -> bool,
) -> Option<Lead> {
    let can = |lead: &Lead| canvas.can_lead(lead.from, lead.to) && free(lead.middle);
    let shortest =
        |foot: &Point| led_to(*foot, half).map(|middle| Lead::new(*foot, middle, half)).find(can);
    feet.iter().filter_map(shortest).min_by(|a, b| a.length().total_cmp(&b.length()))
}

/// Places for something of which `half` is half the size, the nearest to `foot` first.
fn led_to(foot: Point, half: Size) -> impl Iterator<Item = Point> {
    const STEP: f64 = 2.5;
    const WAYS: i32 = 36;
    let ways = (0..WAYS).map(|i| f64::from(i) * std::f64::consts::TAU / f64::from(WAYS));
    let ways: Vec<Vec2> = ways.map(Vec2::from_angle).collect();
    let far = (2..64).map(|i| f64::from(i) * STEP);
    far.flat_map(move |far| ways.clone().into_iter().map(move |way| (far, way))).map(
        move |(far, way)| {
            // The leader runs to the middle of a side, or to an end.
            let aside = if way.y.abs() > 0.5 {
                Vec2::new(0.0, way.y.signum() * (half.height + 0.4))
            } else {
                Vec2::new(way.x.signum() * (half.width + 0.4), 0.0)
            };
            foot + way * far + aside
        },
    )
}
