//! Tab joints: tabs that stand out from one part's edge, and the mortises they go into, found from
//! where the parts sit.

use kurbo::{Affine, Point, Rect, Vec2};

use super::Joint;
use super::bench::Bench;
use super::fasten::Fastened;
use super::feature::Feature;
use super::finding::{Finding, Refusal};
use super::hardware::Hardware;
use super::outline::{CutWidth, OVERRUN};
use super::part::{MadeBy, MarkKind, Part, Row, made_of};
use super::placement::Placement;
use super::screws::ScrewJoint;
use super::told::{Told, told};
use crate::formula::Value;
use crate::kernel::{Contour, CutError, Region, Relief, rectangle};
use crate::limits;
use crate::reading::Problems;
use crate::style::{Edge, JointSpec, Space};
use crate::tolerance::{COORDINATE, LEAST_WEB_HAND, LEAST_WEB_ROUTER};

/// How wide a tab is by choice, in thicknesses of its part. Common practice, no source.
const TAB_WIDTH: f64 = 3.0;

/// How much thinner wood loosens a joint so that it is felt, in mm. Common practice, no source.
const LOOSE: f64 = 0.1;

/// How far a tab reaches into its own part when it is joined on, in mm: enough that the two
/// overlap without doubt.
const ROOT: f64 = 1.0;

/// The parts being joined, and the outline each had before anything was cut away; it grows with
/// the tabs.
struct Bodies<'a> {
    parts: &'a mut [Part],
    blanks: &'a mut [Contour],
    /// What is to be said of how the joints come out.
    notes: Vec<Finding>,
}

/// The clearances of a tab in its mortise, in mm on each side.
#[derive(Clone, Copy)]
struct Fit {
    faces: f64,
    ends: f64,
}

/// A tab in the holder.
struct TabBox {
    low: Space,
    high: Space,
    /// The axis that it is thin along.
    thin: usize,
}

/// Where tabs pass through a part.
#[derive(Clone, Copy)]
struct Mortise {
    area: Rect,
    /// Clearance along the part's x and y.
    fit: Vec2,
}

impl Mortise {
    fn opening(self) -> Rect {
        self.area.inflate(self.fit.x, self.fit.y)
    }
}

/// Parts with their tabs and mortises cut: all that is done to wood is done.
#[derive(Default)]
pub(super) struct Joined {
    pub parts: Vec<Part>,
    /// The outline of each part, tabs and all, before anything was cut away.
    pub blanks: Vec<Contour>,
    pub screws: Vec<ScrewJoint>,
    pub hardware: Vec<Hardware>,
    pub joints: Vec<Joint>,
}

/// Cuts the joints that the style asks for. Where one can't be cut, that is told, and the file that
/// asks for it gets no more of them.
///
/// # Errors
/// When the style is wrong.
pub(super) fn joined(benches: &[Bench<'_>], fastened: Fastened) -> Result<Told<Joined>, Problems> {
    let Fastened { mut parts, mut blanks, screws, hardware } = fastened;
    let (mut joints, mut findings) = (Vec::new(), Vec::new());
    let mut bodies = Bodies { parts: &mut parts, blanks: &mut blanks, notes: Vec::new() };
    for bench in benches {
        let parts = bench.layer.parts();
        let tabs =
            parts.flat_map(|part| part.tabs.iter().map(move |tabs| (part.name.get_ref(), tabs)));
        for (name, spec) in tabs {
            match told(join(&bench.at(name), spec, &mut bodies))?.tell(&mut findings) {
                Some(cut) => joints.extend(cut),
                None => break,
            }
        }
    }
    findings.append(&mut bodies.notes);
    if let Some(bench) = benches.first() {
        findings.extend(joints.iter().filter_map(|joint| loosened(bench, joint, &parts)));
    }
    Ok(Told { value: Joined { parts, blanks, screws, hardware, joints }, findings })
}

/// A note where the wood of the tabs is so much thinner at places that they are loose in their mortises, which are cut
/// for its thickest.
fn loosened(bench: &Bench<'_>, joint: &Joint, parts: &[Part]) -> Option<Finding> {
    let stock = &parts.iter().find(|part| part.name == joint.tabs)?.stock;
    let mut rows = bench.shop.stock.iter();
    let row = rows.find(|row| row.name == stock.name && row.thickness == stock.thickness)?;
    let more = row.thickness - row.thickness_least;
    let message = format!(
        "{}: {} more clearance than tab_fit where \"{}\" is thinnest, both faces of a tab together: the mortises are \
         cut for its thickest reading. Cut the parts with tabs where it is thick.",
        joint.tabs,
        bench.write(more),
        row.name
    );
    (more > LOOSE).then(|| Finding::note("loose-tabs", message))
}

/// One joint, of each part of its kind; none where it is not wanted or a part of it is not made.
fn join(
    bench: &Bench<'_>,
    spec: &JointSpec,
    bodies: &mut Bodies<'_>,
) -> Result<Vec<Joint>, Refusal> {
    if !bench.holds(Some(&spec.when))? {
        return Ok(Vec::new());
    }
    let into = made_of(spec.into.get_ref(), bodies.parts).first().copied();
    let Some(into) = into else { return Ok(Vec::new()) };
    let tabbed = made_of(bench.name, bodies.parts);
    tabbed.into_iter().map(|tabbed| one(bench, spec, [tabbed, into], bodies)).collect()
}

fn one(
    bench: &Bench<'_>,
    spec: &JointSpec,
    [tabbed, into]: [usize; 2],
    bodies: &mut Bodies<'_>,
) -> Result<Joint, Refusal> {
    let fit = Fit { faces: bench.length(&spec.fit)?, ends: bench.length(&spec.end_fit)? };
    let relief = relief(bench, spec)?;
    // A loose key is as long as its part says.
    let proud = if spec.edge.is_some() { bench.length(&spec.proud)?.max(0.0) } else { 0.0 };
    let tabs = match spec.edge {
        Some(edge) => tabs(bench, spec, edge, tabbed, bodies)?,
        None => vec![bodies.parts[tabbed].region.bounds()],
    };
    let boxes: Vec<TabBox> = bodies.parts[tabbed]
        .places
        .iter()
        .flat_map(|place| tabs.iter().map(|tab| in_space(place, *tab)))
        .collect();
    bench.at_most(boxes.len() as f64, limits::REPEATS, "tabs are on its pieces")?;
    if let Some(edge) = spec.edge {
        let tabs: Vec<Rect> = tabs.iter().map(|tab| longer(edge, *tab, proud)).collect();
        grow(bench, bodies, tabbed, edge, &tabs, relief)?;
    }
    let mut met = false;
    for (index, part) in bodies.parts.iter_mut().enumerate() {
        if index == tabbed {
            continue;
        }
        let mortises = mortises(part, &boxes, fit);
        met |= !mortises.is_empty() && part.kind == *spec.into.get_ref();
        if !mortises.is_empty() {
            bodies.notes.extend(open(bench, part, &mortises, relief)?);
        }
    }
    if !met {
        let by = miss(&boxes, &bodies.parts[into]);
        let message = format!(
            "The tabs of {} miss {} by {}. Make the two parts large enough to \
             meet, or join them without tabs.",
            bench.name,
            spec.into.get_ref(),
            bench.write(by)
        );
        return Err(Finding::stop("tab-misses", message).into());
    }
    let along = |tab: &Rect| match spec.edge {
        Some(Edge::Top | Edge::Bottom) => tab.width(),
        _ => tab.height(),
    };
    Ok(Joint {
        tabs: bodies.parts[tabbed].name.clone(),
        into: bodies.parts[into].name.clone(),
        count: boxes.len(),
        width: tabs.first().map_or(0.0, along),
        clearance: fit.faces,
        end_clearance: fit.ends,
        proud,
        wedged: bench.holds(Some(&spec.wedged))?,
        loose: spec.edge.is_none(),
        tabs_at: boxes.into_iter().map(|tab| (tab.low, tab.high)).collect(),
    })
}

/// How far the nearest tab stays away from a part it should go into, in mm.
fn miss(boxes: &[TabBox], part: &Part) -> f64 {
    let away = |TabBox { low, high, .. }: &TabBox, place: &Placement| {
        let (near, far) = place.bounds();
        (0..3).map(|i| (near[i] - high[i]).max(low[i] - far[i])).fold(0.0, f64::max)
    };
    let all = boxes.iter().flat_map(|tab| part.places.iter().map(move |place| away(tab, place)));
    all.fold(f64::INFINITY, f64::min)
}

fn relief(bench: &Bench<'_>, spec: &JointSpec) -> Result<Relief, Refusal> {
    let word = bench.values.work(&spec.relief, &bench.layer.source)?;
    match &word {
        Value::Word(word) if word == "corner" => Ok(Relief::Corner),
        Value::Word(word) if word == "side" => Ok(Relief::Side),
        Value::Word(word) if word == "none" => Ok(Relief::None),
        other => {
            let message = format!("relief is {}, not 'corner', 'side' or 'none'", other.describe());
            Err(bench.wrong(&spec.relief, &message))
        }
    }
}

/// The tabs as boxes on their part, from the edge outward, evenly spread.
///
/// No tab stands nearer to the end of the joint than one thickness. Tabs and the gaps between
/// them are equally wide, about [`TAB_WIDTH`] thicknesses.
fn tabs(
    bench: &Bench<'_>,
    spec: &JointSpec,
    edge: Edge,
    tabbed: usize,
    bodies: &Bodies<'_>,
) -> Result<Vec<Rect>, Refusal> {
    let part = &bodies.parts[tabbed];
    let into = bodies.parts.iter().find(|other| other.kind == *spec.into.get_ref());
    let beyond = bench.optional(spec.beyond.as_ref())?.unwrap_or(0.0);
    let reach = into.map_or(0.0, |into| into.stock.thickness) + beyond;
    let (thickness, bounds) = (part.stock.thickness, part.region.bounds());
    let whole = if is_upright(edge) { bounds.height() } else { bounds.width() };
    let from = bench.optional(spec.from.as_ref())?.unwrap_or(0.0);
    let to = bench.optional(spec.to.as_ref())?.unwrap_or(whole);
    let room = to.min(whole) - from.max(0.0) - 2.0 * thickness;
    if room < thickness {
        let message = format!(
            "{}: a tab needs {} along its edge with {} left at either end, and there is {}: make the \
             part larger, or join it without tabs.",
            part.name,
            bench.write(thickness),
            bench.write(thickness),
            bench.write(to - from)
        );
        return Err(Finding::stop("no-room-for-tab", message).into());
    }
    let count = match &spec.count {
        Some(count) => bench.count(count)?.max(1),
        None => ((room / (TAB_WIDTH * thickness) + 1.0) / 2.0).round().max(1.0) as usize,
    };
    let runs = 2.0 * count as f64 - 1.0;
    let width = room / runs;
    let least = match part.made_by {
        MadeBy::Router => LEAST_WEB_ROUTER,
        MadeBy::Hand => LEAST_WEB_HAND,
    };
    if width < least {
        let message = format!(
            "{}: {count} tabs on {} are {} wide each, and at least {} must stay. Choose fewer tabs, \
             or make the part larger.",
            part.name,
            bench.write(room),
            bench.write(width),
            bench.write(least)
        );
        return Err(Finding::stop("tab-too-thin", message).into());
    }
    // From mark to mark of the tape where that takes less than the tabs are apart; the rest is at the ends.
    let even = bench.tape().down(width);
    let width = if even >= least { even } else { width };
    let rest = room - runs * width;
    let start = from.max(0.0) + thickness + rest / 2.0;
    let start = if rest >= bench.tape().grid { bench.tape().nearest(start) } else { start };
    Ok((0..count)
        .map(|i| tab(edge, bounds, start + 2.0 * width * i as f64, width, reach))
        .collect())
}

fn is_upright(edge: Edge) -> bool {
    matches!(edge, Edge::Left | Edge::Right)
}

/// One tab that begins `start` along the edge.
fn tab(edge: Edge, bounds: Rect, start: f64, width: f64, reach: f64) -> Rect {
    let (a, b) = (start, start + width);
    match edge {
        Edge::Left => Rect::new(bounds.x0 - reach, a, bounds.x0, b),
        Edge::Right => Rect::new(bounds.x1, a, bounds.x1 + reach, b),
        Edge::Bottom => Rect::new(a, bounds.y0 - reach, b, bounds.y0),
        Edge::Top => Rect::new(a, bounds.y1, b, bounds.y1 + reach),
    }
}

/// A tab as much longer as it stands `proud`.
fn longer(edge: Edge, tab: Rect, proud: f64) -> Rect {
    let Rect { x0, y0, x1, y1 } = tab;
    match edge {
        Edge::Left => Rect::new(x0 - proud, y0, x1, y1),
        Edge::Right => Rect::new(x0, y0, x1 + proud, y1),
        Edge::Bottom => Rect::new(x0, y0 - proud, x1, y1),
        Edge::Top => Rect::new(x0, y0, x1, y1 + proud),
    }
}

/// The box a tab fills in the holder.
fn in_space(place: &Placement, tab: Rect) -> TabBox {
    let a = place.to_space(tab.origin(), 0.0);
    let b = place.to_space(Point::new(tab.x1, tab.y1), place.size[2]);
    let [.., out] = place.frame();
    TabBox {
        low: std::array::from_fn(|i| a[i].min(b[i])),
        high: std::array::from_fn(|i| a[i].max(b[i])),
        thin: (0..3).max_by(|i, j| out[*i].abs().total_cmp(&out[*j].abs())).unwrap_or(2),
    }
}

/// Adds the tabs to their part, relieves their roots so that the shoulder seats, and brings the
/// part's lower left corner back to the origin.
fn grow(
    bench: &Bench<'_>,
    bodies: &mut Bodies<'_>,
    tabbed: usize,
    edge: Edge,
    tabs: &[Rect],
    relief: Relief,
) -> Result<(), Refusal> {
    let part = &mut bodies.parts[tabbed];
    let root = match edge {
        Edge::Left | Edge::Right => Vec2::new(ROOT, 0.0),
        Edge::Bottom | Edge::Top => Vec2::new(0.0, ROOT),
    };
    let mut region = part.region.clone();
    let mut blank = Region::new(bodies.blanks[tabbed].clone(), Vec::new());
    let mut seats = Vec::new();
    for tab in tabs {
        let grown = tab.inflate(root.x, root.y);
        let grown = grown.intersect(tab.union(part.region.bounds()));
        let piece = box_contour(grown).map_err(|e| bench.unmade(&e))?;
        region = region.join(&piece).map_err(|e| bench.unmade(&e))?;
        blank = blank.join(&piece).map_err(|e| bench.unmade(&e))?;
        seats.extend(roots(edge, *tab));
    }
    part.region = bench.relieved(region, &seats, relief)?;
    let tab = |length, width| Feature::Tab { length, width };
    part.rows.extend(listed(tab, tabs));
    bodies.blanks[tabbed] = blank.outline().clone();
    part.settle(edge, &mut bodies.blanks[tabbed]);
    Ok(())
}

/// The two inside corners at the root of a tab.
fn roots(edge: Edge, tab: Rect) -> [Point; 2] {
    match edge {
        Edge::Left => [Point::new(tab.x1, tab.y0), Point::new(tab.x1, tab.y1)],
        Edge::Right => [Point::new(tab.x0, tab.y0), Point::new(tab.x0, tab.y1)],
        Edge::Bottom => [Point::new(tab.x0, tab.y1), Point::new(tab.x1, tab.y1)],
        Edge::Top => [Point::new(tab.x0, tab.y0), Point::new(tab.x1, tab.y0)],
    }
}

/// Tabs or mortises as rows for dimensions; those of one size and height are one row.
fn listed(feature: fn(f64, f64) -> Feature, boxes: &[Rect]) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for tab in boxes {
        let feature = feature(tab.width(), tab.height());
        let center = tab.center();
        let level = |row: &&mut Row| {
            let same = |a: f64, b: f64| (a - b).abs() <= COORDINATE;
            row.feature.is_like(&feature)
                && (row.centers.iter().all(|c| same(c.x, center.x))
                    || row.centers.iter().all(|c| same(c.y, center.y)))
        };
        match rows.iter_mut().find(level) {
            Some(row) => row.centers.push(center),
            None => rows.push(Row { feature, centers: vec![center] }),
        }
    }
    rows
}

fn box_contour(rect: Rect) -> Result<Contour, crate::kernel::ShapeError> {
    rectangle(rect.origin(), rect.width(), rect.height(), [0.0; 4])
}

/// Where the tabs pass through a part, on whichever of its pieces they meet; what several pieces
/// have at the same place is told once, and tabs side by side are one.
fn mortises(part: &Part, boxes: &[TabBox], fit: Fit) -> Vec<Mortise> {
    let mut found: Vec<Mortise> = Vec::new();
    for place in &part.places {
        let (low, high) = place.bounds();
        let frame = place.frame();
        for TabBox { low: near, high: far, thin } in boxes {
            let meets = |i: usize| near[i] < high[i] - COORDINATE && far[i] > low[i] + COORDINATE;
            if !(0..3).all(meets) {
                continue;
            }
            let (a, _) = place.to_piece(*near);
            let (b, _) = place.to_piece(*far);
            let rect = Rect::from_points(a, b);
            let known = |m: &&mut Mortise| side_by_side(m.area, rect) || same_box(m.area, rect);
            let [x, y] =
                [0, 1].map(
                    |axis: usize| {
                        if frame[axis][*thin].abs() > 0.5 { fit.faces } else { fit.ends }
                    },
                );
            match found.iter_mut().find(known) {
                Some(other) => other.area = other.area.union(rect),
                None => found.push(Mortise { area: rect, fit: Vec2::new(x, y) }),
            }
        }
    }
    found
}

fn same_box(a: Rect, b: Rect) -> bool {
    let same = |p: f64, q: f64| (p - q).abs() <= COORDINATE;
    same(a.x0, b.x0) && same(a.y0, b.y0) && same(a.x1, b.x1) && same(a.y1, b.y1)
}

/// Whether two boxes touch along a whole side, so that their union is a box.
fn side_by_side(a: Rect, b: Rect) -> bool {
    let same = |p: f64, q: f64| (p - q).abs() <= COORDINATE;
    let level = same(a.y0, b.y0) && same(a.y1, b.y1) && (same(a.x1, b.x0) || same(b.x1, a.x0));
    let stacked = same(a.x0, b.x0) && same(a.x1, b.x1) && (same(a.y1, b.y0) || same(b.y1, a.y0));
    level || stacked
}

fn open(
    bench: &Bench<'_>,
    part: &mut Part,
    mortises: &[Mortise],
    relief: Relief,
) -> Result<Vec<Finding>, Refusal> {
    let name = part.name.clone();
    let bench = bench.at(&name);
    let mut region = part.region.clone();
    let bounds = region.bounds();
    let mut seats = Vec::new();
    let (mut opened, mut notes) = (Vec::new(), Vec::new());
    for mortise in mortises {
        let (cut, wider) = milled(&bench, mortise.opening())?;
        let opening = over_edges(cut, mortise.area, bounds);
        let contour = box_contour(opening).map_err(|e| bench.unmade(&e))?;
        region = match region.cut(&contour) {
            // Another piece's tab has opened this one already.
            Err(CutError::Misses { .. }) => continue,
            cut => cut.map_err(|e| bench.unmade(&e))?,
        };
        opened.push(cut);
        notes.extend(wider);
        let Rect { x0, y0, x1, y1 } = opening;
        // A corner out over the edge is none.
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from);
        seats.extend(corners.into_iter().filter(|corner| bounds.contains(*corner)));
    }
    part.region = bench.relieved(region, &seats, relief)?;
    let mortise = |length, width| Feature::Mortise { length, width };
    part.rows.extend(listed(mortise, &opened));
    Ok(notes)
}

/// An opening as the bit mills it, and what to say where that takes more.
fn milled(bench: &Bench<'_>, opening: Rect) -> Result<(Rect, Option<Finding>), Refusal> {
    let width = CutWidth::of_joint(bench, opening.width())?;
    let height = CutWidth::of_joint(bench, opening.height())?;
    let more = [width.made - opening.width(), height.made - opening.height()];
    let cut = opening.inflate(more[0] / 2.0, more[1] / 2.0);
    Ok((cut, width.narrower(height).wider(bench)))
}

/// The opening for a mortise. Where the tab comes out flush with an edge of the part, or past it,
/// the opening runs clear over that edge, whatever the fit: no skin of wood is left.
fn over_edges(mut opening: Rect, mortise: Rect, bounds: Rect) -> Rect {
    if mortise.x0 <= bounds.x0 + COORDINATE {
        opening.x0 = bounds.x0 - OVERRUN;
    }
    if mortise.y0 <= bounds.y0 + COORDINATE {
        opening.y0 = bounds.y0 - OVERRUN;
    }
    if mortise.x1 >= bounds.x1 - COORDINATE {
        opening.x1 = bounds.x1 + OVERRUN;
    }
    if mortise.y1 >= bounds.y1 - COORDINATE {
        opening.y1 = bounds.y1 + OVERRUN;
    }
    opening
}

impl Part {
    /// Moves everything on the part so that its lower left corner is the origin again, and its
    /// places with it, after tabs have been added at `edge`.
    fn settle(&mut self, edge: Edge, blank: &mut Contour) {
        let bounds = self.region.bounds();
        let shift = -bounds.origin().to_vec2();
        let grown =
            Vec2::new(bounds.width() - self.places_size(0), bounds.height() - self.places_size(1));
        let map = Affine::translate(shift);
        self.region = self.region.transformed(map);
        *blank = blank.transformed(map);
        for drilling in &mut self.drillings {
            drilling.at += shift;
        }
        for pocket in &mut self.pockets {
            pocket.contour = pocket.contour.transformed(map);
            pocket.area = pocket.area + shift;
        }
        for mark in &mut self.marks {
            mark.kind = mark.kind.moved(shift);
        }
        for center in self.rows.iter_mut().flat_map(|row| &mut row.centers) {
            *center += shift;
        }
        for place in &mut self.places {
            place.grow(edge, grown);
        }
    }

    fn places_size(&self, axis: usize) -> f64 {
        self.places.first().map_or(0.0, |place| place.size[axis])
    }
}

impl MarkKind {
    fn moved(&self, by: Vec2) -> Self {
        match *self {
            Self::Footprint { area, face } => Self::Footprint { area: area + by, face },
            Self::Center { from, to } => Self::Center { from: from + by, to: to + by },
            Self::Saw { from, to } => Self::Saw { from: from + by, to: to + by },
            Self::Scribe { from, to } => Self::Scribe { from: from + by, to: to + by },
            Self::EdgeScrew { from, to, screw } => {
                Self::EdgeScrew { from: from + by, to: to + by, screw }
            }
        }
    }
}

impl Placement {
    /// The place of a piece that has grown by `by` along its length or width at `edge`, the rest
    /// of it staying where it is.
    fn grow(&mut self, edge: Edge, by: Vec2) {
        let [u, v, _] = self.frame();
        let (axis, amount) = match edge {
            Edge::Left => (u.map(|i| -i), by.x),
            Edge::Right => (u, by.x),
            Edge::Bottom => (v.map(|i| -i), by.y),
            Edge::Top => (v, by.y),
        };
        for (at, along) in self.at.iter_mut().zip(axis) {
            *at += along.min(0.0) * amount;
        }
        self.size[0] += by.x;
        self.size[1] += by.y;
    }
}
