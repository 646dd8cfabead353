//! How deep and how wide slots, notches and windows are: figures at one of each kind.

use kurbo::{Point, Vec2};

use super::canvas::{Canvas, Label};
use super::dimension::FIGURE;
use super::near::{self, WoodArea};
use crate::holder::{Feature, Part, Row, SlotForm};
use crate::length::Units;

/// From one look to the next along the way out of a slot, in mm.
const STEP: f64 = 0.5;

/// The way from the middle of a slot's end to the edge that it opens to, and how far that is, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OpenRun {
    pub way: Vec2,
    pub run: f64,
}

/// How a slot or notch at `at` runs out at an edge; `None` for what is closed.
pub(super) fn open_run(
    part: &Part,
    wood: &WoodArea,
    at: Point,
    feature: Feature,
) -> Option<OpenRun> {
    if !matches!(feature, Feature::Slot { .. } | Feature::Notch { .. }) {
        return None;
    }
    let area = part.region.bounds();
    let mut ways = [
        (Vec2::new(0.0, -1.0), at.y - area.y0),
        (Vec2::new(0.0, 1.0), area.y1 - at.y),
        (Vec2::new(-1.0, 0.0), at.x - area.x0),
        (Vec2::new(1.0, 0.0), area.x1 - at.x),
    ];
    let free = |(way, run): &(Vec2, f64)| {
        let steps = (*run / STEP).floor().clamp(0.0, 1e5) as u32;
        (0..=steps).all(|i| !wood.contains(at + *way * (f64::from(i) * STEP)))
    };
    // The nearest edge first: beyond the one that it opens to none is looked at.
    ways.sort_by(|a, b| a.1.total_cmp(&b.1));
    let open = ways.into_iter().find(free);
    open.filter(|(_, run)| *run > 0.0).map(|(way, run)| OpenRun { way, run })
}

/// What the legend adds for a slot: `, 2 1/8 in from the edge to the center of its end, 2 3/8 in to its far point`.
pub(super) fn slot_depth(feature: Feature, open: Option<OpenRun>, units: Units) -> String {
    let (Some(end), Some(open)) = (end_width(feature), open) else { return String::new() };
    let [center, far] = [open.run, open.run + end / 2.0].map(|mm| units.length(mm));
    format!(", {center} from the edge to the center of its end, {far} to its far point")
}

/// How wide a slot is at its end.
fn end_width(feature: Feature) -> Option<f64> {
    match feature {
        Feature::Slot { form: SlotForm::Keyhole { end_diameter }, .. } => Some(end_diameter),
        Feature::Slot { width, .. } => Some(width),
        _ => None,
    }
}

/// Things cut alike: of one kind, and as deep.
pub(super) struct Openings {
    pub feature: Feature,
    /// How they run out at an edge.
    pub open: Option<OpenRun>,
    pub centers: Vec<Point>,
}

/// The things in some rows of a part, alike ones together.
pub(super) fn alike<'r>(
    part: &Part,
    rows: impl Iterator<Item = &'r Row>,
    wood: &WoodArea,
) -> Vec<Openings> {
    let each = rows.flat_map(|row| row.centers.iter().map(|at| (row.feature, *at)));
    let mut sorts: Vec<Openings> = Vec::new();
    for (feature, at) in each {
        let open = open_run(part, wood, at, feature);
        let same =
            |sort: &&mut Openings| sort.feature.is_like(&feature) && is_as_deep(sort.open, open);
        match sorts.iter_mut().find(same) {
            Some(sort) => sort.centers.push(at),
            None => sorts.push(Openings { feature, open, centers: vec![at] }),
        }
    }
    sorts
}

/// Whether two openings run as far, so that one text tells both.
fn is_as_deep(a: Option<OpenRun>, b: Option<OpenRun>) -> bool {
    let run = |open: Option<OpenRun>| open.map_or(-1.0, |open| open.run);
    (run(a) - run(b)).abs() < 0.01
}

/// Writes figures at one slot, notch or window of each kind.
pub(super) fn write(canvas: &mut Canvas, part: &Part, units: Units, wood: &WoodArea) {
    for sort in alike(part, part.rows.iter(), wood) {
        let mut texts = figures(sort.feature, sort.open, units);
        if let (Some(first), count @ 2..) = (texts.first_mut(), sort.centers.len()) {
            first.insert_str(0, &format!("{count} × "));
        }
        if !texts.is_empty() {
            write_one(canvas, &texts, &sort, wood);
        }
    }
}

/// `1/2 wide`, `2 1/8 to center of end`; nothing for what is told elsewhere.
fn figures(feature: Feature, open: Option<OpenRun>, units: Units) -> Vec<String> {
    let write = |mm: f64| units.bare_length(mm);
    match feature {
        Feature::Slot { width, form } => {
            let width = write(width);
            let wide = match form {
                SlotForm::Straight | SlotForm::Eased { .. } => format!("{width} wide"),
                SlotForm::Keyhole { end_diameter } => {
                    format!("{width} wide, end Ø {}", write(end_diameter))
                }
                SlotForm::Tapered { mouth_width } => {
                    format!("mouth {}, end Ø {width}", write(mouth_width))
                }
            };
            let deep = open.map(|open| format!("{} to center of end", write(open.run)));
            std::iter::once(wide).chain(deep).collect()
        }
        Feature::Notch { width, depth } => {
            vec![format!("{} wide", write(width)), format!("{} deep", write(depth))]
        }
        Feature::Window { length, width } => {
            vec![format!("{} × {}", write(length), write(width))]
        }
        Feature::Hole { .. }
        | Feature::RoundOpening { .. }
        | Feature::TracedOpening { .. }
        | Feature::Pocket { .. }
        | Feature::Tab { .. }
        | Feature::Mortise { .. } => Vec::new(),
    }
}

/// Beside the slot that has room, those in the middle first, in one text or in two; else near the first.
fn write_one(canvas: &mut Canvas, texts: &[String], sort: &Openings, wood: &WoodArea) {
    let whole = Label::new(texts.join(", "), FIGURE);
    let sides = sides(sort);
    let mut beside = |label: &Label| {
        sides.iter().any(|(from, to)| near::write_between(canvas, label, *from, *to))
    };
    if beside(&whole) {
        return;
    }
    let apart = texts.iter().map(|text| Label::new(text.as_str(), FIGURE));
    let left: Vec<Label> = apart.filter(|label| !beside(label)).collect();
    let half = sort.feature.size() / 2.0;
    for label in if left.len() == texts.len() { vec![whole] } else { left } {
        if let Some(at) = sort.centers.first() {
            near::write_around(canvas, &label, *at, half, Some(wood));
        }
    }
}

/// Both long sides of each slot, from its end to the edge, those in the middle first.
fn sides(sort: &Openings) -> Vec<(Point, Point)> {
    let Some(OpenRun { way, run }) = sort.open else { return Vec::new() };
    let half = way.turn_90() * (sort.feature.size() / 2.0);
    let (before, after) = sort.centers.split_at(sort.centers.len() / 2);
    let in_turn = after.iter().chain(before.iter().rev());
    let sides = in_turn.flat_map(|at| [*at + half, *at - half]);
    sides.map(|from| (from, from + way * run)).collect()
}
