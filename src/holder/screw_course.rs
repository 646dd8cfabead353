//! Where screws stand on the part that they pass through: in rows that the style says, or along where
//! the parts touch.

use kurbo::{Point, Rect, Vec2};

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::footprint::footprint;
use super::part::Part;
use super::placement::Placement;
use crate::limits;
use crate::style::{Expr, Face, FootprintRow, ScrewCourse, ScrewRow, ScrewSpec, Space};
use crate::tolerance::COORDINATE;

/// Rows of screws, in x and y of the part they pass through, and the face their heads are sunk in.
pub(super) struct Course {
    pub enters: Face,
    pub rows: Vec<Vec<Point>>,
}

/// Where the screws of `spec` stand on part `through`.
///
/// # Errors
/// When a formula fails, or the parts do not touch.
pub(super) fn course(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    through: usize,
    parts: &[Part],
) -> Result<Course, Refusal> {
    let along = match &spec.course {
        ScrewCourse::Rows(rows) => {
            let enters = spec.enters.unwrap_or(Face::Show);
            return Ok(Course { enters, rows: said(bench, rows)? });
        }
        ScrewCourse::Footprint(along) => along,
    };
    let touched = touched(spec, &parts[through], parts);
    let Some(Touch { face: behind, .. }) = touched.first() else {
        return Err(apart(spec));
    };
    let away = if *behind == Face::Show { Face::Back } else { Face::Show };
    let mut rows = Vec::new();
    for touch in &touched {
        rows.extend(along_area(bench, along, touch)?);
        let screws = rows.iter().map(Vec::len).sum::<usize>();
        bench.at_most(screws as f64, limits::SCREWS, "screws hold it")?;
    }
    Ok(Course { enters: spec.enters.unwrap_or(away), rows })
}

/// The rows that a style says.
fn said(bench: &Bench<'_>, rows: &[ScrewRow]) -> Result<Vec<Vec<Point>>, Refusal> {
    let mut all = Vec::new();
    for row in rows {
        all.extend(bench.rounds(row.repeat.as_ref(), |[x, y]: [f64; 2]| {
            let (from, to) = (bench.pair(&row.from)?, bench.pair(&row.to)?);
            let steps = [row.at_most.as_ref(), row.every.as_ref()];
            let points = spread(bench, from, to, steps)?;
            Ok(points.into_iter().map(|at| at + Vec2::new(x, y)).collect::<Vec<_>>())
        })?);
    }
    Ok(all)
}

/// Where two parts touch.
struct Touch {
    /// In x and y of the part that screws pass through.
    area: Rect,
    /// The face of it that is touched.
    face: Face,
    /// Whether a row along it runs up the part rather than along it.
    upright: bool,
}

impl Touch {
    /// Of `area`, the long way.
    fn long(area: Rect, face: Face) -> Self {
        Self { area, face, upright: area.height() > area.width() }
    }

    /// Of a piece that stands with its edge on another: along that edge, however short it is.
    fn of(place: &Placement, other: &Placement, (area, face): (Rect, Face)) -> Self {
        let ([u, v, _], [.., thick]) = (place.frame(), other.frame());
        let along =
            |axis: Space| axis.iter().zip(thick).map(|(a, b)| a * b).sum::<f64>().abs() > 0.5;
        match (along(u), along(v)) {
            (true, _) => Self { area, face, upright: true },
            (_, true) => Self { area, face, upright: false },
            _ => Self::long(area, face),
        }
    }
}

/// Where the part is touched by what the screws go into. What goes into the wall, or into whatever lies
/// behind, is held over its whole length.
fn touched(spec: &ScrewSpec, through: &Part, parts: &[Part]) -> Vec<Touch> {
    let Some(into) = spec.into.as_ref().filter(|_| !spec.to_wall()) else {
        return vec![Touch::long(through.region.bounds(), Face::Back)];
    };
    let lands = parts.iter().filter(|part| part.kind == *into.get_ref());
    let pieces: Vec<_> = lands.flat_map(|l| l.places.iter().map(move |at| (l, at))).collect();
    let of = |place| {
        let found = pieces.iter().filter_map(|(lands, other)| {
            let (area, face) = footprint(place, lands, other)?;
            let area = area.intersect(through.region.bounds());
            let there = area.width() > 0.0 && area.height() > 0.0;
            there.then(|| Touch::of(place, other, (area, face)))
        });
        found.collect::<Vec<_>>()
    };
    through.places.iter().map(of).find(|found| !found.is_empty()).unwrap_or_default()
}

fn apart(spec: &ScrewSpec) -> Refusal {
    let into = spec.into.as_ref().map_or("what lies behind", |into| into.get_ref());
    let message = format!(
        "{}: {into} touches 0 faces of {}, so no screw joins them: bring them together (sits), or say the \
         rows.",
        spec.name.get_ref(),
        spec.through.get_ref()
    );
    Finding::stop("screw-misses", message).into()
}

/// The rows along one place where parts touch.
fn along_area(
    bench: &Bench<'_>,
    along: &FootprintRow,
    Touch { area, upright, .. }: &Touch,
) -> Result<Vec<Vec<Point>>, Refusal> {
    let upright = *upright;
    let (low, high, base, across) = if upright {
        (area.y0, area.y1, area.x0, area.width())
    } else {
        (area.x0, area.x1, area.y0, area.height())
    };
    let ends = bench.optional(along.ends.as_ref())?.unwrap_or(0.0);
    let from = bench.optional(along.from.as_ref())?.unwrap_or(low + ends);
    let to = bench.optional(along.to.as_ref())?.unwrap_or(high - ends);
    let lines = along.lines.as_ref().map_or(Ok(1), |lines| bench.count(lines))?;
    let line = bench.optional(along.line.as_ref())?;
    let rows = (0..lines).map(|i| {
        let middle = base + across * (i as f64 + 0.5) / lines as f64;
        // One of several lines; a single one is in the middle of what is touched.
        let middle = if lines > 1 { bench.tape().nearest(middle) } else { middle };
        let line = line.unwrap_or(middle);
        let at = |run| if upright { Point::new(line, run) } else { Point::new(run, line) };
        spread(bench, at(from), at(to), [along.at_most.as_ref(), along.every.as_ref()])
    });
    rows.collect()
}

/// The points of a row: evenly spread with both ends taken, at most so far apart, or every so far; or
/// one in the middle where the ends meet or cross.
fn spread(
    bench: &Bench<'_>,
    from: Point,
    to: Point,
    [at_most, every]: [Option<&Expr>; 2],
) -> Result<Vec<Point>, Refusal> {
    let run = to - from;
    if run.x < -COORDINATE || run.y < -COORDINATE || run.hypot() <= COORDINATE {
        return Ok(vec![from.midpoint(to)]);
    }
    if let Some(every) = every {
        let every = bench.size(every)?;
        let count = (run.hypot() / every + 1e-9).floor();
        let count = bench.at_most(count, limits::REPEATS, "screws stand in one row")?;
        let step = run / run.hypot() * every;
        // One that comes out even stands alike to both ends.
        let left = run.hypot() - every * count as f64;
        let from = if left < COORDINATE { from } else { on_mark(bench, from, run) };
        return Ok((0..=count).map(|i| from + step * i as f64).collect());
    }
    let gaps = match at_most {
        Some(at_most) => (run.hypot() / bench.size(at_most)? - 1e-9).ceil().max(1.0),
        None => 1.0,
    };
    let count = bench.at_most(gaps, limits::REPEATS, "screws stand in one row")?;
    let (from, run) = in_even_steps(bench, from, run, gaps);
    Ok((0..=count).map(|i| from + run * (i as f64 / gaps)).collect())
}

/// A row along an edge, as far from one end as from the other, in even steps of whole marks of the tape; two screws
/// stand one mark nearer to each other where both are on marks then. One that runs askew, or in steps of less than two
/// marks, stays.
fn in_even_steps(bench: &Bench<'_>, from: Point, run: Vec2, gaps: f64) -> (Point, Vec2) {
    let tape = bench.tape();
    let askew = run.x.abs().min(run.y.abs()) > COORDINATE;
    let marks = tape.marks(tape.down(run.hypot() / gaps));
    if askew || marks < 2 {
        return (from, run);
    }
    let row = |marks: i64| {
        let even = run / run.hypot() * tape.mark(marks) * gaps;
        (from + (run - even) / 2.0, even)
    };
    let on_marks = |at: Point| (on_mark(bench, at, run) - at).hypot() < COORDINATE;
    let nearer = gaps < 2.0 && !on_marks(row(marks).0) && on_marks(row(marks - 1).0);
    row(if nearer { marks - 1 } else { marks })
}

/// A point at the nearest mark of the tape along a row that runs along an edge.
fn on_mark(bench: &Bench<'_>, at: Point, run: Vec2) -> Point {
    match (run.x.abs() > COORDINATE, run.y.abs() > COORDINATE) {
        (true, false) => Point::new(bench.tape().nearest(at.x), at.y),
        (false, true) => Point::new(at.x, bench.tape().nearest(at.y)),
        _ => at,
    }
}
