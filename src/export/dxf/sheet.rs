//! A sheet with its parts as one DXF file.

use kurbo::{BezPath, Point, Rect, Shape as _, Size, Vec2};

use super::{Dialect, DxfLayer, DxfText, Entity, Follow, Shape, WordsAt, file, marks, notes};
use super::{drillings, openings, outline, pockets};
use crate::holder::Part;
use crate::kernel::{Contour, Region, Vertex};
use crate::length::Units;
use crate::router::{Bridges, RoutedPiece, RoutedSheet, bridged};

/// Heights that a part's name is tried in, in mm: sizes of ISO 3098, and two for small parts.
const NAME_HEIGHTS: [f64; 5] = [7.0, 5.0, 3.5, 2.5, 1.8];

/// Width of a letter of the plain DXF font over its height, spacing included.
const LETTER: f64 = 1.0;

/// Which lines of a sheet the machine is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum SheetFollow<'a> {
    /// The true edges of the parts.
    Edges,
    /// The path of the bit's center: the regions of the sheet's parts, in their order, moved out
    /// of the wood by half of `bit` mm.
    BitCenter { regions: &'a [Region], bit: f64 },
}

/// The DXF file of a sheet with its parts in place, ASCII throughout; the sheet's lower left
/// corner is at the origin.
///
/// The layers are those of a part's own file, but for what is written on it: of words each piece
/// has its name. Where bridges are left, outlines are cut in stretches that are not closed, and
/// what lies between them is on the bridges' layer.
pub(crate) fn write_sheet(
    sheet: &RoutedSheet,
    follow: SheetFollow<'_>,
    options: Dialect,
) -> String {
    let mut entities: Vec<Entity> = edge(sheet).into_iter().collect();
    for (index, placed) in sheet.parts.iter().enumerate() {
        entities.extend(piece(placed, follow.of(index), sheet.bridges));
    }
    entities.extend(notes::above(lines(sheet, follow.of(0), options.units), sheet.area()));
    file::write(&entities, sheet.area(), options)
}

impl<'a> SheetFollow<'a> {
    fn of(self, index: usize) -> Follow<'a> {
        match self {
            Self::Edges => Follow::Edges,
            Self::BitCenter { regions, bit } => {
                regions.get(index).map_or(Follow::Edges, |region| Follow::BitCenter { region, bit })
            }
        }
    }
}

/// The edge of the sheet, unless it has no size.
fn edge(sheet: &RoutedSheet) -> Option<Entity> {
    let Size { width, height } = sheet.size;
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
    let contour = Contour::new(corners.map(|(x, y)| Vertex::line(x, y)))?;
    Some(Entity { layer: DxfLayer::Sheet, shape: Shape::Closed(contour) })
}

fn piece<'a>(
    placed: &'a RoutedPiece,
    follow: Follow<'a>,
    bridges: Bridges,
) -> impl Iterator<Item = Entity> {
    let region = follow.region(&placed.part);
    let mut entities = outline_with(region, bridges);
    entities.extend(openings(region));
    entities.extend(drillings(&placed.part));
    entities.extend(pockets(&placed.part));
    let marks = marks::entities(&placed.part.marks);
    entities.extend(marks.into_iter().filter(|entity| entity.layer != DxfLayer::Note));
    let map = placed.map();
    let turned = entities.into_iter().map(move |entity| entity.transformed(map));
    turned.chain(std::iter::once(name(placed)))
}

fn outline_with(region: &Region, bridges: Bridges) -> Vec<Entity> {
    let Some(bridged) = bridged(region.outline(), bridges) else { return vec![outline(region)] };
    let on = |layer| move |line| Entity { layer, shape: Shape::Open(line) };
    let runs = bridged.runs.into_iter().map(on(DxfLayer::Outline));
    runs.chain(bridged.gaps.into_iter().map(on(DxfLayer::Bridge))).collect()
}

/// The piece's name on its wood, as large as there is room for, level or upright on the sheet.
fn name(placed: &RoutedPiece) -> Entity {
    let words = placed.name();
    let letters = words.chars().count().max(1) as f64;
    let ground = Ground::new(placed);
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
        layer: DxfLayer::Note,
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
    fn new(placed: &RoutedPiece) -> Self {
        let region = with_drillings(&placed.part).transformed(placed.map());
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

fn lines(sheet: &RoutedSheet, follow: Follow<'_>, units: Units) -> Vec<String> {
    let length = |mm| notes::plain_length(units, mm);
    let kind = if sheet.offcut { "offcut" } else { "sheet" };
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
    lines.extend([
        "cut parts inside an opening first, then the openings, then the outlines".to_owned(),
        notes::course(follow, units),
        format!("lengths in {}", units.symbol()),
    ]);
    lines
}
