//! A sheet with its parts as one DXF file.

use kurbo::{Affine, BezPath, Point, Rect, Shape as _, Size, Vec2};

use super::{Dialect, DxfText, Entity, Shape, WordsAt, finish, marks, milled, notes};
use crate::holder::Part;
use crate::kernel::{Contour, Region, Vertex};
use crate::length::Units;
use crate::milling::{JobLayer, MillJob};
use crate::router::{RoutedPiece, RoutedSheet};
use crate::shop::RouterZero;

/// Heights that a part's name is tried in, in mm: sizes of ISO 3098, and two for small parts.
const NAME_HEIGHTS: [f64; 5] = [7.0, 5.0, 3.5, 2.5, 1.8];

/// Width of a letter of the plain DXF font over its height, spacing included.
const LETTER: f64 = 1.0;

/// The DXF file of a sheet with its parts in place as it is worked in `job`, ASCII throughout. With `back` it is the
/// sheet turned over.
///
/// The layers are those of a part's own file, but for what is written on it: of words each piece has its name.
pub(crate) fn write_sheet(
    sheet: &RoutedSheet,
    back: bool,
    job: &MillJob,
    zero: RouterZero,
    options: Dialect,
) -> String {
    let mut entities: Vec<Entity> = edge(sheet).into_iter().collect();
    let over = if back { job.turned_over() } else { Affine::IDENTITY };
    for placed in &sheet.parts {
        entities.push(name(placed, over));
        if !back {
            entities.extend(marked(placed));
        }
    }
    entities.extend(milled::entities(job));
    entities.extend(notes::above(lines(sheet, back, job, options.units), sheet.area()));
    finish(entities, job, zero, options)
}

/// The edge of the sheet, unless it has no size.
fn edge(sheet: &RoutedSheet) -> Option<Entity> {
    let Size { width, height } = sheet.size;
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let contour = Contour::new(corners.map(|(x, y)| Vertex::line(x, y)))?;
    Some(Entity { layer: JobLayer::Sheet, shape: Shape::Closed(contour) })
}

/// What is scribed on a piece.
fn marked(placed: &RoutedPiece) -> impl Iterator<Item = Entity> {
    let marks = marks::entities(&placed.part, placed.part.up(), placed.map());
    marks.into_iter().filter(|entity| entity.layer != JobLayer::Note)
}

/// The piece's name on its wood, as large as there is room for, level or upright on the sheet.
fn name(placed: &RoutedPiece, over: Affine) -> Entity {
    let words = placed.name();
    let letters = words.chars().count().max(1) as f64;
    let ground = Ground::new(placed, over);
    let tries = NAME_HEIGHTS.iter().flat_map(|height| [(*height, 0.0), (*height, 90.0)]);
    let found = tries.clone().find_map(|(height, turn)| {
        let run = Size::new(letters * LETTER * height, height);
        let extent = if turn == 0.0 { run } else { Size::new(run.height, run.width) };
        ground.room(extent + Size::new(height, height)).map(|at| (at, height, turn))
    });
    // A part too small for any words still has a name, across its middle.
    let smallest = NAME_HEIGHTS.into_iter().fold(f64::INFINITY, f64::min);
    let (at, height, turn) = found.unwrap_or((ground.bounds.center(), smallest, 0.0));
    Entity {
        layer: JobLayer::Note,
        shape: Shape::Text(DxfText { at, words, height, turn, place: WordsAt::Middle }),
    }
}

/// The wood of a piece on its sheet.
struct Ground {
    bounds: Rect,
    /// The outline, then openings and holes.
    contours: Vec<BezPath>,
    /// All their sides.
    edges: Vec<(Point, Point)>,
}

impl Ground {
    fn new(placed: &RoutedPiece, over: Affine) -> Self {
        let region = with_drillings(&placed.part).transformed(over * placed.map());
        let mut contours = Vec::new();
        let mut edges = Vec::new();
        for contour in region.contours() {
            let points = contour.flatten(0.2);
            let next = points.iter().copied().cycle().skip(1);
            edges.extend(points.iter().copied().zip(next));
            contours.push(polygon(&points));
        }
        Self { bounds: region.bounds(), contours, edges }
    }

    /// The place nearest to the middle where a box of `extent` lies on wood alone.
    fn room(&self, extent: Size) -> Option<Point> {
        const STEPS: i32 = 16;
        let slack = self.bounds.size() - extent;
        if slack.width < 0.0 || slack.height < 0.0 {
            return None;
        }
        let steps = || (-STEPS..=STEPS).map(|i| 0.5 * f64::from(i) / f64::from(STEPS));
        let mut offsets: Vec<Vec2> = steps()
            .flat_map(|x| steps().map(move |y| Vec2::new(x * slack.width, y * slack.height)))
            .collect();
        offsets.sort_by(|a, b| a.hypot2().total_cmp(&b.hypot2()));
        let places = offsets.into_iter().map(|offset| self.bounds.center() + offset);
        places.into_iter().find(|at| self.is_free(Rect::from_center_size(*at, extent)))
    }

    fn is_free(&self, area: Rect) -> bool {
        let mut within = self.contours.iter().map(|contour| contour.contains(area.center()));
        within.next() == Some(true)
            && within.all(|is_in_hole| !is_in_hole)
            && !self.edges.iter().any(|(a, b)| crosses(area, *a, *b))
    }
}

fn polygon(points: &[Point]) -> BezPath {
    let mut path = BezPath::new();
    for (i, point) in points.iter().enumerate() {
        if i == 0 { path.move_to(*point) } else { path.line_to(*point) }
    }
    path.close_path();
    path
}

/// The part's region with its holes as openings.
fn with_drillings(part: &Part) -> Region {
    let holes = part.drillings.iter();
    let holes = holes.map(|d| Contour::circle(d.at, d.diameter / 2.0));
    let openings = part.region.openings().iter().cloned().chain(holes);
    Region::new(part.region.outline().clone(), openings.collect())
}

/// Whether the line from `a` to `b` comes into `area`: its boxes meet, and the corners of the
/// area lie on both sides of it.
fn crosses(area: Rect, a: Point, b: Point) -> bool {
    if !area.overlaps(Rect::from_points(a, b)) {
        return false;
    }
    let corners = [(area.x0, area.y0), (area.x1, area.y0), (area.x1, area.y1), (area.x0, area.y1)];
    let sides = corners.map(|(x, y)| (b - a).cross(Point::new(x, y) - a));
    !(sides.iter().all(|s| *s > 0.0) || sides.iter().all(|s| *s < 0.0))
}

fn lines(sheet: &RoutedSheet, back: bool, job: &MillJob, units: Units) -> Vec<String> {
    let length = |mm| notes::plain_length(units, mm);
    let kind = sheet.word();
    let mut lines = vec![
        format!("{}, {kind}, number {} of {}", sheet.stock, sheet.number, sheet.of),
        format!(
            "{} by {}, {} thick",
            length(sheet.size.width),
            length(sheet.size.height),
            length(sheet.thickness)
        ),
    ];
    if sheet.grain {
        lines.push("grain from left to right".to_owned());
    }
    if back {
        lines.push("the back: turned over like a page, left and right changed".to_owned());
    }
    lines.push("layers and lines stand in the order they are cut".to_owned());
    lines.extend(notes::course(job, units));
    lines.push(format!("lengths in {}", units.symbol()));
    lines
}
