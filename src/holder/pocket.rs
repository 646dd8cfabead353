//! Rabbets and pockets: areas milled to a depth.

use kurbo::{Point, Rect, Vec2};

use super::bench::Bench;
use super::feature::Feature;
use super::finding::{Finding, Refusal};
use super::open_sides::OpenSides;
use super::part::{MadeBy, Part, Pocket, Row};
use crate::kernel::{Contour, Region, Relief, Vertex, rectangle, relieve};
use crate::length::Units;
use crate::style::{Edge, Face, PartSpec, PocketSpec};
use crate::tolerance::{COORDINATE, LEAST_FLOOR, RELIEF_SLACK};

/// The pockets of a part `thickness` thick, and the rows they make.
///
/// # Errors
/// When a formula fails, a pocket lies outside the part or goes too deep.
pub(super) fn pockets(
    bench: &Bench<'_>,
    spec: &PartSpec,
    region: &Region,
    thickness: f64,
) -> Result<(Vec<Pocket>, Vec<Row>), Refusal> {
    let (mut pockets, mut rows): (Vec<Pocket>, Vec<Row>) = (Vec::new(), Vec::new());
    for pocket in &spec.pockets {
        bench.rounds_when(pocket.repeat.as_ref(), pocket.when.as_ref(), |[x, y]: [f64; 2]| {
            let made = one(bench, pocket, Vec2::new(x, y), (region, thickness))?;
            inside(bench, &made, region)?;
            Row::add(&mut rows, feature(&made), made.area.center());
            pockets.push(made);
            Ok(())
        })?;
    }
    Ok((pockets, rows))
}

fn feature(pocket: &Pocket) -> Feature {
    let Pocket { area, depth, face, .. } = *pocket;
    Feature::Pocket { length: area.width(), width: area.height(), depth, face }
}

fn one(
    bench: &Bench<'_>,
    spec: &PocketSpec,
    step: Vec2,
    (region, thickness): (&Region, f64),
) -> Result<Pocket, Refusal> {
    let (at, size) = (bench.pair(&spec.at)? + step, bench.pair(&spec.size)?);
    let depth = bench.size(&spec.depth)?;
    if thickness - depth < LEAST_FLOOR - COORDINATE {
        let message = format!(
            "{}: a pocket {} deep leaves {} of a part {} thick; at least {} must stay. Make it \
             shallower, or the part thicker.",
            bench.name,
            bench.write(depth),
            bench.write((thickness - depth).max(0.0)),
            bench.write(thickness),
            bench.write(LEAST_FLOOR)
        );
        return Err(Finding::stop("pocket-too-deep", message).into());
    }
    // Refused here where it has no size.
    let plain = rectangle(at, size.x, size.y, [0.0; 4]).map_err(|e| bench.unmade(&e))?;
    let face = spec.face.unwrap_or(Face::Show);
    let area = Rect::from_origin_size(at, (size.x, size.y));
    let open = OpenSides::of(area, region.bounds());
    let seat = spec.seat;
    let mut pocket = Pocket { contour: plain, area, open, seat, run_out: 0.0, depth, face };
    if bench.made_by == MadeBy::Router {
        pocket.mill(bench)?;
    }
    Ok(pocket)
}

/// A pocket between two walls needs room for the bit.
fn wide_enough(bench: &Bench<'_>, area: Rect, open: OpenSides) -> Result<(), Refusal> {
    let least = bench.narrowest()?;
    let [x, y] = open.across();
    let sides = [(x, area.width()), (y, area.height())];
    let walled = sides.into_iter().filter(|(open, _)| !open).map(|(_, between)| between);
    let narrow = walled.fold(f64::INFINITY, f64::min);
    if narrow >= least - COORDINATE {
        return Ok(());
    }
    let message = format!(
        "{}: a pocket {} wide is too narrow for the router bit, which mills {} and more. Make it wider by {}, or \
         write a thinner bit as joint_bit under [router] in shop.toml.",
        bench.name,
        bench.fine(narrow),
        bench.fine(least),
        bench.fine(least - narrow)
    );
    Err(Finding::stop("pocket-too-narrow", message).into())
}

/// What the bit goes round, `corners` relieved so that square wood seats.
fn relieved(bench: &Bench<'_>, run: Rect, corners: &[Point]) -> Result<Contour, Refusal> {
    let bit = bench.joint_bit()?;
    let boxed = |rect: Rect| {
        let made = rectangle(rect.origin(), rect.width(), rect.height(), [0.0; 4]);
        made.map_err(|e| bench.unmade(&e))
    };
    let (plain, board) = (boxed(run)?, boxed(run.inflate(4.0 * bit, 4.0 * bit))?);
    let region = Region::new(board, vec![plain.clone()]);
    let relieved = relieve(&region, corners, Relief::Corner, bit).map_err(|e| bench.unmade(&e))?;
    Ok(relieved.openings().first().cloned().unwrap_or(plain).counter_clockwise())
}

impl Pocket {
    /// How much of the part's face it takes, in mm².
    pub(crate) fn wood(&self) -> f64 {
        self.contour.area() - self.run_out
    }

    /// Its edge as it shows on the part.
    pub(crate) fn on_the_part(&self) -> Contour {
        let Rect { x0, y0, x1, y1 } = self.area;
        let corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)];
        let plain = Contour::new(corners.map(|(x, y)| Vertex::line(x, y)));
        plain.filter(|_| self.run_out > 0.0).unwrap_or_else(|| self.contour.clone())
    }

    /// Works out what the bit goes round: out past the open sides, its corners relieved where wood is to seat.
    fn mill(&mut self, bench: &Bench<'_>) -> Result<(), Refusal> {
        wide_enough(bench, self.area, self.open)?;
        let run = self.open.run_out(self.area, bench.outline_bit()? / 2.0 + RELIEF_SLACK);
        let corners = if self.seat { self.open.walled(self.area) } else { Vec::new() };
        self.contour = relieved(bench, run, &corners)?;
        self.run_out = run.area() - self.area.area();
        Ok(())
    }

    /// Closes its side at `edge` where one of the tabs there stands before it: the bit would run out into its root.
    pub(super) fn keep_off(
        &mut self,
        bench: &Bench<'_>,
        edge: Edge,
        tabs: &[Rect],
    ) -> Result<(), Refusal> {
        let out = self.contour.bounds();
        let meets = |tab: &Rect| tab.intersect(out).area() > COORDINATE;
        if !tabs.iter().any(meets) || !std::mem::take(self.open.at(edge)) {
            return Ok(());
        }
        self.mill(bench)
    }

    /// The corners of a place for wood that a bit leaves round.
    fn round_corners(&self) -> Vec<Point> {
        if self.seat { Vec::new() } else { self.open.walled(self.area) }
    }
}

/// A note for each pocket whose round corners keep square wood of another part out.
pub(super) fn kept_round(parts: &[Part], bit: f64, units: Units) -> Vec<Finding> {
    let milled = parts.iter().filter(|part| part.made_by == MadeBy::Router);
    let notes = milled.flat_map(|part| {
        let others = parts.iter().filter(move |other| other.name != part.name && !other.is_round());
        others.filter(move |other| meets_round_corner(part, other, bit / 2.0)).map(move |other| {
            let message = format!(
                "{}: the corners of a pocket keep the bit's radius of {}, and {} comes square into them: round its \
                 corners, or square the pocket with a chisel.",
                part.name,
                units.length(bit / 2.0),
                other.name
            );
            Finding::note("round-pocket", message)
        })
    });
    notes.collect()
}

/// Whether a corner of a pocket, round to `radius`, holds wood that a square corner of `other` needs.
fn meets_round_corner(part: &Part, other: &Part, radius: f64) -> bool {
    part.places.iter().any(|place| {
        other.places.iter().any(|inside| {
            let (low, high) = inside.bounds();
            let ((a, from), (b, to)) = (place.to_piece(low), place.to_piece(high));
            let (wood, depths) = (Rect::from_points(a, b), [from.min(to), from.max(to)]);
            let mut pockets = part.pockets.iter();
            pockets.any(|pocket| {
                let thickness = part.stock.thickness;
                let [near, far] = match pocket.face {
                    Face::Show => [0.0, pocket.depth],
                    Face::Back => [thickness - pocket.depth, thickness],
                };
                let is_deep = depths[0] < far - COORDINATE && depths[1] > near + COORDINATE;
                let inside = wood.intersect(pocket.area);
                let round = pocket.round_corners();
                is_deep
                    && inside.area() > COORDINATE
                    && round.iter().any(|at| is_in_fillet(*at, inside, radius))
            })
        })
    })
}

/// Whether `wood` reaches into what a bit leaves of the corner `at`.
fn is_in_fillet(at: Point, wood: Rect, radius: f64) -> bool {
    let away = |a: f64, low: f64, high: f64| (a - low).abs().min((a - high).abs());
    let (x, y) = (away(at.x, wood.x0, wood.x1), away(at.y, wood.y0, wood.y1));
    x < radius && y < radius && (radius - x).hypot(radius - y) > radius + COORDINATE
}

/// A pocket may run out at the part's edge (a rabbet), but not past it.
fn inside(bench: &Bench<'_>, pocket: &Pocket, region: &Region) -> Result<(), Refusal> {
    let (bounds, room) = (pocket.area, region.bounds().inflate(COORDINATE, COORDINATE));
    if room.contains_rect(bounds) {
        return Ok(());
    }
    let message = format!(
        "{}: the pocket of {} × {} at {}, {} reaches past the part, which is {} × {}. Make the part \
         larger or the pocket smaller.",
        bench.name,
        bench.write(bounds.width()),
        bench.write(bounds.height()),
        bench.write(bounds.x0),
        bench.write(bounds.y0),
        bench.write(region.bounds().width()),
        bench.write(region.bounds().height())
    );
    Err(Finding::stop("pocket-outside", message).into())
}
