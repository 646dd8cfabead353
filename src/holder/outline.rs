//! From what a style says of a part's shape to its region.

use kurbo::{Point, Vec2};

use super::build::Bench;
use super::finding::{Finding, Refusal};
use super::part::{Drilling, MadeBy, Mark, MarkKind, Row};
use super::trace::trace;
use crate::kernel::{
    Contour, Region, Relief, closed_slot, eased_slot, open_slot, polygon, rectangle, relieve,
    tapered_slot,
};
use crate::style::{
    CutSpec, Edge, Expr, Face, NotchSpec, OutlineSpec, PartSpec, Purpose, SlotSpec, TracedSpec,
    WindowSpec,
};

/// How far a cut that opens to an edge runs past it, in mm: far enough that the two edges are
/// never taken for one.
pub(super) const OVERRUN: f64 = 5.0;

/// What shaping a part comes to.
pub(super) struct Shaped {
    /// The outline before anything was cut away.
    pub blank: Contour,
    pub region: Region,
    /// Slot ends to drill, when made by hand.
    pub drillings: Vec<Drilling>,
    /// Saw lines, when made by hand.
    pub marks: Vec<Mark>,
    pub rows: Vec<Row>,
}

/// One cut, before it is repeated.
struct Cutter {
    contour: Contour,
    /// Inside corners into which a square-cornered part must fit.
    seats: Vec<Point>,
    /// Centre of a slot's drilled end with its diameter, and the ends of the two saw lines.
    slot: Option<Slot>,
    row: Row,
}

struct Slot {
    end: Point,
    diameter: f64,
    saw_lines: [(Point, Point); 2],
}

/// Shapes `spec`'s outline and everything cut from it.
///
/// # Errors
/// When a formula fails or the shape can't be made.
pub(super) fn shape(bench: &Bench<'_>, spec: &PartSpec) -> Result<Shaped, Refusal> {
    let blank = blank(bench, &spec.outline)?;
    let mut shaped = Shaped {
        region: Region::new(blank.clone(), Vec::new()),
        blank,
        drillings: Vec::new(),
        marks: Vec::new(),
        rows: Vec::new(),
    };
    let mut seats = Vec::new();
    for cut in &spec.cuts {
        cut_away(bench, cut, &mut shaped, &mut seats)?;
    }
    if bench.made_by() == MadeBy::Router && !seats.is_empty() {
        let bit = bench.router_bit()?;
        shaped.region =
            relieve(&shaped.region, &seats, Relief::Corner, bit).map_err(|e| bench.unmade(&e))?;
    }
    Ok(shaped)
}

/// Makes one cut in all its rounds. Like cuts make one row.
fn cut_away(
    bench: &Bench<'_>,
    cut: &CutSpec,
    shaped: &mut Shaped,
    seats: &mut Vec<Point>,
) -> Result<(), Refusal> {
    let bounds = shaped.blank.bounds();
    let mut rows: Vec<Row> = Vec::new();
    bench.rounds(cut.repeat.as_ref(), |[x, y]: [f64; 2]| {
        if !bench.holds(cut.when.as_ref())? {
            return Ok(());
        }
        let (cutter, step) = (cutter(bench, cut, bounds)?, Vec2::new(x, y));
        let moved = cutter.contour.transformed(kurbo::Affine::translate(step));
        shaped.region = shaped.region.cut(&moved).map_err(|e| bench.unmade(&e))?;
        seats.extend(cutter.seats.iter().map(|seat| *seat + step));
        if let (Some(slot), MadeBy::Hand) = (&cutter.slot, bench.made_by()) {
            saw_and_drill(bench, slot, step, shaped);
        }
        let centres: Vec<Point> = cutter.row.centres.iter().map(|c| *c + step).collect();
        match rows.iter_mut().find(|row| row.label == cutter.row.label) {
            Some(row) => row.centres.extend(centres),
            None => rows.push(Row { centres, ..cutter.row }),
        }
        Ok(())
    })?;
    shaped.rows.extend(rows);
    Ok(())
}

/// By hand the slot's end is drilled and its sides are sawn.
fn saw_and_drill(bench: &Bench<'_>, slot: &Slot, step: Vec2, shaped: &mut Shaped) {
    let bit = bench.bit_of(slot.diameter);
    shaped.drillings.push(Drilling {
        at: slot.end + step,
        diameter: slot.diameter,
        depth: None,
        purpose: Purpose::SlotEnd,
        bit,
        face: Face::Show,
        lean: 0.0,
    });
    for (from, to) in slot.saw_lines {
        let kind = MarkKind::Saw { from: from + step, to: to + step };
        shaped.marks.push(Mark { kind, label: String::new() });
    }
}

fn blank(bench: &Bench<'_>, outline: &OutlineSpec) -> Result<Contour, Refusal> {
    let contour = match outline {
        OutlineSpec::Rectangle(spec) => {
            let size = bench.pair(&spec.size)?;
            let corners =
                [&spec.lower_left, &spec.lower_right, &spec.upper_right, &spec.upper_left];
            let mut radii = [0.0; 4];
            for (radius, corner) in radii.iter_mut().zip(corners) {
                *radius = corner.as_ref().map_or(Ok(0.0), |r| bench.length(r))?;
            }
            rectangle(Point::ORIGIN, size.x, size.y, radii)
        }
        OutlineSpec::Polygon(spec) => {
            let radius = |i: usize| spec.radii.get(i).map_or(Ok(0.0), |r| bench.length(r));
            let corners = spec.corners.iter().enumerate();
            let corners: Vec<(Point, f64)> = corners
                .map(|(i, c)| Ok((bench.pair(c)?, radius(i)?)))
                .collect::<Result<_, Refusal>>()?;
            polygon(&corners)
        }
        OutlineSpec::Svg(spec) => return trace(bench, spec),
    };
    contour.map_err(|e| bench.unmade(&e))
}

fn cutter(bench: &Bench<'_>, cut: &CutSpec, bounds: kurbo::Rect) -> Result<Cutter, Refusal> {
    if let Some(slot) = &cut.slot {
        return slot_cutter(bench, slot, bounds);
    }
    if let Some(window) = &cut.window {
        return window_cutter(bench, window);
    }
    if let Some(notch) = &cut.notch {
        return notch_cutter(bench, notch, bounds);
    }
    if let Some(traced) = &cut.traced {
        return traced_cutter(bench, traced);
    }
    let Some(hole) = &cut.hole else {
        return Err(Finding::stop("shape", "a cut says nothing").into());
    };
    let (at, diameter) = (bench.pair(&hole.at)?, bench.size(&hole.diameter)?);
    let label = format!("round opening {}", bench.write(diameter));
    Ok(Cutter {
        contour: Contour::circle(at, diameter / 2.0),
        seats: Vec::new(),
        slot: None,
        row: Row { label, centres: vec![at], size: diameter },
    })
}

fn traced_cutter(bench: &Bench<'_>, spec: &TracedSpec) -> Result<Cutter, Refusal> {
    let at = bench.pair(&spec.at)?;
    let clearance = spec.clearance.as_ref().map_or(Ok(0.0), |c| bench.length(c))?;
    let traced = trace(bench, &spec.svg)?.transformed(kurbo::Affine::translate(at.to_vec2()));
    let contour = if clearance == 0.0 {
        traced
    } else {
        traced.grown(clearance).map_err(|e| bench.unmade(&e))?
    };
    let bounds = contour.bounds();
    let label = format!(
        "traced opening {} × {}",
        bench.write(bounds.width()),
        bench.write(bounds.height())
    );
    Ok(Cutter {
        contour,
        seats: Vec::new(),
        slot: None,
        row: Row {
            label,
            centres: vec![bounds.center()],
            size: bounds.width().min(bounds.height()),
        },
    })
}

fn slot_cutter(bench: &Bench<'_>, spec: &SlotSpec, bounds: kurbo::Rect) -> Result<Cutter, Refusal> {
    let end = bench.pair(&spec.end)?;
    let width = bench.length(&spec.width)?;
    let optional = |expr: &Option<Expr>| expr.as_ref().map(|e| bench.length(e)).transpose();
    let diameter = optional(&spec.end_diameter)?.unwrap_or(width);
    let (mouth_width, radius) = (optional(&spec.mouth_width)?, optional(&spec.mouth_radius)?);
    let (contour, mouth) = match (spec.toward, &spec.to) {
        (Some(edge), _) => {
            let (mouth, past) = edge_point(end, edge, bounds);
            let contour = match (mouth_width, radius) {
                (Some(mouth_width), _) => tapered_slot(end, mouth, width, mouth_width, OVERRUN),
                (None, Some(radius)) => eased_slot(end, mouth, width, radius, OVERRUN),
                (None, None) => open_slot(end, past, width, diameter),
            };
            (contour, mouth)
        }
        (None, Some(to)) => {
            let to = bench.pair(to)?;
            (closed_slot(end, to, width, diameter), to)
        }
        (None, None) => return Err(Finding::stop("shape", "a slot leads nowhere").into()),
    };
    let contour = contour.map_err(|e| bench.unmade(&e))?;
    let saw_lines = saw_lines(end, mouth, [width, diameter, mouth_width.unwrap_or(width)]);
    let wide = bench.write(width);
    let label = match (mouth_width, radius) {
        (Some(mouth), _) => {
            format!("slot {wide} wide at its end, {} at the mouth", bench.write(mouth))
        }
        (None, Some(radius)) => {
            format!("slot {wide} wide, mouth rounded R {}", bench.write(radius))
        }
        (None, None) if diameter > width => {
            format!("slot {wide} wide, end {}", bench.write(diameter))
        }
        (None, None) => format!("slot {wide} wide"),
    };
    Ok(Cutter {
        contour,
        seats: Vec::new(),
        slot: Some(Slot { end, diameter, saw_lines }),
        row: Row { label, centres: vec![end], size: width },
    })
}

/// Where the saw runs from a slot's drilled end to its mouth, along both sides.
fn saw_lines(
    end: Point,
    mouth: Point,
    [width, diameter, mouth_width]: [f64; 3],
) -> [(Point, Point); 2] {
    let run = (mouth - end).hypot().max(f64::MIN_POSITIVE);
    let ahead = (mouth - end) / run;
    let (radius, aside) = (diameter / 2.0, mouth_width / 2.0);
    // From the axis to where a side leaves the round end: past its widest place on the way to a
    // wider mouth, short of it for a keyhole.
    let leaves = if mouth_width > width {
        aside.atan2(run) + (radius / run.hypot(aside)).min(1.0).acos()
    } else {
        (width / diameter.max(f64::MIN_POSITIVE)).min(1.0).asin()
    };
    [1.0, -1.0].map(|side| {
        let left = ahead.turn_90() * side;
        let begin = ahead * (radius * leaves.cos()) + left * (radius * leaves.sin());
        (end + begin, mouth + left * aside)
    })
}

/// Where a line from `end` square to `edge` leaves the bounds, and a point past it.
fn edge_point(end: Point, edge: Edge, bounds: kurbo::Rect) -> (Point, Point) {
    let (x, y) = (end.x, end.y);
    match edge {
        Edge::Bottom => (Point::new(x, bounds.y0), Point::new(x, bounds.y0 - OVERRUN)),
        Edge::Top => (Point::new(x, bounds.y1), Point::new(x, bounds.y1 + OVERRUN)),
        Edge::Left => (Point::new(bounds.x0, y), Point::new(bounds.x0 - OVERRUN, y)),
        Edge::Right => (Point::new(bounds.x1, y), Point::new(bounds.x1 + OVERRUN, y)),
    }
}

fn window_cutter(bench: &Bench<'_>, spec: &WindowSpec) -> Result<Cutter, Refusal> {
    let (at, size) = (bench.pair(&spec.at)?, bench.pair(&spec.size)?);
    let radius = spec.radius.as_ref().map_or(Ok(0.0), |r| bench.length(r))?;
    let contour = rectangle(at, size.x, size.y, [radius; 4]).map_err(|e| bench.unmade(&e))?;
    let rect = kurbo::Rect::from_origin_size(at, (size.x, size.y));
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    let label = format!("window {} × {}", bench.write(size.x), bench.write(size.y));
    Ok(Cutter {
        contour,
        seats: if spec.seat { corners.map(Point::from).to_vec() } else { Vec::new() },
        slot: None,
        row: Row { label, centres: vec![rect.center()], size: size.x },
    })
}

fn notch_cutter(
    bench: &Bench<'_>,
    spec: &NotchSpec,
    bounds: kurbo::Rect,
) -> Result<Cutter, Refusal> {
    let middle = bench.length(&spec.middle)?;
    let (width, depth) = (bench.size(&spec.width)?, bench.size(&spec.depth)?);
    let radius = spec.radius.as_ref().map_or(Ok(0.0), |r| bench.length(r))?;
    let half = width / 2.0;
    // Drawn as if from the top edge, then turned to the edge it is cut from.
    let (lengthwise, deep) = match spec.edge {
        Edge::Bottom => (Vec2::new(-1.0, 0.0), Vec2::new(0.0, 1.0)),
        Edge::Top => (Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0)),
        Edge::Left => (Vec2::new(0.0, 1.0), Vec2::new(1.0, 0.0)),
        Edge::Right => (Vec2::new(0.0, -1.0), Vec2::new(-1.0, 0.0)),
    };
    let on_edge = match spec.edge {
        Edge::Bottom => Point::new(middle, bounds.y0),
        Edge::Top => Point::new(middle, bounds.y1),
        Edge::Left => Point::new(bounds.x0, middle),
        Edge::Right => Point::new(bounds.x1, middle),
    };
    let place = |along: f64, into: f64| on_edge + lengthwise * along + deep * into;
    let corners = [
        (place(-half, -OVERRUN), 0.0),
        (place(-half, depth), radius),
        (place(half, depth), radius),
        (place(half, -OVERRUN), 0.0),
    ];
    let contour = polygon(&corners).map_err(|e| bench.unmade(&e))?;
    let label = format!("notch {} × {}", bench.write(width), bench.write(depth));
    Ok(Cutter {
        contour,
        seats: if spec.seat { vec![corners[1].0, corners[2].0] } else { Vec::new() },
        slot: None,
        row: Row { label, centres: vec![on_edge + deep * (depth / 2.0)], size: width },
    })
}
