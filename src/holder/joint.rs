//! Tab joints: tabs that stand out from one part's edge, and the mortises they go into, found from
//! where the parts sit.

use kurbo::{Affine, Point, Rect, Vec2};

use super::Joint;
use super::bench::Bench;
use super::fasten::Fastened;
use super::feature::Feature;
use super::finding::{Finding, Refusal};
use super::hardware::Hardware;
use super::laid::{Fit, LaidJoint, TabBox, longer};
use super::outline::{CutWidth, OVERRUN};
use super::part::{MarkKind, Part, Row};
use super::placement::Placement;
use super::screws::ScrewJoint;
use super::told::{Told, told};
use crate::kernel::{Contour, CutError, Region, rectangle};
use crate::reading::Problems;
use crate::style::Edge;
use crate::tolerance::COORDINATE;

/// How much thinner wood loosens a joint so that it is felt, in mm. Common practice, no source.
const LOOSE: f64 = 0.1;

/// How far a tab reaches into its own part when it is joined on, in mm: enough that the two
/// overlap without doubt.
const ROOT: f64 = 1.0;

/// The parts being joined, the outline each had before anything was cut away, which grows with the tabs, and the
/// inside corners of each that are left round.
struct Bodies<'a> {
    parts: &'a mut [Part],
    blanks: &'a mut [Contour],
    left_round: &'a mut [Vec<Point>],
    /// What is to be said of how the joints come out.
    notes: Vec<Finding>,
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
    /// Inside corners of each part that the bit leaves round, for a chisel to square: no relief is wanted there.
    pub left_round: Vec<Vec<Point>>,
    pub screws: Vec<ScrewJoint>,
    pub hardware: Vec<Hardware>,
    pub joints: Vec<Joint>,
}

/// Cuts the joints that are laid out. Where one can't be cut, that is told, and the file that asks for it gets no more
/// of them.
///
/// # Errors
/// When the style is wrong.
pub(super) fn joined(laid: &[LaidJoint<'_>], fastened: Fastened) -> Result<Told<Joined>, Problems> {
    let Fastened { mut parts, mut blanks, screws, hardware } = fastened;
    let mut left_round = vec![Vec::new(); parts.len()];
    let (mut joints, mut findings) = (Vec::new(), Vec::new());
    let mut bodies = Bodies {
        parts: &mut parts,
        blanks: &mut blanks,
        left_round: &mut left_round,
        notes: Vec::new(),
    };
    for of_file in laid.chunk_by(|one, next| std::ptr::eq(one.bench.layer, next.bench.layer)) {
        for joint in of_file {
            match told(join(joint, &mut bodies))?.tell(&mut findings) {
                Some(cut) => joints.push(cut),
                None => break,
            }
        }
    }
    findings.append(&mut bodies.notes);
    if let Some(first) = laid.first() {
        findings.extend(joints.iter().filter_map(|joint| loosened(&first.bench, joint, &parts)));
    }
    Ok(Told { value: Joined { parts, blanks, left_round, screws, hardware, joints }, findings })
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

fn join(laid: &LaidJoint<'_>, bodies: &mut Bodies<'_>) -> Result<Joint, Refusal> {
    let LaidJoint { bench, spec, tabbed, into, tabs, boxes, cut, fit, proud, .. } = laid;
    if let Some(edge) = spec.edge {
        grow(laid, edge, bodies)?;
    }
    let mut met = false;
    for index in (0..bodies.parts.len()).filter(|index| index != tabbed) {
        let mortises = mortises(&bodies.parts[index], boxes, *fit);
        met |= !mortises.is_empty() && bodies.parts[index].kind == *spec.into.get_ref();
        if !mortises.is_empty() {
            open(laid, index, &mortises, bodies)?;
        }
    }
    if !met {
        return Err(missed(laid, &bodies.parts[*into]).into());
    }
    let along = |tab: &Rect| match spec.edge {
        Some(Edge::Top | Edge::Bottom) => tab.width(),
        _ => tab.height(),
    };
    Ok(Joint {
        tabs: bodies.parts[*tabbed].name.clone(),
        into: bodies.parts[*into].name.clone(),
        count: boxes.len(),
        width: tabs.first().map_or(0.0, along),
        clearance: fit.faces,
        end_clearance: fit.ends,
        proud: *proud,
        wedged: bench.holds(Some(&spec.wedged))?,
        loose: spec.edge.is_none(),
        tabs_at: boxes.iter().map(TabBox::corners).collect(),
        cut_at: cut.iter().map(TabBox::corners).collect(),
        opened_by: laid.opened_by(),
    })
}

/// The tabs do not reach the part that they are for.
fn missed(laid: &LaidJoint<'_>, into: &Part) -> Finding {
    let LaidJoint { bench, spec, boxes, .. } = laid;
    let message = format!(
        "The tabs of {} miss {} by {}. Make the two parts large enough to \
         meet, or join them without tabs.",
        bench.name,
        spec.into.get_ref(),
        bench.write(miss(boxes, into))
    );
    Finding::stop("tab-misses", message)
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

/// Adds the tabs to their part, relieves their roots so that the shoulder seats, and brings the
/// part's lower left corner back to the origin.
fn grow(laid: &LaidJoint<'_>, edge: Edge, bodies: &mut Bodies<'_>) -> Result<(), Refusal> {
    let LaidJoint { bench, tabbed, proud, .. } = laid;
    let tabs: Vec<Rect> = laid.tabs.iter().map(|tab| longer(edge, *tab, *proud)).collect();
    let part = &mut bodies.parts[*tabbed];
    let root = match edge {
        Edge::Left | Edge::Right => Vec2::new(ROOT, 0.0),
        Edge::Bottom | Edge::Top => Vec2::new(0.0, ROOT),
    };
    let mut region = part.region.clone();
    let mut blank = Region::new(bodies.blanks[*tabbed].clone(), Vec::new());
    let mut seats = Vec::new();
    for tab in &tabs {
        let grown = tab.inflate(root.x, root.y);
        let grown = grown.intersect(tab.union(part.region.bounds()));
        let piece = box_contour(grown).map_err(|e| bench.unmade(&e))?;
        region = region.join(&piece).map_err(|e| bench.unmade(&e))?;
        blank = blank.join(&piece).map_err(|e| bench.unmade(&e))?;
        seats.extend(roots(edge, *tab));
    }
    for pocket in &mut part.pockets {
        pocket.keep_off(bench, edge, &tabs)?;
    }
    part.region = bench.relieved(region, &seats, laid.relief)?;
    let tab = |length, width| Feature::Tab { length, width };
    part.rows.extend(listed(tab, &tabs));
    bodies.blanks[*tabbed] = blank.outline().clone();
    bodies.left_round[*tabbed].extend(laid.leaves_round(seats));
    let shift = part.settle(edge, &mut bodies.blanks[*tabbed]);
    bodies.left_round[*tabbed].iter_mut().for_each(|at| *at += shift);
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
    laid: &LaidJoint<'_>,
    index: usize,
    mortises: &[Mortise],
    bodies: &mut Bodies<'_>,
) -> Result<(), Refusal> {
    let part = &mut bodies.parts[index];
    let name = part.name.clone();
    let bench = laid.bench.at(&name);
    let mut region = part.region.clone();
    let bounds = region.bounds();
    let mut seats = Vec::new();
    let mut opened = Vec::new();
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
        bodies.notes.extend(wider);
        let Rect { x0, y0, x1, y1 } = opening;
        // A corner out over the edge is none.
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)].map(Point::from);
        seats.extend(corners.into_iter().filter(|corner| bounds.contains(*corner)));
    }
    part.region = bench.relieved(region, &seats, laid.relief)?;
    let mortise = |length, width| Feature::Mortise { length, width };
    part.rows.extend(listed(mortise, &opened));
    bodies.left_round[index].extend(laid.leaves_round(seats));
    Ok(())
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
    /// places with it, after tabs have been added at `edge`; by how much.
    fn settle(&mut self, edge: Edge, blank: &mut Contour) -> Vec2 {
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
        shift
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
