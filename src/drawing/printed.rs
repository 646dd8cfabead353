//! The pattern of a part as pages show it: what is cut, bored and scribed at full size, its names on the wood; what explains
//! it stands beside, where there is room.

use kurbo::{Affine, Point, Rect, Vec2};

use super::canvas::{Canvas, Care, Label, LabelSize};
use super::legend::LetteredKind;
use super::near::{self, WoodArea};
use super::pattern::{PatternNotes, dimension_along, draw_cuts, draw_grain};
use super::table::{NOTE, Table, TableRow};
use super::{Drawing, box_corners, edges, facts, legend, letters, marks, tool_marks};
use crate::holder::{Edge, MarkKind, Part, Pocket};
use crate::kernel::Contour;
use crate::length::Units;

/// From one place to the next along what is drawn, in mm.
const STEP: f64 = 2.0;

/// How far from what is drawn the farthest place of a line may lie, in mm.
const CLOSE: f64 = 0.05;

/// What pages show of a pattern.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PageView {
    /// From the part's mm to those of the pages laid side by side.
    pub turn: Affine,
    /// What single pages show, in mm of the pages.
    pub panes: Vec<Rect>,
    /// Where they are cut.
    pub seams: Vec<(Point, Point)>,
    /// What the marks along these take.
    pub marks: Vec<Rect>,
    /// Whether dimensions are wanted, where there is room.
    pub dimensions: bool,
}

/// A pattern for pages.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Printed {
    pub drawing: Drawing,
    /// Where the origin of the pages' mm lies in the drawing.
    pub origin: Vec2,
}

/// Places along all lines of a part that must be seen at full size, no two neighbors on one line further apart than 2 mm.
pub(crate) fn ink(part: &Part) -> Vec<Point> {
    let contours = part.region.contours().cloned();
    let pockets = part.pockets.iter().map(Pocket::on_the_part);
    let holes = part.drillings.iter().filter(|d| d.diameter > 0.0);
    let holes = holes.map(|d| Contour::circle(d.at, d.diameter / 2.0));
    let rings = contours.chain(pockets).chain(holes).map(|contour| {
        let mut ring = contour.flatten(CLOSE);
        ring.extend(ring.first().copied());
        ring
    });
    let lines = part.marks.iter().map(|mark| match mark.kind {
        MarkKind::Footprint { area, .. } => {
            let [first, others @ ..] = box_corners(area);
            [&[first], &others[..], &[first]].concat()
        }
        _ => mark.line().map(|(from, to)| vec![from, to]).unwrap_or_default(),
    });
    let centers = part.drillings.iter().map(|drilling| drilling.at);
    rings.chain(lines).flat_map(|line| stepped(&line)).chain(centers).collect()
}

/// The corners of a line, and places between them.
fn stepped(line: &[Point]) -> Vec<Point> {
    let stretches = line.windows(2).flat_map(|ends| {
        let steps = ((ends[1] - ends[0]).hypot() / STEP).ceil().clamp(1.0, 1e5);
        (0..steps as u32).map(move |i| ends[0].lerp(ends[1], f64::from(i) / steps))
    });
    stretches.chain(line.last().copied()).collect()
}

/// What the holes and slots of a part are called, and its wood: the same for its pattern and for what explains it.
pub(crate) struct LetteredPart {
    wood: WoodArea,
    kinds: Vec<LetteredKind>,
}

impl LetteredPart {
    pub(crate) fn of(part: &Part, units: Units) -> Self {
        let wood = WoodArea::new(&part.region);
        let kinds = legend::kinds(part, units, &wood);
        Self { wood, kinds }
    }
}

/// The pattern of `part` as `view` shows it, with no tables, and with dimensions where there is room for all of one side.
pub(crate) fn printed(
    (part, lettered): (&Part, &LetteredPart),
    units: Units,
    notes: PatternNotes<'_>,
    view: &PageView,
) -> Printed {
    let mut canvas = Canvas::default();
    let back = view.turn.inverse();
    let pane = |area: &Rect| box_corners(*area).map(|at| back * at);
    let seams: Vec<_> = view.seams.iter().map(|(a, b)| (back * *a, back * *b)).collect();
    let marks = view.marks.iter().map(|mark| back.transform_rect_bbox(*mark)).collect();
    canvas.confine(view.panes.iter().map(pane).collect(), seams, marks);
    draw_part(&mut canvas, (part, lettered), units, notes, view.dimensions);
    let title = title(part, notes.holder_title);
    let bounds = view.turn.transform_rect_bbox(canvas.bounds());
    // What is turned askew takes less room than the box round its own box.
    let panes = view.panes.iter().copied().reduce(|a, b| a.union(b)).unwrap_or(bounds);
    let area = bounds.inflate(0.5, 0.5).intersect(panes);
    let map = Affine::translate(-area.origin().to_vec2()) * view.turn;
    let items = canvas.into_items(map);
    let drawing = Drawing { title, width: area.width(), height: area.height(), items };
    Printed { drawing, origin: -area.origin().to_vec2() }
}

/// What a part is called where parts of several holders lie about.
pub(super) fn title(part: &Part, holder_title: &str) -> String {
    format!("{} of {holder_title}", part.name.replace('-', " "))
}

fn draw_part(
    canvas: &mut Canvas,
    (part, LetteredPart { wood, kinds }): (&Part, &LetteredPart),
    units: Units,
    notes: PatternNotes<'_>,
    dimensions: bool,
) {
    draw_cuts(canvas, part);
    marks::draw(canvas, part);
    let bounds = part.region.bounds();
    for edge in [Edge::Bottom, Edge::Left, Edge::Top, Edge::Right] {
        let name = edges::write(canvas, part, edge);
        let outside = name.filter(|name| !bounds.contains(name.center()));
        if dimensions && matches!(edge, Edge::Bottom | Edge::Left) {
            let (mut dimensioned, before) = (canvas.clone(), canvas.drawn());
            let taken = dimension_along(&mut dimensioned, (part, edge), units, kinds, outside);
            if taken && dimensioned.keeps_in(before) {
                *canvas = dimensioned;
            }
        }
    }
    legend::write_letters(canvas, kinds, wood);
    write_title(canvas, part, notes.holder_title, wood);
    marks::write_labels(canvas, part, wood);
    tool_marks::write(canvas, part, notes.tools, wood);
    letters::write(canvas, part, notes.letters, wood);
    draw_grain(canvas, part, wood);
}

/// The part's name on its wood, where there is room.
fn write_title(canvas: &mut Canvas, part: &Part, holder_title: &str, wood: &WoodArea) {
    let labels =
        [title(part, holder_title), part.name.replace('-', " ")].into_iter().flat_map(|text| {
            let label = Label::new(text, NOTE).bold();
            [label.clone(), label.upright(true)]
        });
    for label in labels {
        let size = LabelSize::of(&label);
        let on_wood = |place: Point| {
            box_corners(size.room(place)).into_iter().all(|corner| wood.contains(corner))
        };
        let place = near::within(part.region.bounds(), label.extent(), |place| {
            canvas.has_room_for(&size, place, Care::All) && on_wood(place)
        });
        if let Some(place) = place {
            return canvas.write(&label, place);
        }
    }
}

/// How high a table may be at its narrowest, in mm: it fits on any page, upright or turned.
const MOST_TABLE: f64 = 150.0;

/// A table that explains a pattern.
#[derive(Debug, Clone)]
pub(crate) struct PatternKey {
    title: String,
    table: Table,
}

impl PatternKey {
    /// The table so wide, in mm.
    pub(crate) fn drawn(&self, width: f64) -> Drawing {
        let mut canvas = Canvas::default();
        Table { width, ..self.table.clone() }.draw(&mut canvas, Point::ORIGIN);
        canvas.into_tight(self.title.clone()).0
    }
}

/// What a pattern is and what its letters mean: tables one below the other, to be drawn in some `widths` in mm, the
/// narrowest of which settles how much goes into one.
pub(crate) fn keys(
    (part, lettered): (&Part, &LetteredPart),
    units: Units,
    notes: PatternNotes<'_>,
    widths: &[f64],
) -> Vec<PatternKey> {
    let table = key((part, lettered), units, notes);
    let narrowest = widths.iter().copied().fold(table.width, f64::min);
    let title = title(part, notes.holder_title);
    let mut tables = Table { width: narrowest, ..table }.no_higher_than(MOST_TABLE);
    for more in tables.iter_mut().skip(1) {
        more.rows.insert(0, TableRow::wide(Label::new(format!("{title}, more"), NOTE).bold()));
    }
    tables.into_iter().map(|table| PatternKey { title: title.clone(), table }).collect()
}

fn key((part, lettered): (&Part, &LetteredPart), units: Units, notes: PatternNotes<'_>) -> Table {
    let mut table = facts::in_short(part, units, (notes.holder_title, notes.letters));
    let serves = notes.serves.iter();
    table.rows.extend(serves.map(|text| TableRow::wide(Label::new(text.as_str(), NOTE))));
    let holes = legend::table(&lettered.kinds);
    table.rows.extend(holes.into_iter().flat_map(|holes| holes.rows));
    table
}
