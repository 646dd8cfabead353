//! Which tool goes where: its number at its slot, hole or bay, where tools are not all alike.

use kurbo::{Point, Vec2};

use super::canvas::{Canvas, Label};
use super::near::{self, WoodArea};
use super::opening_figures::open_run;
use crate::holder::{Drilling, Feature, HungTool, Part, Purpose, Space};
use crate::kernel::vector::minus;
use crate::tolerance::COORDINATE;

/// Letter size, in mm.
const SIZE: f64 = 3.0;

/// How near to a tool's body the middle of its slot is, and to a face what a tool rests on, in mm.
const TOUCHING: f64 = 1.0;

/// How much of a slot, from its mouth in, a number may stand beside, in mm.
const MOUTH: f64 = 30.0;

/// Writes the number of each tool where it goes, on the wood where there is room.
pub(super) fn write(canvas: &mut Canvas, part: &Part, tools: &[HungTool], wood: &WoodArea) {
    if all_alike(tools) {
        return;
    }
    for tool in tools {
        let label = Label::new(format!("tool {}", tool.number), SIZE);
        match (opening(part, tool), rest(part, tool)) {
            (Some((at, feature)), _) => write_at(canvas, &label, part, (at, feature), wood),
            (None, Some(at)) => drop(near::write_around(canvas, &label, at, 0.0, Some(wood))),
            (None, None) => {}
        }
    }
}

fn write_at(
    canvas: &mut Canvas,
    label: &Label,
    part: &Part,
    (at, feature): (Point, Feature),
    wood: &WoodArea,
) {
    let half = feature.size() / 2.0;
    let beside_mouth = open_run(part, wood, at, feature).is_some_and(|open| {
        let mouth = at + open.way * open.run;
        let inner = mouth - open.way * open.run.min(MOUTH);
        let aside = open.way.turn_90() * half;
        [aside, -aside]
            .into_iter()
            .any(|aside: Vec2| near::write_between(canvas, label, mouth + aside, inner + aside))
    });
    if !beside_mouth {
        near::write_around(canvas, label, at, half, Some(wood));
    }
}

/// Whether one could hang in the place of any other.
fn all_alike(tools: &[HungTool]) -> bool {
    let Some(first) = tools.first() else { return true };
    tools.iter().all(|tool| is_like(first, tool))
}

/// Whether two look alike, each seen from where it hangs.
fn is_like(a: &HungTool, b: &HungTool) -> bool {
    let corners = |tool: &HungTool| -> Vec<Space> {
        let corners = tool.body.iter().flat_map(|solid| solid.prism.corners());
        corners.map(|at| minus(at, tool.at)).collect()
    };
    let (a, b) = (corners(a), corners(b));
    let same = |(a, b): (&Space, &Space)| (0..3).all(|i| (a[i] - b[i]).abs() < COORDINATE);
    a.len() == b.len() && a.iter().zip(&b).all(same)
}

/// The slot or opening of the part that the tool goes through.
fn opening(part: &Part, tool: &HungTool) -> Option<(Point, Feature)> {
    let takes = |feature: &Feature| {
        let slot = matches!(feature, Feature::Slot { .. } | Feature::Notch { .. });
        slot || matches!(feature, Feature::RoundOpening { .. } | Feature::TracedOpening { .. })
    };
    let rows = part.rows.iter().filter(|row| takes(&row.feature));
    let cut = rows.flat_map(|row| row.centers.iter().map(|at| (*at, row.feature)));
    let bored = part.drillings.iter().filter(|drilling| drilling.purpose == Purpose::Tool);
    let bored = bored.map(|Drilling { at, purpose, diameter, .. }| {
        (*at, Feature::Hole { purpose: *purpose, diameter: *diameter })
    });
    let mut openings = cut.chain(bored);
    openings.find(|(at, _)| {
        let mut places = part.places.iter();
        places.any(|place| passes(tool, place.to_space(*at, part.stock.thickness / 2.0)))
    })
}

fn passes(tool: &HungTool, at: Space) -> bool {
    tool.body.iter().any(|solid| {
        let (low, high) = solid.prism.bounds();
        (0..3).all(|i| low[i] - TOUCHING < at[i] && at[i] < high[i] + TOUCHING)
    })
}

/// Where on a face of the part the tool rests.
fn rest(part: &Part, tool: &HungTool) -> Option<Point> {
    let on_part = part.places.iter().map(|place| place.to_piece(tool.at));
    let on_face =
        |depth: f64| depth.abs() < TOUCHING || (depth - part.stock.thickness).abs() < TOUCHING;
    let area = part.region.bounds();
    on_part.filter(|(at, depth)| area.contains(*at) && on_face(*depth)).map(|(at, _)| at).next()
}
