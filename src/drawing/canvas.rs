//! A sheet in the making: what is drawn so far, and where there is room for text.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::{Anchor, Drawing, Item, Line, Path, Text, box_corners, cap_height, text_width};
use crate::kernel::Contour;

/// White round the drawing, in mm.
const MARGIN: f64 = 5.0;

/// White kept round a text, in mm.
const CLEAR: f64 = 0.6;

/// White between two texts on one line, as a share of the letter size: more than between words.
const WORD_GAP: f64 = 0.8;

/// How far a descender reaches below the baseline, as a share of the letter size.
const DESCENT: f64 = 0.22;

/// What is left of a broken line is drawn from this length on, in mm.
const STUB: f64 = 0.5;

/// How far a circle's stand-in polygon may stand off, in mm, when room for text is sought.
const COARSE: f64 = 0.2;

/// Text yet to be placed.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub text: String,
    pub size: f64,
    pub bold: bool,
    /// Readable from the right (turned a quarter counter-clockwise), not from the bottom.
    pub upright: bool,
}

/// What a text must stay clear of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// Every line and text.
    All,
    /// All but lines that are broken where a text stands.
    Firm,
}

/// How a line gets on with texts and leaders.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Hold {
    /// Nothing stands on it.
    Firm,
    /// It is broken round a text.
    Yielding,
    /// No other leader crosses it either.
    Leader,
}

/// Items in the part's coordinates, with the room they take.
#[derive(Debug, Clone, Default)]
pub(super) struct Canvas {
    items: Vec<DrawnItem>,
    texts: Vec<Rect>,
    edges: Vec<DrawnEdge>,
    /// Those of the edges that are leaders, which are asked for often.
    leaders: Vec<(Point, Point)>,
    bounds: Option<Rect>,
    /// Where text may stand: wholly within one of these convex areas; anywhere where there are none.
    panes: Vec<[Point; 4]>,
    /// Lines that are cut along, drawn by others.
    seams: Vec<(Point, Point)>,
    /// What stands there already and is drawn by others: no text, no dimension comes on it.
    marks: Vec<Rect>,
}

#[derive(Debug, Clone)]
struct DrawnItem {
    item: Item,
    yields: bool,
}

/// How much a canvas has.
#[derive(Debug, Clone, Copy)]
pub(super) struct DrawnSoFar {
    edges: usize,
    texts: usize,
}

/// A straight stretch of something drawn.
#[derive(Debug, Clone, Copy)]
struct DrawnEdge {
    hold: Hold,
    from: Point,
    to: Point,
}

impl Label {
    /// Upright or level text of letter size `size` mm.
    pub(super) fn new(text: impl Into<String>, size: f64) -> Self {
        let text = text.into().chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        Self { text, size, bold: false, upright: false }
    }

    pub(super) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(super) fn upright(self, upright: bool) -> Self {
        Self { upright, ..self }
    }

    /// Length along the line of text, in mm.
    pub(super) fn run(&self) -> f64 {
        text_width(&self.text, self.size, self.bold)
    }

    /// Width and height on the sheet: baseline to the top of a capital.
    pub(super) fn extent(&self) -> Size {
        let (run, rise) = (self.run(), cap_height(self.size));
        if self.upright { Size::new(rise, run) } else { Size::new(run, rise) }
    }

    /// The room it takes centered at `center`, descenders too.
    pub(super) fn room(&self, center: Point) -> Rect {
        LabelSize::of(self).room(center)
    }
}

/// What a label takes, measured once.
#[derive(Debug, Clone, Copy)]
pub(super) struct LabelSize {
    extent: Size,
    /// How far descenders reach, to the right of an upright label and below a level one.
    descent: Size,
    /// White before and after it.
    apart: Size,
}

impl LabelSize {
    pub(super) fn of(label: &Label) -> Self {
        let (extent, size) = (label.extent(), label.size);
        let [along, across] =
            if label.upright { [(0.0, 1.0), (1.0, 0.0)] } else { [(1.0, 0.0), (0.0, 1.0)] };
        let share = |(x, y): (f64, f64), by: f64| Size::new(x * by, y * by);
        Self {
            extent,
            descent: share(across, size * DESCENT),
            apart: share(along, size * WORD_GAP),
        }
    }

    /// As [`Label::room`].
    pub(super) fn room(&self, center: Point) -> Rect {
        let area = Rect::from_center_size(center, self.extent);
        Rect { x1: area.x1 + self.descent.width, y0: area.y0 - self.descent.height, ..area }
    }
}

impl Canvas {
    pub(super) fn stroke(&mut self, line: Line, path: Path) {
        let hold = if line == Line::Leader { Hold::Leader } else { Hold::Firm };
        self.draw(line, path, hold);
    }

    pub(super) fn line(&mut self, line: Line, from: Point, to: Point) {
        self.stroke(line, Path::line(from, to));
    }

    /// A straight line that is broken round texts, as draftsmen break center and extension lines.
    pub(super) fn yielding(&mut self, line: Line, from: Point, to: Point) {
        self.draw(line, Path::line(from, to), Hold::Yielding);
    }

    fn draw(&mut self, line: Line, path: Path, hold: Hold) {
        for pair in path.flatten(COARSE).windows(2) {
            if let [from, to] = *pair {
                self.edges.push(DrawnEdge { hold, from, to });
                if hold == Hold::Leader {
                    self.leaders.push((from, to));
                }
                self.grow(Rect::from_points(from, to));
            }
        }
        let item = Item::Stroke { line, path };
        self.items.push(DrawnItem { item, yields: hold == Hold::Yielding });
    }

    pub(super) fn rectangle(&mut self, line: Line, area: Rect) {
        let vertices = box_corners(area).map(|at| crate::kernel::Vertex::line(at.x, at.y));
        if let Some(contour) = Contour::new(vertices) {
            self.stroke(line, Path::Closed(contour));
        }
    }

    pub(super) fn fill(&mut self, contour: Contour) {
        for s in contour.segments() {
            self.edges.push(DrawnEdge { hold: Hold::Firm, from: s.start, to: s.end });
        }
        self.grow(contour.bounds());
        self.items.push(DrawnItem { item: Item::Fill(contour), yields: false });
    }

    /// An area that texts and lines come on, below all that is drawn later.
    pub(super) fn shade(&mut self, contour: Contour) {
        self.grow(contour.bounds());
        self.items.push(DrawnItem { item: Item::Shade(contour), yields: false });
    }

    /// What bars texts and leaders near `area`, to look for room there; nothing of it is drawn.
    pub(super) fn beside(&self, area: Rect) -> Self {
        let near = |edge: &&DrawnEdge| reaches(area, edge.from, edge.to);
        Self {
            edges: self.edges.iter().filter(near).copied().collect(),
            texts: self.texts.iter().filter(|text| overlap(**text, area)).copied().collect(),
            leaders: self.leaders.iter().filter(|(a, b)| reaches(area, *a, *b)).copied().collect(),
            ..Self::default()
        }
    }

    /// From here on text stands wholly within one of `panes`, corners counter-clockwise, on no line of `seams` and on
    /// none of `marks`.
    pub(super) fn confine(
        &mut self,
        panes: Vec<[Point; 4]>,
        seams: Vec<(Point, Point)>,
        marks: Vec<Rect>,
    ) {
        let seam =
            |(from, to): &(Point, Point)| DrawnEdge { hold: Hold::Firm, from: *from, to: *to };
        self.edges.extend(seams.iter().map(seam));
        (self.panes, self.seams, self.marks) = (panes, seams, marks);
    }

    /// Whether something of that size may stand there, whatever else does.
    pub(super) fn admits(&self, area: Rect) -> bool {
        let corners = box_corners(area);
        let within = |pane: &[Point; 4]| {
            let sides = pane.iter().zip(pane.iter().cycle().skip(1));
            let left = |(a, b): (&Point, &Point)| {
                corners.iter().all(|corner| (*b - *a).cross(*corner - *a) >= 0.0)
            };
            sides.into_iter().all(left)
        };
        let clear = !self.marks.iter().any(|mark| overlap(*mark, area));
        self.panes.is_empty() || clear && self.panes.iter().any(within)
    }

    /// Whether all that came after the first `edges` and `texts` keeps to the panes, off the marks and off the seams.
    pub(super) fn keeps_in(&self, DrawnSoFar { edges, texts }: DrawnSoFar) -> bool {
        if self.panes.is_empty() {
            return true;
        }
        let spot = |at: Point| Rect::from_points(at, at);
        let misses = |e: &DrawnEdge| !self.marks.iter().any(|mark| reaches(*mark, e.from, e.to));
        let kept =
            |e: &DrawnEdge| misses(e) && [e.from, e.to].iter().all(|at| self.admits(spot(*at)));
        let free = |text: &Rect| self.admits(*text) && !self.crosses_seam(*text);
        self.texts.iter().skip(texts).all(free) && self.edges.iter().skip(edges).all(kept)
    }

    /// Whether a line that comes from the part may reach as far as `at`: no further than a single pane does, which is
    /// convex.
    pub(super) fn may_reach(&self, at: Point) -> bool {
        self.panes.len() != 1 || self.admits(Rect::from_points(at, at))
    }

    /// How much is drawn so far.
    pub(super) fn drawn(&self) -> DrawnSoFar {
        DrawnSoFar { edges: self.edges.len(), texts: self.texts.len() }
    }

    /// Whether something may stand there: anywhere where there are no panes, else where nothing else is.
    pub(super) fn takes(&self, area: Rect) -> bool {
        self.panes.is_empty() || self.is_free(area, Care::All)
    }

    fn crosses_seam(&self, area: Rect) -> bool {
        self.seams.iter().any(|(from, to)| reaches(area, *from, *to))
    }

    /// Takes in what is drawn already.
    pub(super) fn take_items(&mut self, items: Vec<Item>) {
        for item in items {
            match item {
                Item::Stroke { line, path } => self.stroke(line, path),
                Item::Fill(contour) => self.fill(contour),
                Item::Shade(contour) => self.shade(contour),
                Item::Text(_) => self.items.push(DrawnItem { item, yields: false }),
            }
        }
    }

    /// Takes in all that another has, moved by `by`.
    pub(super) fn take(&mut self, other: Self, by: Vec2) {
        let shift = Affine::translate(by);
        let moved =
            |DrawnItem { item, yields }: DrawnItem| DrawnItem { item: item.laid(shift), yields };
        self.items.extend(other.items.into_iter().map(moved));
        self.texts.extend(other.texts.iter().map(|text| *text + by));
        self.leaders.extend(other.leaders.iter().map(|(from, to)| (*from + by, *to + by)));
        self.edges.extend(other.edges.iter().map(|edge| DrawnEdge {
            from: edge.from + by,
            to: edge.to + by,
            ..*edge
        }));
        if let Some(bounds) = other.bounds {
            self.grow(bounds + by);
        }
    }

    /// Sets `label` with its middle at `center`.
    pub(super) fn write(&mut self, label: &Label, center: Point) {
        let half = cap_height(label.size) / 2.0;
        let down = if label.upright { Vec2::new(half, 0.0) } else { Vec2::new(0.0, -half) };
        self.put(label, center + down, Anchor::Middle, label.room(center));
    }

    /// Sets `label`, level, with its baseline starting at `start`.
    pub(super) fn write_from(&mut self, label: &Label, start: Point) {
        let extent = label.extent();
        let center = start + Vec2::new(extent.width, extent.height) / 2.0;
        self.put(label, start, Anchor::Start, label.room(center));
    }

    fn put(&mut self, label: &Label, at: Point, anchor: Anchor, room: Rect) {
        self.texts.push(room);
        self.grow(room);
        let item = Item::Text(Text {
            at,
            text: label.text.clone(),
            size: label.size,
            anchor,
            turn: if label.upright { 90.0 } else { 0.0 },
            bold: label.bold,
        });
        self.items.push(DrawnItem { item, yields: false });
    }

    /// Whether `label` can stand with its middle at `center`, white round it, and before and after
    /// it enough that it does not read on into another text.
    pub(super) fn has_room(&self, label: &Label, center: Point, care: Care) -> bool {
        self.has_room_for(&LabelSize::of(label), center, care)
    }

    /// The same for a label measured before, of which many places are tried.
    pub(super) fn has_room_for(&self, label: &LabelSize, center: Point, care: Care) -> bool {
        let room = label.room(center).inset(CLEAR);
        let sentence = room.inflate(label.apart.width, label.apart.height);
        self.admits(room) && self.misses_text(sentence) && self.misses_lines(room, care)
    }

    /// Whether nothing that matters reaches into `area`.
    pub(super) fn is_free(&self, area: Rect, care: Care) -> bool {
        self.admits(area) && self.misses_text(area) && self.misses_lines(area, care)
    }

    fn misses_lines(&self, area: Rect, care: Care) -> bool {
        let counts = |e: &DrawnEdge| care == Care::All || e.hold != Hold::Yielding;
        !self.edges.iter().any(|e| counts(e) && reaches(area, e.from, e.to))
    }

    /// Whether a leader can run from `from` to `to`: clear of all texts, across no other leader.
    pub(super) fn can_lead(&self, from: Point, to: Point) -> bool {
        let leads = |text: &Rect| !reaches(text.inset(CLEAR / 2.0), from, to);
        self.texts.iter().all(leads) && !self.leaders.iter().any(|(a, b)| cross(*a, *b, from, to))
    }

    fn misses_text(&self, area: Rect) -> bool {
        !self.texts.iter().any(|text| overlap(*text, area))
    }

    /// What is drawn so far reaches this far.
    pub(super) fn bounds(&self) -> Rect {
        self.bounds.unwrap_or(Rect::ZERO)
    }

    fn grow(&mut self, area: Rect) {
        self.bounds = Some(self.bounds.map_or(area, |b| b.union(area)));
    }

    /// The sheet, its lower left corner at the origin, with a margin all round.
    pub(super) fn into_drawing(self, title: String) -> Drawing {
        let area = self.bounds().inset(MARGIN);
        let shift = Affine::translate(-area.origin().to_vec2());
        Drawing { title, width: area.width(), height: area.height(), items: self.into_items(shift) }
    }

    /// The sheet with no more round it than half the widest line, and where the origin lies in it.
    pub(super) fn into_tight(self, title: String) -> (Drawing, Vec2) {
        const LINE: f64 = 0.3;
        let area = self.bounds().inset(LINE);
        let shift = -area.origin().to_vec2();
        let items = self.into_items(Affine::translate(shift));
        (Drawing { title, width: area.width(), height: area.height(), items }, shift)
    }

    /// What is drawn, moved or turned by `map`; of lines that yield only what runs clear of texts.
    pub(super) fn into_items(self, map: Affine) -> Vec<Item> {
        let white: Vec<Rect> = self.texts.iter().map(|text| text.inset(CLEAR)).collect();
        let mut items = Vec::with_capacity(self.items.len());
        for DrawnItem { item, yields } in self.items {
            match item {
                Item::Stroke { line, path: Path::Open(ends) } if yields => {
                    let stretches = ends.windows(2).flat_map(|w| outside(w[0].at, w[1].at, &white));
                    let stroke = |(from, to)| Item::Stroke { line, path: Path::line(from, to) };
                    items.extend(stretches.map(|ends| stroke(ends).laid(map)));
                }
                item => items.push(item.laid(map)),
            }
        }
        items
    }
}

/// The stretches of a straight line that lie in none of `areas`; all of it where it meets none.
pub(super) fn outside(from: Point, to: Point, areas: &[Rect]) -> Vec<(Point, Point)> {
    let mut free = vec![(0.0, 1.0)];
    for (enters, leaves) in areas.iter().filter_map(|area| inside(from, to, *area)) {
        free = free
            .into_iter()
            .flat_map(|(a, b): (f64, f64)| [(a, b.min(enters)), (a.max(leaves), b)])
            .filter(|(a, b)| (b - a) * (to - from).hypot() > STUB)
            .collect();
    }
    free.into_iter().map(|(a, b)| (from.lerp(to, a), from.lerp(to, b))).collect()
}

/// Shares of the way at which a line enters and leaves `area` (Liang and Barsky's clipping).
fn inside(from: Point, to: Point, area: Rect) -> Option<(f64, f64)> {
    let way = to - from;
    let sides = [
        (-way.x, from.x - area.x0),
        (way.x, area.x1 - from.x),
        (-way.y, from.y - area.y0),
        (way.y, area.y1 - from.y),
    ];
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    for (speed, room) in sides {
        if speed == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if speed < 0.0 {
            enters = enters.max(room / speed);
        } else {
            leaves = leaves.min(room / speed);
        }
    }
    (enters < leaves).then_some((enters, leaves))
}

/// Whether two straight lines cross or touch.
pub(super) fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let parts = |from: Point, to: Point, one: Point, other: Point| {
        let side = |p: Point| (to - from).cross(p - from);
        side(one) * side(other) <= 0.0
    };
    parts(a, b, c, d) && parts(c, d, a, b)
}

fn overlap(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

/// Whether the straight line from `a` to `b` comes into `area`.
fn reaches(area: Rect, a: Point, b: Point) -> bool {
    let span = Rect::from_points(a, b);
    let apart = span.x0 > area.x1 || area.x0 > span.x1 || span.y0 > area.y1 || area.y0 > span.y1;
    if apart {
        return false;
    }
    // Boxes meet: the line misses the area only if all its corners are on one side of the line.
    let along = b - a;
    let sides = box_corners(area).map(|corner| along.cross(corner - a));
    !(sides.iter().all(|s| *s > 0.0) || sides.iter().all(|s| *s < 0.0))
}
