//! The plan of a sheet for the router: which part lies where. Drawn to a scale, for the eye; the
//! machine takes the DXF file.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::canvas::{Canvas, Care, Label};
use super::near::{self, WoodArea};
use super::table::{NOTE, wrap};
use super::{Drawing, Line, Path, dimension};
use crate::holder::Face;
use crate::kernel::{Contour, Region};
use crate::length::Units;
use crate::milling::{MillCut, MillJob, MillPath, MillWork};
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::RouterZero;

/// Scales to draw at, the first at which the sheet is short enough (ISO 5455).
const SCALES: [f64; 6] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// In mm, about as long as a wide screen shows it well.
pub(crate) const SCREEN: f64 = 500.0;

/// Letter sizes that a part's name is tried in, in mm.
const NAMES: [f64; 3] = [4.5, 3.5, 2.8];

/// Half the length of the tick across a bridge, in mm.
const TICK: f64 = 1.6;

/// Radius of the ring at the machine's zero, in mm.
const ZERO: f64 = 1.5;

/// Notes are no narrower than this, in mm.
const NARROWEST_NOTE: f64 = 110.0;

/// Letter size of one that is led to its part, in mm.
const LED: f64 = 2.8;

/// Letter size of the title, in mm.
const TITLE: f64 = 6.0;

/// What a plan of a sheet shows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SheetPlan<'p> {
    pub sheet: &'p RoutedSheet,
    /// What is done with the side up that is drawn.
    pub job: &'p MillJob,
    /// Whether that is its back, mirrored left to right.
    pub back: bool,
    pub zero: RouterZero,
    /// Of the figures.
    pub units: Units,
}

/// The plan of a sheet: parts with their names, the zone at its edges that the bit stays out of, where the machine's
/// zero is, what it is and how far it is filled; the sheet no longer than `longest` mm.
pub(crate) fn sheet(plan: &SheetPlan<'_>, longest: f64) -> Drawing {
    let SheetPlan { sheet, job, .. } = plan;
    let scale = scale(sheet.size.width.max(sheet.size.height), longest);
    let shrink = Affine::scale(1.0 / scale);
    let mut canvas = Canvas::default();
    let area = shrink.transform_rect_bbox(sheet.area());
    canvas.rectangle(Line::Scribe, area);
    canvas.rectangle(Line::Hidden, shrink.transform_rect_bbox(sheet.free_area()));
    let seen = if plan.back { shrink * job.turned_over() } else { shrink };
    let regions = sheet.parts.iter().map(|placed| (placed, placed.region().transformed(seen)));
    let mut parts: Vec<(&RoutedPiece, Region)> = regions.collect();
    if plan.back {
        // What is cut free later.
        let contours = parts.iter().flat_map(|(_, region)| region.contours());
        let contours: Vec<Contour> = contours.cloned().collect();
        contours.into_iter().for_each(|c| canvas.stroke(Line::Scribe, Path::Closed(c)));
    }
    for cut in &job.cuts {
        draw_cut(&mut canvas, cut, shrink, scale);
    }
    if let Some(pair) = &job.dowels {
        draw_dowels(&mut canvas, pair.at, pair.diameter, shrink, scale);
    }
    draw_zero(&mut canvas, shrink * plan.zero.of(sheet.area()));
    write_title(&mut canvas, plan, scale, area);
    // Those with least room choose first.
    parts.sort_by(|a, b| a.1.area().total_cmp(&b.1.area()));
    parts.retain(|(placed, region)| !write_name(&mut canvas, placed, region));
    let nameless: Vec<String> = parts.iter().map(|(placed, _)| placed.name()).collect();
    let below = (area.y0 - 7.0).min(canvas.bounds().y0 - 4.0);
    write_notes(&mut canvas, &notes(plan, &nameless), area, below, sheet.grain);
    let back = if plan.back { ", its back" } else { "" };
    canvas.into_drawing(format!(
        "{}, number {} of {}, laid out{back}",
        sheet.stock, sheet.number, sheet.of
    ))
}

/// A ring and a cross where the machine starts to count.
fn draw_zero(canvas: &mut Canvas, at: Point) {
    canvas.stroke(Line::Center, Path::Circle { center: at, radius: ZERO });
    for arm in [Vec2::new(2.0 * ZERO, 0.0), Vec2::new(0.0, 2.0 * ZERO)] {
        canvas.line(Line::Scribe, at - arm, at + arm);
    }
}

fn draw_dowels(canvas: &mut Canvas, at: [Point; 2], diameter: f64, shrink: Affine, scale: f64) {
    for center in at.map(|center| shrink * center) {
        canvas.stroke(Line::Hidden, Path::Circle { center, radius: diameter / 2.0 / scale });
    }
}

/// The scale to draw a sheet of this length at, no longer than `longest`.
pub(super) fn scale(length: f64, longest: f64) -> f64 {
    SCALES.into_iter().find(|scale| length / scale <= longest).unwrap_or(100.0)
}

/// A cut as the machine does it; a tick across where a bridge stands, a dot where the bit goes down.
fn draw_cut(canvas: &mut Canvas, cut: &MillCut, shrink: Affine, scale: f64) {
    match &cut.path {
        MillPath::Closed(contour) => {
            canvas.stroke(line(cut.work), Path::Closed(contour.transformed(shrink)));
        }
        MillPath::Broken { runs, gaps } => {
            for run in runs {
                canvas.stroke(line(cut.work), Path::Open(run.clone()).laid(shrink));
            }
            for gap in gaps {
                canvas.stroke(Line::Scribe, Path::Open(gap.clone()).laid(shrink));
            }
        }
        MillPath::Circle { center, radius } => {
            let path = Path::Circle { center: shrink * *center, radius: radius / scale };
            canvas.stroke(line(cut.work), path);
        }
    }
    for bridge in &cut.bridges {
        let (at, across) = (shrink * bridge.at, bridge.way.turn_90() * TICK);
        canvas.line(Line::Scribe, at - across, at + across);
    }
}

fn line(work: MillWork) -> Line {
    match work {
        MillWork::Outline { .. } => Line::Outline,
        MillWork::Opening { .. } => Line::Opening,
        MillWork::Pocket => Line::Pocket,
        MillWork::Drill { .. } | MillWork::Sink { .. } | MillWork::Dowel { .. } => Line::Drilling,
    }
}

/// Writes the piece's name on its wood, else beside it. Whether there was room.
fn write_name(canvas: &mut Canvas, placed: &RoutedPiece, region: &Region) -> bool {
    let (bounds, wood) = (region.bounds(), WoodArea::new(region));
    let labels = NAMES.iter().flat_map(|size| {
        let label = Label::new(placed.name(), *size);
        [label.clone().upright(bounds.height() > bounds.width()), label]
    });
    for label in labels {
        let room = label.room(Point::ORIGIN).size() + Size::new(2.0, 2.0);
        let found = near::within(bounds, room, |place| {
            wood.contains(place) && canvas.has_room(&label, place, Care::All)
        });
        if let Some(place) = found {
            canvas.write(&label, place);
            return true;
        }
    }
    lead_out(canvas, &Label::new(placed.name(), LED), bounds, &wood)
}

/// Writes a name beside its piece, with a leader that ends in a dot on the wood. Whether there was
/// room.
fn lead_out(canvas: &mut Canvas, label: &Label, bounds: Rect, wood: &WoodArea) -> bool {
    let dot = Size::new(2.0, 2.0);
    let clear = |foot: &Point| canvas.is_free(Rect::from_center_size(*foot, dot), Care::All);
    let on_wood: Vec<Point> = feet(bounds).filter(|foot| wood.contains(*foot)).collect();
    let best: Vec<Point> = on_wood.iter().copied().filter(clear).collect();
    let half = near::half_of(label);
    let lead = [best, on_wood].iter().find_map(|feet| {
        near::lead(canvas, feet, half, |middle| canvas.has_room(label, middle, Care::All))
    });
    if let Some(lead) = &lead {
        lead.draw(canvas);
        canvas.write(label, lead.middle);
    }
    lead.is_some()
}

/// Places all over an area from which a leader may begin, those in its middle first.
fn feet(area: Rect) -> impl Iterator<Item = Point> {
    const SHARES: [f64; 5] = [0.5, 0.3, 0.7, 0.15, 0.85];
    let at = move |x: f64, y: f64| area.origin() + Vec2::new(x * area.width(), y * area.height());
    SHARES.into_iter().flat_map(move |x| SHARES.map(|y| at(x, y)))
}

/// What it is, above.
fn write_title(canvas: &mut Canvas, plan: &SheetPlan<'_>, scale: f64, area: Rect) {
    let SheetPlan { sheet, units, .. } = plan;
    let back = if plan.back { ", the back" } else { "" };
    let title =
        format!("{}, {}, number {} of {}{back}", sheet.stock, sheet.word(), sheet.number, sheet.of);
    let facts = format!(
        "{} × {}, {} thick · yield {:.0} % · drawn 1 : {scale}",
        units.length(sheet.size.width),
        units.length(sheet.size.height),
        units.length(sheet.thickness),
        100.0 * sheet.filling()
    );
    canvas.write_from(&Label::new(facts, NOTE), Point::new(area.x0, area.y1 + 4.0));
    canvas.write_from(&Label::new(title, TITLE).bold(), Point::new(area.x0, area.y1 + 11.0));
}

/// Writes `notes` below `area`, the first at `y`; with `grain` an arrow along it at the right, in the
/// first row that has room.
pub(super) fn write_notes(canvas: &mut Canvas, notes: &[String], area: Rect, y: f64, grain: bool) {
    let rows = || (0..400).map(|row| y - 1.6 * NOTE * f64::from(row));
    let width = area.width().max(NARROWEST_NOTE);
    let lines = notes.iter().flat_map(|note| wrap(note, NOTE, false, width));
    for (line, y) in lines.zip(rows()) {
        canvas.write_from(&Label::new(line, NOTE), Point::new(area.x0, y));
    }
    let mut ends = rows().map(|y| Point::new(area.x1, y + 1.0)).filter(|_| grain);
    if let Some(end) = ends.find(|end| canvas.is_free(grain_room(*end), Care::All)) {
        draw_grain(canvas, end);
    }
}

fn notes(plan: &SheetPlan<'_>, nameless: &[String]) -> Vec<String> {
    let SheetPlan { sheet, job, units, .. } = plan;
    let mut notes = vec![format!(
        "{}-job.md tells what is done, layer by layer. The ring with a cross is the zero.",
        sheet.file
    )];
    if sheet.hold_down > 0.0 {
        notes.push(format!(
            "Hold the sheet down between the dashed line and the edge, {} wide: the bit stays clear of it.",
            units.length(sheet.hold_down)
        ));
    }
    let on_back = sheet.parts.iter().filter(|piece| piece.part.up() == Face::Back);
    let on_back: Vec<String> = on_back.map(RoutedPiece::name).collect();
    if !plan.back && !on_back.is_empty() {
        notes.push(format!("Back up: {}.", on_back.join(", ")));
    }
    if job.dowels.is_some() {
        notes.push(
            "Dashed rings are the holes with dowels that keep the turned sheet in place."
                .to_owned(),
        );
    }
    if job.cuts.iter().any(|cut| !cut.bridges.is_empty()) {
        notes.push("Ticks across a line are bridges: wood stays there.".to_owned());
    }
    if !nameless.is_empty() {
        notes.push(format!("Too small to be named here: {}.", nameless.join(", ")));
    }
    notes
}

/// Length of the arrow along the grain, and how far below it its name reaches, in mm.
const GRAIN: Size = Size::new(26.0, 5.5);

/// What the arrow takes, its right end at `end`.
fn grain_room(end: Point) -> Rect {
    Rect::new(end.x - GRAIN.width, end.y - GRAIN.height, end.x, end.y + 1.5)
}

/// An arrow along the grain with its name, its right end at `end`.
fn draw_grain(canvas: &mut Canvas, end: Point) {
    let start = end - (GRAIN.width, 0.0);
    canvas.line(Line::Furniture, start, end);
    dimension::arrow(canvas, start, (1.0, 0.0).into());
    dimension::arrow(canvas, end, (-1.0, 0.0).into());
    canvas.write(&Label::new("grain", NOTE), start.midpoint(end) - (0.0, 3.4));
}
