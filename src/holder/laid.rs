//! Tab joints laid out before anything is bored for screws, which keep off them: where the tabs stand.

use kurbo::{Point, Rect};

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::part::{MadeBy, Part, made_of};
use super::placement::Placement;
use super::told::{Told, told};
use crate::formula::Value;
use crate::kernel::Relief;
use crate::limits;
use crate::reading::Problems;
use crate::style::{Edge, JointSpec, Space};
use crate::tolerance::{LEAST_WEB_HAND, LEAST_WEB_ROUTER, RELIEF_SLACK};

/// How wide a tab is by choice, in thicknesses of its part. Common practice, no source.
const TAB_WIDTH: f64 = 3.0;

/// The clearances of a tab in its mortise, in mm on each side; negative for a press fit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fit {
    pub faces: f64,
    pub ends: f64,
}

/// A tab in the holder: its low and its high corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct TabBox {
    pub low: Space,
    pub high: Space,
    /// The axis that it is thin along.
    pub thin: usize,
}

impl TabBox {
    pub(super) fn corners(&self) -> (Space, Space) {
        (self.low, self.high)
    }
}

/// A joint before it is cut. Its parts are given by their places in the list.
pub(super) struct LaidJoint<'a> {
    /// That of the part with the tabs.
    pub bench: Bench<'a>,
    pub spec: &'a JointSpec,
    pub tabbed: usize,
    pub into: usize,
    /// The tabs on their part, as it is once the joints before this one are cut.
    pub tabs: Vec<Rect>,
    /// Each tab in the holder, flush with what it goes into.
    pub boxes: Vec<TabBox>,
    /// The same as they are cut, as far as they stand out.
    pub cut: Vec<TabBox>,
    pub fit: Fit,
    /// How far the tabs stand out, to be sanded off, in mm.
    pub proud: f64,
    pub relief: Relief,
}

impl LaidJoint<'_> {
    /// How far past a tab wood is cut away at most, reliefs and all, in mm.
    pub(super) fn opened_by(&self) -> f64 {
        let bit = self.bench.shop.router.filter(|_| self.bench.made_by == MadeBy::Router);
        let bite = bit.map_or(0.0, |bit| self.relief.bite(bit.outline / 2.0 + RELIEF_SLACK));
        self.fit.faces.max(self.fit.ends).max(0.0) + bite
    }

    /// What is cut away for the tabs, reliefs and all: level boxes in the holder.
    pub(super) fn openings(&self) -> impl Iterator<Item = (Space, Space)> + '_ {
        let more = self.opened_by();
        let wider = move |tab: &TabBox| (tab.low.map(|at| at - more), tab.high.map(|at| at + more));
        self.boxes.iter().map(wider)
    }

    /// Those of the inside corners where the tabs seat that the bit leaves round.
    pub(super) fn leaves_round(&self, seats: Vec<Point>) -> Vec<Point> {
        let left = self.relief == Relief::None && self.bench.made_by == MadeBy::Router;
        if left { seats } else { Vec::new() }
    }
}

/// The joints that the style asks for, in the order in which they are cut. Where one has no room, that is told, and
/// the file that asks for it gets no more of them.
///
/// # Errors
/// When the style is wrong.
pub(super) fn laid_out<'a>(
    benches: &[Bench<'a>],
    parts: &[Part],
) -> Result<Told<Vec<LaidJoint<'a>>>, Problems> {
    let (mut laid, mut findings) = (Vec::new(), Vec::new());
    let mut grown: Vec<Grown> = parts.iter().map(Grown::of).collect();
    for bench in benches {
        let with_tabs = bench.layer.parts();
        let all = with_tabs
            .flat_map(|part| part.tabs.iter().map(move |spec| (part.name.get_ref(), spec)));
        for (name, spec) in all {
            match told(lay(&bench.at(name), spec, parts, &mut grown))?.tell(&mut findings) {
                Some(joints) => laid.extend(joints),
                None => break,
            }
        }
    }
    Ok(Told { value: laid, findings })
}

/// One joint, of each part of its kind; none where it is not wanted or a part of it is not made.
fn lay<'a>(
    bench: &Bench<'a>,
    spec: &'a JointSpec,
    parts: &[Part],
    grown: &mut [Grown],
) -> Result<Vec<LaidJoint<'a>>, Refusal> {
    if !bench.holds(Some(&spec.when))? {
        return Ok(Vec::new());
    }
    let into = made_of(spec.into.get_ref(), parts).first().copied();
    let Some(into) = into else { return Ok(Vec::new()) };
    let tabbed = made_of(bench.name, parts);
    tabbed.into_iter().map(|tabbed| one(bench, spec, [tabbed, into], (parts, grown))).collect()
}

fn one<'a>(
    bench: &Bench<'a>,
    spec: &'a JointSpec,
    [tabbed, into]: [usize; 2],
    (parts, grown): (&[Part], &mut [Grown]),
) -> Result<LaidJoint<'a>, Refusal> {
    let fit = Fit { faces: bench.length(&spec.fit)?, ends: bench.length(&spec.end_fit)? };
    let relief = relief(bench, spec)?;
    // A loose key is as long as its part says.
    let proud = if spec.edge.is_some() { bench.length(&spec.proud)?.max(0.0) } else { 0.0 };
    let body = &mut grown[tabbed];
    let tabs = match spec.edge {
        Some(edge) => tabs(bench, spec, edge, (&parts[tabbed], body.bounds), &parts[into])?,
        None => vec![body.bounds],
    };
    let made = tabs.len() * body.places.len();
    bench.at_most(made as f64, limits::REPEATS, "tabs are on its pieces")?;
    let as_cut = |tab: &Rect| spec.edge.map_or(*tab, |edge| longer(edge, *tab, proud));
    let long: Vec<Rect> = tabs.iter().map(as_cut).collect();
    let [boxes, cut] = [&tabs, &long].map(|tabs| body.boxes(tabs));
    if let Some(edge) = spec.edge {
        body.grow(edge, &long);
    }
    Ok(LaidJoint { bench: *bench, spec, tabbed, into, tabs, boxes, cut, fit, proud, relief })
}

/// A part as far as its tabs change it: its bounds, and where its pieces sit.
struct Grown {
    bounds: Rect,
    places: Vec<Placement>,
}

impl Grown {
    fn of(part: &Part) -> Self {
        Self { bounds: part.region.bounds(), places: part.places.clone() }
    }

    /// Its tabs in the holder, piece by piece.
    fn boxes(&self, tabs: &[Rect]) -> Vec<TabBox> {
        let on_each = |place| tabs.iter().map(move |tab| in_space(place, *tab));
        self.places.iter().flat_map(on_each).collect()
    }

    /// What cutting the tabs comes to: the lower left corner is the origin again.
    fn grow(&mut self, edge: Edge, tabs: &[Rect]) {
        let bounds = tabs.iter().fold(self.bounds, |all, tab| all.union(*tab));
        for place in &mut self.places {
            let [length, width, _] = place.size;
            place.grow(edge, (bounds.width() - length, bounds.height() - width).into());
        }
        self.bounds = bounds - bounds.origin().to_vec2();
    }
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

/// The tabs as boxes on their part, from the edge outward, evenly spread about the middle of the room.
///
/// No tab stands nearer to the end of the joint than one thickness. Tabs and the gaps between
/// them are equally wide, about [`TAB_WIDTH`] thicknesses.
fn tabs(
    bench: &Bench<'_>,
    spec: &JointSpec,
    edge: Edge,
    (part, bounds): (&Part, Rect),
    into: &Part,
) -> Result<Vec<Rect>, Refusal> {
    let beyond = bench.optional(spec.beyond.as_ref())?.unwrap_or(0.0);
    let reach = into.stock.thickness + beyond;
    let [from, to] = ends(bench, spec, edge, bounds)?;
    let room = room(bench, part, to - from)?;
    let count = match &spec.count {
        Some(count) => bench.count(count)?.max(1),
        None => ((room / (TAB_WIDTH * part.stock.thickness) + 1.0) / 2.0).round().max(1.0) as usize,
    };
    let width = width(bench, part, room, count)?;
    // What the widths leave over is shared by both ends: the part fits either way round.
    let start = f64::midpoint(from, to) - spaces(count) * width / 2.0;
    let starts = (0..count).map(|i| start + 2.0 * width * i as f64);
    Ok(starts.map(|start| tab(edge, bounds, start, width, reach)).collect())
}

/// Where a joint begins and ends along its edge, in mm.
fn ends(
    bench: &Bench<'_>,
    spec: &JointSpec,
    edge: Edge,
    bounds: Rect,
) -> Result<[f64; 2], Refusal> {
    let whole = if is_upright(edge) { bounds.height() } else { bounds.width() };
    let from = bench.optional(spec.from.as_ref())?.unwrap_or(0.0);
    let to = bench.optional(spec.to.as_ref())?.unwrap_or(whole);
    Ok([from.max(0.0), to.min(whole)])
}

/// What there is for tabs along a joint so `long`, in mm.
fn room(bench: &Bench<'_>, part: &Part, long: f64) -> Result<f64, Refusal> {
    let thickness = part.stock.thickness;
    let room = long - 2.0 * thickness;
    if room >= thickness {
        return Ok(room);
    }
    let message = format!(
        "{}: a tab needs {} along its edge with {} left at either end, and there is {}: make the \
         part larger, or join it without tabs.",
        part.name,
        bench.write(thickness),
        bench.write(thickness),
        bench.write(long.max(0.0))
    );
    Err(Finding::stop("no-room-for-tab", message).into())
}

/// Tabs and the gaps between them.
fn spaces(count: usize) -> f64 {
    2.0 * count as f64 - 1.0
}

/// How wide each of `count` tabs is, and each gap: from mark to mark of the tape where that is not too thin.
fn width(bench: &Bench<'_>, part: &Part, room: f64, count: usize) -> Result<f64, Refusal> {
    let width = room / spaces(count);
    let least = match part.made_by {
        MadeBy::Router => LEAST_WEB_ROUTER,
        MadeBy::Hand => LEAST_WEB_HAND,
    };
    if width >= least {
        let even = bench.tape().down(width);
        return Ok(if even >= least { even } else { width });
    }
    let message = format!(
        "{}: {count} tabs on {} are {} wide each, and at least {} must stay. Choose fewer tabs, \
         or make the part larger.",
        part.name,
        bench.write(room),
        bench.write(width),
        bench.write(least)
    );
    Err(Finding::stop("tab-too-thin", message).into())
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
pub(super) fn longer(edge: Edge, tab: Rect, proud: f64) -> Rect {
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
