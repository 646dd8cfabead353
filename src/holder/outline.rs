//! From what a style says of a part's shape to its region.

use kurbo::{Point, Size, Vec2};

use super::bench::Bench;
use super::feature::{Feature, SlotForm};
use super::finding::{Finding, Refusal};
use super::part::{Drilling, MadeBy, Mark, MarkKind, Row};
use super::piece::WholePart;
use super::trace::trace;
use crate::kernel::{
    Contour, Region, Relief, ShapeError, closed_slot, eased_slot, open_slot, polygon, rectangle,
    tapered_slot,
};
use crate::limits;
use crate::style::{
    CutShape, CutSpec, Edge, Expr, Face, HoleSpec, NotchSpec, OutlineSpec, PartSpec, Purpose,
    SlotCourse, SlotMouth, SlotSpec, TracedSpec, WindowSpec,
};
use crate::tolerance::{COORDINATE, RELIEF_SLACK};

/// How far a cut that opens to an edge runs past it, in mm: far enough that the two edges are
/// never taken for one.
pub(super) const OVERRUN: f64 = 5.0;

/// What shaping a part comes to.
pub(super) struct Outlined {
    /// The outline before anything was cut away.
    pub blank: Contour,
    pub region: Region,
    /// Slot ends to drill, when made by hand.
    pub drillings: Vec<Drilling>,
    /// Saw lines, when made by hand.
    pub marks: Vec<Mark>,
    pub rows: Vec<Row>,
    /// What came out wider than asked for.
    pub findings: Vec<Finding>,
}

/// One cut, before it is repeated.
struct Cutter {
    contour: Contour,
    /// Inside corners into which a square-cornered part must fit.
    seats: Vec<Point>,
    slot: Option<SawnSlot>,
    feature: Feature,
    center: Point,
    width: CutWidth,
}

/// How wide a cut is where it is narrowest, in mm.
#[derive(Clone, Copy)]
pub(super) struct CutWidth {
    asked: f64,
    pub made: f64,
}

impl CutWidth {
    /// No narrower than the bit mills; what is no width at all stays for the shape to refuse.
    fn of(bench: &Bench<'_>, asked: f64) -> Result<Self, Refusal> {
        let least = if asked > 0.0 { bench.narrowest()? } else { asked };
        Ok(Self { asked, made: asked.max(least) })
    }

    /// The same for a joint, which only the slack of the bit may widen: all more would be too loose.
    pub(super) fn of_joint(bench: &Bench<'_>, asked: f64) -> Result<Self, Refusal> {
        let width = Self::of(bench, asked)?;
        let is_near = width.made - asked <= 2.0 * RELIEF_SLACK + COORDINATE;
        Ok(if is_near { width } else { Self { asked, made: asked } })
    }

    /// Of two sides the narrower one.
    pub(super) fn narrower(self, other: Self) -> Self {
        if other.asked < self.asked { other } else { self }
    }

    /// An inside radius of the cut: rounded ends stay round where it is widened.
    fn radius(self, asked: f64) -> f64 {
        if asked > 0.0 && self.made > self.asked { asked.max(self.made / 2.0) } else { asked }
    }

    /// What to say where it is wider than asked for.
    pub(super) fn wider(self, bench: &Bench<'_>) -> Option<Finding> {
        let more = self.made - self.asked;
        let [asked, made, more] = [self.asked, self.made, more].map(|mm| bench.fine(mm));
        let message = format!(
            "{}: a cut asked for {asked} wide comes {made} wide, {more} more: the thinnest router bit mills no \
             narrower one. A thinner joint_bit under [router] in shop.toml would.",
            bench.name
        );
        (self.made > self.asked).then(|| Finding::note("as-wide-as-the-bit", message))
    }
}

/// How a slot is made by hand: its end bored, its sides sawn.
struct SawnSlot {
    end: Point,
    /// Of the end, in mm.
    diameter: f64,
    saw_lines: [(Point, Point); 2],
}

/// Shapes a part's outline and everything cut from it.
///
/// # Errors
/// When a formula fails or the shape can't be made.
pub(super) fn shape(said: &WholePart<'_>) -> Result<Outlined, Refusal> {
    let bench = &said.bench;
    let blank = blank(bench, said.spec)?;
    let mut shaped = Outlined {
        region: Region::new(blank.clone(), Vec::new()),
        blank,
        drillings: Vec::new(),
        marks: Vec::new(),
        rows: Vec::new(),
        findings: Vec::new(),
    };
    let mut seats = Vec::new();
    for (bench, cut) in
        said.all().flat_map(|(bench, spec)| spec.cuts.iter().map(move |c| (bench, c)))
    {
        cut_away(bench, cut, &mut shaped, &mut seats)?;
    }
    shaped.region = bench.relieved(shaped.region, &seats, Relief::Corner)?;
    Ok(shaped)
}

/// Makes one cut in all its rounds. Like cuts make one row.
fn cut_away(
    bench: &Bench<'_>,
    cut: &CutSpec,
    shaped: &mut Outlined,
    seats: &mut Vec<Point>,
) -> Result<(), Refusal> {
    let bounds = shaped.blank.bounds();
    let mut rows: Vec<Row> = Vec::new();
    bench.rounds_when(cut.repeat.as_ref(), cut.when.as_ref(), |[x, y]: [f64; 2]| {
        let (cutter, step) = (cutter(bench, &cut.shape, bounds)?, Vec2::new(x, y));
        let moved = cutter.contour.transformed(kurbo::Affine::translate(step));
        shaped.region = shaped.region.cut(&moved).map_err(|e| bench.unmade(&e))?;
        let corners: usize = shaped.region.contours().map(|c| c.vertices().len()).sum();
        bench.at_most(corners as f64, limits::CORNERS, "corners and arcs are in its edges")?;
        seats.extend(cutter.seats.iter().map(|seat| *seat + step));
        shaped.findings.extend(cutter.width.wider(bench));
        if let (Some(slot), MadeBy::Hand) = (&cutter.slot, bench.made_by) {
            saw_and_drill(bench, slot, step, shaped);
        }
        Row::add(&mut rows, cutter.feature, cutter.center + step);
        Ok(())
    })?;
    shaped.rows.extend(rows);
    Ok(())
}

/// By hand the slot's end is drilled and its sides are sawn.
fn saw_and_drill(bench: &Bench<'_>, slot: &SawnSlot, step: Vec2, shaped: &mut Outlined) {
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

fn blank(bench: &Bench<'_>, spec: &PartSpec) -> Result<Contour, Refusal> {
    if let Some(size) = &spec.size {
        let size = bench.pair(size)?;
        return rectangle(Point::ORIGIN, size.x, size.y, [0.0; 4]).map_err(|e| bench.unmade(&e));
    }
    let Some(outline) = &spec.outline else {
        return Err(bench
            .layer
            .source
            .problem(spec.name.span(), "it has no size".to_owned())
            .into());
    };
    let contour = match outline {
        OutlineSpec::Rectangle(spec) => {
            let size = bench.pair(&spec.size)?;
            let corners =
                [&spec.lower_left, &spec.lower_right, &spec.upper_right, &spec.upper_left];
            let mut radii = [0.0; 4];
            for (radius, corner) in radii.iter_mut().zip(corners) {
                *radius = bench.optional(corner.as_ref())?.unwrap_or(0.0);
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

fn cutter(bench: &Bench<'_>, shape: &CutShape, bounds: kurbo::Rect) -> Result<Cutter, Refusal> {
    match shape {
        CutShape::Slot(spec) => slot_cutter(bench, spec, bounds),
        CutShape::Hole(spec) => hole_cutter(bench, spec),
        CutShape::Window(spec) => window_cutter(bench, spec),
        CutShape::Notch(spec) => notch_cutter(bench, spec, bounds),
        CutShape::Traced(spec) => traced_cutter(bench, spec),
    }
}

fn hole_cutter(bench: &Bench<'_>, spec: &HoleSpec) -> Result<Cutter, Refusal> {
    let (center, width) = (bench.pair(&spec.at)?, bench.size(&spec.diameter)?);
    let width = CutWidth::of(bench, width)?;
    let diameter = width.made;
    Ok(Cutter {
        width,
        contour: Contour::circle(center, diameter / 2.0),
        seats: Vec::new(),
        slot: None,
        feature: Feature::RoundOpening { diameter },
        center,
    })
}

fn traced_cutter(bench: &Bench<'_>, spec: &TracedSpec) -> Result<Cutter, Refusal> {
    let at = bench.pair(&spec.at)?;
    let clearance = bench.optional(spec.clearance.as_ref())?.unwrap_or(0.0);
    let traced = trace(bench, &spec.svg)?.transformed(kurbo::Affine::translate(at.to_vec2()));
    let contour = if clearance == 0.0 {
        traced
    } else {
        traced.grown(clearance).map_err(|e| bench.unmade(&e))?
    };
    let bounds = contour.bounds();
    let (length, width) = (bounds.width(), bounds.height());
    Ok(Cutter {
        width: CutWidth { asked: width, made: width },
        contour,
        seats: Vec::new(),
        slot: None,
        feature: Feature::TracedOpening { length, width },
        center: bounds.center(),
    })
}

/// What a slot comes to, whichever way it runs.
struct SlotRun {
    contour: Result<Contour, ShapeError>,
    /// Where its axis ends.
    mouth: Point,
    /// Diameter of its end, and its width at the mouth, in mm.
    end_diameter: f64,
    mouth_width: f64,
    form: SlotForm,
}

fn slot_cutter(bench: &Bench<'_>, spec: &SlotSpec, bounds: kurbo::Rect) -> Result<Cutter, Refusal> {
    let (end, asked) = (bench.pair(&spec.end)?, bench.length(&spec.width)?);
    let asked = CutWidth::of(bench, asked)?;
    let width = asked.made;
    let run = match &spec.course {
        SlotCourse::Open { toward, mouth } => {
            open_run(bench, (end, width), edge_point(end, *toward, bounds), mouth)?
        }
        SlotCourse::Closed { to, end_diameter } => {
            let (to, diameter) = (bench.pair(to)?, milled(bench, end_diameter.as_ref())?);
            SlotRun::straight(closed_slot, (end, width), to, to, diameter)
        }
    };
    let saw_lines = saw_lines(end, run.mouth, [width, run.end_diameter, run.mouth_width]);
    Ok(Cutter {
        width: asked,
        contour: run.contour.map_err(|e| bench.unmade(&e))?,
        seats: Vec::new(),
        slot: Some(SawnSlot { end, diameter: run.end_diameter, saw_lines }),
        feature: Feature::Slot { width, form: run.form },
        center: end,
    })
}

/// A diameter as it is made, if one is given.
fn milled(bench: &Bench<'_>, diameter: Option<&Expr>) -> Result<Option<f64>, Refusal> {
    let given = bench.optional(diameter)?;
    given.map(|asked| Ok(CutWidth::of(bench, asked)?.made)).transpose()
}

/// A slot open to an edge, which its axis meets at the first point and is past at the second.
fn open_run(
    bench: &Bench<'_>,
    (end, width): (Point, f64),
    (mouth, past): (Point, Point),
    spec: &SlotMouth,
) -> Result<SlotRun, Refusal> {
    let plain = |contour, mouth_width, form| SlotRun {
        contour,
        mouth,
        end_diameter: width,
        mouth_width,
        form,
    };
    Ok(match spec {
        SlotMouth::Tapered { width: at_mouth } => {
            let mouth_width = CutWidth::of(bench, bench.length(at_mouth)?)?.made;
            let contour = tapered_slot(end, mouth, width, mouth_width, OVERRUN);
            plain(contour, mouth_width, SlotForm::Tapered { mouth_width })
        }
        SlotMouth::Eased { radius } => {
            let mouth_radius = bench.length(radius)?;
            let contour = eased_slot(end, mouth, width, mouth_radius, OVERRUN);
            plain(contour, width, SlotForm::Eased { mouth_radius })
        }
        SlotMouth::Straight { end_diameter } => {
            let diameter = milled(bench, end_diameter.as_ref())?;
            SlotRun::straight(open_slot, (end, width), mouth, past, diameter)
        }
    })
}

impl SlotRun {
    /// One as wide all along, but for its end where that has a diameter of its own. Its axis ends
    /// at `mouth`, what is cut runs `to` a point that may lie beyond.
    fn straight(
        cut: fn(Point, Point, f64, f64) -> Result<Contour, ShapeError>,
        (end, width): (Point, f64),
        mouth: Point,
        to: Point,
        end_diameter: Option<f64>,
    ) -> Self {
        let end_diameter = end_diameter.unwrap_or(width);
        let wider = end_diameter > width;
        let form = if wider { SlotForm::Keyhole { end_diameter } } else { SlotForm::Straight };
        let contour = cut(end, to, width, end_diameter);
        Self { contour, mouth, end_diameter, mouth_width: width, form }
    }
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
    let radius = bench.optional(spec.radius.as_ref())?.unwrap_or(0.0);
    let sides = [CutWidth::of(bench, size.x)?, CutWidth::of(bench, size.y)?];
    let width = sides[0].narrower(sides[1]);
    let center = at + size.to_vec2() / 2.0;
    let size = Size::new(sides[0].made, sides[1].made);
    let at = center - size.to_vec2() / 2.0;
    let contour = rectangle(at, size.width, size.height, [width.radius(radius); 4]);
    let contour = contour.map_err(|e| bench.unmade(&e))?;
    let rect = kurbo::Rect::from_origin_size(at, size);
    let corners = [(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)];
    Ok(Cutter {
        contour,
        seats: if spec.seat { corners.map(Point::from).to_vec() } else { Vec::new() },
        slot: None,
        feature: Feature::Window { length: size.width, width: size.height },
        center,
        width,
    })
}

fn notch_cutter(
    bench: &Bench<'_>,
    spec: &NotchSpec,
    bounds: kurbo::Rect,
) -> Result<Cutter, Refusal> {
    let middle = bench.length(&spec.middle)?;
    let (asked, depth) = (CutWidth::of(bench, bench.size(&spec.width)?)?, bench.size(&spec.depth)?);
    let width = asked.made;
    let radius = bench.optional(spec.radius.as_ref())?.unwrap_or(0.0);
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
        (place(-half, depth), asked.radius(radius)),
        (place(half, depth), asked.radius(radius)),
        (place(half, -OVERRUN), 0.0),
    ];
    let contour = polygon(&corners).map_err(|e| bench.unmade(&e))?;
    Ok(Cutter {
        contour,
        seats: if spec.seat { vec![corners[1].0, corners[2].0] } else { Vec::new() },
        slot: None,
        feature: Feature::Notch { width, depth },
        center: on_edge + deep * (depth / 2.0),
        width: asked,
    })
}
