//! The full-size pattern of a part: what to print, glue down or trace.

use kurbo::{Point, Rect, Size, Vec2};

use super::canvas::{Canvas, Care, Label};
use super::dimension::{self, Base, Chain, Side};
use super::hatch::hatch;
use super::near::{self, WoodArea};
use super::table::{NOTE, Table};
use super::{
    Drawing, Line, Path, box_corners, edges, facts, legend, letters, marks, opening_figures,
    section, slope, stations, tool_marks,
};
use crate::holder::{Drilling, Edge, Face, Grain, HungTool, Part, Purpose};
use crate::length::Units;
use crate::tolerance;

/// White between the part with its dimensions and the tables, in mm.
const APART: f64 = 8.0;

/// From the part to where its dimensions begin, in mm, where no name stands between.
const FIRST: f64 = 3.0;

/// More radii than anybody would set a compass to.
const MOST_RADII: usize = 6;

/// How far a center cross runs past its hole, in mm.
const CROSS: f64 = 2.0;

/// What a pattern says that its part does not know.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct PatternNotes<'n> {
    /// What a person calls the holder.
    pub holder_title: &'n str,
    /// The letters of the part's pieces in the cutting plan, in its order; none of what hangs already.
    pub letters: &'n [&'n str],
    /// The tools of the holder.
    pub tools: &'n [HungTool],
    /// What else is made by it, and how.
    pub serves: &'n [String],
}

/// The pattern of `part` at full size, figures in `units`.
///
/// The part is drawn as seen from its show face; beside it stand dimensions, a bevel's section,
/// and tables that say what it is and what its holes are.
pub(crate) fn pattern(part: &Part, units: Units, notes: PatternNotes<'_>) -> Drawing {
    let PatternNotes { holder_title, letters, tools, .. } = notes;
    let mut canvas = Canvas::default();
    let wood = WoodArea::new(&part.region);
    let kinds = legend::kinds(part, units, &wood);
    draw_cuts(&mut canvas, part);
    marks::draw(&mut canvas, part);
    draw_dimensions(&mut canvas, part, units, &kinds);
    for edge in [Edge::Top, Edge::Right] {
        edges::write(&mut canvas, part, edge);
    }
    legend::write_letters(&mut canvas, &kinds, &wood);
    marks::write_labels(&mut canvas, part, &wood);
    write_radii(&mut canvas, part, units);
    slope::draw(&mut canvas, part, units, &wood);
    tool_marks::write(&mut canvas, part, tools, &wood);
    opening_figures::write(&mut canvas, part, units, &wood);
    draw_grain(&mut canvas, part, &wood);
    letters::write(&mut canvas, part, letters, &wood);
    if let Some(bevel) = part.bevel {
        section::draw(&mut canvas, part, bevel, units);
    }
    draw_tables(
        &mut canvas,
        &facts::table(part, units, (holder_title, letters)),
        legend::table(&kinds).as_ref(),
    );
    canvas.into_drawing(format!("{} of {holder_title}, full size", part.name))
}

/// Outline, openings, milled areas, holes with their crosses, the far edge of a bevel.
pub(super) fn draw_cuts(canvas: &mut Canvas, part: &Part) {
    canvas.stroke(Line::Outline, Path::Closed(part.region.outline().clone()));
    for opening in part.region.openings() {
        canvas.stroke(Line::Opening, Path::Closed(opening.clone()));
    }
    for pocket in &part.pockets {
        let line = if pocket.face == Face::Back { Line::Hidden } else { Line::Pocket };
        canvas.stroke(line, Path::Closed(pocket.on_the_part()));
        hatch(canvas, &box_corners(pocket.area));
    }
    for drilling in &part.drillings {
        let line = if is_hidden(drilling) { Line::Hidden } else { Line::Drilling };
        let (center, radius) = (drilling.at, drilling.diameter / 2.0);
        canvas.stroke(line, Path::Circle { center, radius });
    }
    draw_crosses(canvas, part);
    let area = part.region.bounds();
    if part.is_round() {
        let y = area.center().y;
        canvas.yielding(Line::Center, Point::new(area.x0, y), Point::new(area.x1, y));
    }
    if let Some(bevel) = part.bevel
        && let Some(y) = section::bevel_line(part, bevel)
    {
        let line = if bevel.full_face == Face::Show { Line::Hidden } else { Line::Saw };
        canvas.line(line, Point::new(area.x0, y), Point::new(area.x1, y));
    }
}

/// Whether the hole cannot be seen from the show face.
fn is_hidden(drilling: &Drilling) -> bool {
    drilling.face == Face::Back
        && (drilling.depth.is_some() || drilling.purpose == Purpose::Countersink)
}

/// One cross for each center, sized on its largest hole. Each arm starts at the center, so that
/// the dashes cross there (ISO 128).
fn draw_crosses(canvas: &mut Canvas, part: &Part) {
    let mut centers: Vec<(Point, f64)> = Vec::new();
    for drilling in &part.drillings {
        let radius = drilling.diameter / 2.0;
        let known =
            centers.iter_mut().find(|(at, _)| (*at - drilling.at).hypot() < tolerance::COORDINATE);
        match known {
            Some((_, largest)) => *largest = largest.max(radius),
            None => centers.push((drilling.at, radius)),
        }
    }
    for (center, radius) in centers {
        for arm in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            canvas.yielding(Line::Center, center, center + Vec2::from(arm) * (radius + CROSS));
        }
    }
}

/// Lengths below, widths at the left, each with the name of that edge inside them.
fn draw_dimensions(canvas: &mut Canvas, part: &Part, units: Units, kinds: &[legend::LetteredKind]) {
    for edge in [Edge::Bottom, Edge::Left] {
        let name = edges::write(canvas, part, edge);
        dimension_along(canvas, (part, edge), units, kinds, name);
    }
}

/// The dimensions beside the bottom edge or the left one, beyond the edge's name. Whether pages take them: some may be
/// drawn where they do not.
pub(super) fn dimension_along(
    canvas: &mut Canvas,
    (part, edge): (&Part, Edge),
    units: Units,
    kinds: &[legend::LetteredKind],
    name: Option<Rect>,
) -> bool {
    let area = part.region.bounds();
    let overall = |length: f64| units.bare_length(length);
    let (base, length, stations, figure) = if edge == Edge::Left {
        let round = if part.is_round() { "Ø " } else { "" };
        let figure = format!("{round}{}", overall(area.height()));
        let base = Base { side: Side::Left, edge: area.x0 };
        (base, area.height(), stations::across(part, kinds), figure)
    } else {
        let base = Base { side: Side::Below, edge: area.y0 };
        (base, area.width(), stations::along(part, kinds, units), overall(area.width()))
    };
    let taken = |n: Rect| if edge == Edge::Left { area.x0 - n.x0 } else { area.y0 - n.y0 };
    let mut chains = chains(&stations, length, units);
    chains.push(Chain::single(0.0, length, figure));
    let start = name.map_or(FIRST, |name| taken(name) + 1.0);
    dimension::stack(canvas, base, start, &chains, name).is_some()
}

fn chains(lines: &[stations::Stations], end: f64, units: Units) -> Vec<Chain> {
    let chain = |line: &stations::Stations| {
        Chain::through(&line.places, end, line.runs, units).named(&line.about)
    };
    lines.iter().map(chain).collect()
}

/// A rounded corner: the middle of its arc and the way out from there.
struct RoundedCorner {
    at: Point,
    out: Vec2,
    radius: f64,
}

/// Each radius of the outline's corners once, with a leader to the corner furthest up and right,
/// where least else is drawn.
fn write_radii(canvas: &mut Canvas, part: &Part, units: Units) {
    let mut corners = corners(part);
    corners.sort_by(|a, b| (b.out.x + b.out.y).total_cmp(&(a.out.x + a.out.y)));
    let same = |a: f64, b: f64| (a - b).abs() < 0.01;
    let mut sorts: Vec<(&RoundedCorner, usize)> = Vec::new();
    for corner in &corners {
        match sorts.iter_mut().find(|(first, _)| same(first.radius, corner.radius)) {
            Some((_, count)) => *count += 1,
            None => sorts.push((corner, 1)),
        }
    }
    // An outline of many radii was traced: it is followed, not constructed.
    if sorts.len() > MOST_RADII {
        return;
    }
    for (corner, count) in sorts {
        let radius = format!("R {}", units.bare_length(corner.radius));
        let text = if count > 1 { format!("{count} × {radius}") } else { radius };
        write_radius(canvas, corner, &Label::new(text, dimension::FIGURE));
    }
}

/// Corners are arcs that bulge outward by less than a half turn; ends of slots bulge inward.
fn corners(part: &Part) -> Vec<RoundedCorner> {
    let arcs = part.region.outline().segments().filter_map(|s| s.arc());
    arcs.filter(|arc| (0.15..=2.4).contains(&arc.sweep))
        .map(|arc| {
            let out = Vec2::from_angle(arc.start_angle + arc.sweep / 2.0);
            RoundedCorner { at: arc.center + out * arc.radius, out, radius: arc.radius }
        })
        .collect()
}

fn write_radius(canvas: &mut Canvas, corner: &RoundedCorner, label: &Label) {
    let lengths = [7.0, 10.0, 14.0, 19.0, 25.0];
    let spots = [1.0, -1.0].into_iter().flat_map(|way| lengths.map(|length| way * length));
    let spots: Vec<(f64, Point, Point)> = spots
        .map(|length| {
            let end = corner.at + corner.out * length;
            let aside = (corner.out.x * length).signum() * (label.extent().width / 2.0 + 1.0);
            (length.signum(), end, Point::new(end.x + aside, end.y))
        })
        .collect();
    let free = |care| {
        spots.iter().find(|(_, end, place)| {
            canvas.has_room(label, *place, care) && canvas.can_lead(corner.at, *end)
        })
    };
    let found = free(Care::All).or_else(|| free(Care::Firm)).copied();
    if let Some((way, end, place)) = found {
        canvas.line(Line::Leader, corner.at, end);
        dimension::arrow(canvas, corner.at, corner.out * way);
        canvas.write(label, place);
    } else {
        near::write_around(canvas, label, corner.at, 0.0, None);
    }
}

/// An arrow along the grain with its name above it: on the wood where there is room, else to the
/// right of everything.
pub(super) fn draw_grain(canvas: &mut Canvas, part: &Part, wood: &WoodArea) {
    let upright = match part.grain {
        Grain::Any => return,
        Grain::Length => false,
        Grain::Width => true,
    };
    let label = Label::new("grain", NOTE).upright(upright);
    let area = part.region.bounds();
    let found = [40.0, 26.0, 16.0].into_iter().find_map(|length| {
        let extent = grain_extent(length, upright);
        let place = near::within(area, extent, |place| {
            let room = Rect::from_center_size(place, extent);
            wood.contains(place) && canvas.is_free(room.inset(0.8), Care::All)
        })?;
        Some((length, place))
    });
    let (length, place) = found.unwrap_or_else(|| {
        let extent = grain_extent(16.0, upright);
        let x = canvas.bounds().x1 + 4.0 + extent.width / 2.0;
        (16.0, Point::new(x, area.center().y))
    });
    // Above the arrow is up, or for an upright one to the left.
    let (along, above) = if upright {
        (Vec2::new(0.0, 1.0), Vec2::new(-1.0, 0.0))
    } else {
        (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0))
    };
    let middle = place - above * 1.8;
    let ends = [middle - along * (length / 2.0), middle + along * (length / 2.0)];
    canvas.line(Line::Furniture, ends[0], ends[1]);
    dimension::arrow(canvas, ends[0], along);
    dimension::arrow(canvas, ends[1], -along);
    canvas.write(&label, place + above * 1.2);
}

/// Room for an arrow of `length` with its name.
fn grain_extent(length: f64, upright: bool) -> Size {
    const HEIGHT: f64 = 5.2;
    if upright { Size::new(HEIGHT, length) } else { Size::new(length, HEIGHT) }
}

/// The tables: beside a tall drawing, below others; next to one another where that is no wider
/// than the drawing.
fn draw_tables(canvas: &mut Canvas, facts: &Table, holes: Option<&Table>) {
    let area = canvas.bounds();
    let beside = area.height() > area.width();
    let corner = if beside {
        Point::new(area.x1 + APART, area.y1)
    } else {
        Point::new(area.x0, area.y0 - APART)
    };
    facts.draw(canvas, corner);
    let Some(holes) = holes else { return };
    let in_row = !beside && facts.width + APART + holes.width <= area.width();
    let step = if in_row {
        Vec2::new(facts.width + APART / 2.0, 0.0)
    } else {
        Vec2::new(0.0, -facts.height() - APART / 2.0)
    };
    holes.draw(canvas, corner + step);
}
