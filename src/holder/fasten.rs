//! Screws: from a row on one part to the holes in every part they pass, found from where the
//! parts sit in space, and to what must be bought.

use kurbo::{Point, Vec2};

use super::Hardware;
use super::build::Bench;
use super::finding::{Finding, Refusal};
use super::part::{Drilling, Mark, MarkKind, Part, Row};
use super::placement::Placement;
use crate::length::MM_PER_INCH;
use crate::reading::Kind;
use crate::shop::Screw;
use crate::style::{Face, Purpose, ScrewRow, ScrewSpec, Space};
use crate::tolerance::COORDINATE;

/// Wood left beyond a screw's tip so that it never pokes through, in mm. Common practice, no source.
const BEYOND_TIP: f64 = MM_PER_INCH / 8.0;

/// A screw need bite no deeper than this into the far part, in mm. Common practice, no source.
const BITE_ENOUGH: f64 = 1.5 * MM_PER_INCH;

/// A bite shorter than this holds poorly, in mm. Common practice, no source.
const BITE_LEAST: f64 = 0.375 * MM_PER_INCH;

/// What a screw into a stud passes besides wood, and how deep it goes in, in mm: 1/2 in wallboard
/// and 1 1/4 in of stud. Common practice, no source.
const WALLBOARD: f64 = 0.5 * MM_PER_INCH;
const STUD_BITE: f64 = 1.25 * MM_PER_INCH;

/// A screw on its way through the parts: where it stands, and what it meets.
struct Path {
    /// Each part passed right through: its index and the point on it.
    passed: Vec<(usize, Point)>,
    /// Wood passed so far, in mm.
    wood: f64,
    /// The part it ends in; `None` for the wall.
    end: Option<End>,
}

struct End {
    part: usize,
    /// Where it enters the part, in the part's own x and y.
    at: Point,
    /// How much wood lies ahead, in mm.
    room: f64,
    way: Way,
}

/// How a screw enters the part it ends in.
#[derive(Clone, Copy, PartialEq)]
enum Way {
    Through(Face),
    /// Into an edge, in this direction of the part's own x and y.
    Edge(Vec2),
}

/// Drills every part for the screws this layer asks for and adds them to the hardware.
///
/// # Errors
/// When a formula fails or a screw number is unknown.
pub(super) fn fasten(
    bench: &Bench<'_>,
    parts: &mut [Part],
    hardware: &mut Vec<Hardware>,
) -> Result<(), Refusal> {
    for spec in &bench.layer.file.screws {
        let through = parts.iter().position(|part| part.name == *spec.through.get_ref());
        let Some(through) = through.filter(|i| !parts[*i].places.is_empty()) else { continue };
        if bench.holds(spec.when.as_ref())? {
            join(bench, spec, through, parts, hardware)?;
        }
    }
    Ok(())
}

fn join(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    through: usize,
    parts: &mut [Part],
    hardware: &mut Vec<Hardware>,
) -> Result<(), Refusal> {
    let number = bench.figure(&spec.number, Kind::Number)?;
    let screw = Screw::new(number).map_err(|e| bench.wrong(&spec.number, &e.to_string()))?;
    let mut rows = Vec::new();
    for row in &spec.rows {
        rows.extend(bench.rounds(row.repeat.as_ref(), |[x, y]: [f64; 2]| {
            let points = spread(bench, row)?;
            Ok(points.iter().map(|point| *point + Vec2::new(x, y)).collect::<Vec<_>>())
        })?);
    }
    let mut paths: Vec<Vec<Path>> = Vec::new();
    for row in &rows {
        let mut met = Vec::new();
        for place in &parts[through].places {
            for point in row {
                match trace(spec, through, place, *point, parts) {
                    Some(path) => met.push(path),
                    None => miss(bench, spec, *point),
                }
            }
        }
        paths.push(met);
    }
    let all: Vec<&Path> = paths.iter().flatten().collect();
    let Some(length) = length(bench, spec, screw, &all)? else { return Ok(()) };
    hardware.push(Hardware {
        item: "wood screw, flat head".to_owned(),
        size: format!("#{} × {}", screw.number(), bench.write(length)),
        quantity: all.len(),
        used_for: spec.about.clone(),
    });
    for (row, met) in rows.iter().zip(&paths) {
        let drill = Drill { bench, screw, length, parts };
        drill.row(spec, through, row, met);
    }
    Ok(())
}

fn miss(bench: &Bench<'_>, spec: &ScrewSpec, point: Point) {
    let message = format!(
        "{}: the screw at {}, {} of {} meets nothing behind it; the parts are too small for each other.",
        spec.about,
        bench.write(point.x),
        bench.write(point.y),
        spec.through.get_ref()
    );
    bench.say(Finding::stop("screw-misses", message));
}

/// The points of a row: evenly spread with both ends taken, or one in the middle where the ends
/// meet or cross.
fn spread(bench: &Bench<'_>, row: &ScrewRow) -> Result<Vec<Point>, Refusal> {
    let (from, to) = (bench.pair(&row.from)?, bench.pair(&row.to)?);
    let run = to - from;
    if run.x < -COORDINATE || run.y < -COORDINATE || run.hypot() <= COORDINATE {
        return Ok(vec![from.midpoint(to)]);
    }
    if let Some(every) = &row.every {
        let every = bench.size(every)?;
        let count = (run.hypot() / every + 1e-9).floor() as usize;
        let step = run / run.hypot() * every;
        return Ok((0..=count.min(1000)).map(|i| from + step * i as f64).collect());
    }
    let gaps = match &row.at_most {
        Some(at_most) => (run.hypot() / bench.size(at_most)? - 1e-9).ceil().clamp(1.0, 1000.0),
        None => 1.0,
    };
    Ok((0..=gaps as usize).map(|i| from + run * (i as f64 / gaps)).collect())
}

/// Follows a screw from where its head sits to what it ends in.
fn trace(
    spec: &ScrewSpec,
    through: usize,
    place: &Placement,
    point: Point,
    parts: &[Part],
) -> Option<Path> {
    let thickness = place.size[2];
    let (exit, sign) = match spec.enters {
        Face::Show => (place.to_space(point, thickness), 1.0),
        Face::Back => (place.to_space(point, 0.0), -1.0),
    };
    let [_, _, out] = place.frame();
    let ahead: Space = out.map(|axis| -axis * sign);
    let mut path = Path { passed: vec![(through, point)], wood: thickness, end: None };
    let to_wall = spec.into.as_ref().is_some_and(|into| into.get_ref() == "wall");
    let mut at = exit;
    loop {
        let inside: Space = std::array::from_fn(|i| at[i] + ahead[i] * 0.5);
        let Some((index, piece)) = piece_at(parts, inside) else {
            return to_wall.then_some(path);
        };
        let end = enter(index, piece, at, ahead, parts);
        if !to_wall {
            let wanted = spec.into.as_ref().is_none_or(|into| *into.get_ref() == parts[index].name);
            path.end = Some(end);
            return wanted.then_some(path);
        }
        path.passed.push((index, end.at));
        path.wood += end.room;
        at = std::array::from_fn(|i| at[i] + ahead[i] * end.room);
    }
}

/// The piece whose wood holds a point.
fn piece_at(parts: &[Part], point: Space) -> Option<(usize, &Placement)> {
    parts.iter().enumerate().find_map(|(index, part)| {
        let holds = |place: &&Placement| {
            let (at, depth) = place.to_piece(point);
            let deep_enough = (-COORDINATE..=place.size[2] + COORDINATE).contains(&depth);
            deep_enough && in_wood(part, at)
        };
        Some((index, part.places.iter().find(holds)?))
    })
}

fn in_wood(part: &Part, at: Point) -> bool {
    let around = part.region.bounds().inflate(COORDINATE, COORDINATE);
    around.contains(at) && part.region.room_at(at) >= -COORDINATE
}

fn enter(part: usize, piece: &Placement, at: Space, ahead: Space, parts: &[Part]) -> End {
    let (point, depth) = piece.to_piece(at);
    let next: Space = std::array::from_fn(|i| at[i] + ahead[i]);
    let (beyond, deeper) = piece.to_piece(next);
    if (deeper - depth).abs() > 0.5 {
        let way = Way::Through(if deeper > depth { Face::Show } else { Face::Back });
        return End { part, at: point, room: piece.size[2], way };
    }
    let way = beyond - point;
    End { part, at: point, room: wood_ahead(&parts[part], point, way), way: Way::Edge(way) }
}

/// How far a screw that enters an edge at `from` stays in the wood on its `way`, in mm.
fn wood_ahead(part: &Part, from: Point, way: Vec2) -> f64 {
    let inside = |run: f64| in_wood(part, from + way * run);
    let mut run = 1.0;
    while inside(run) {
        run += 1.0;
    }
    let (mut within, mut beyond) = (run - 1.0, run);
    while beyond - within > COORDINATE {
        let middle = f64::midpoint(within, beyond);
        if inside(middle) { within = middle } else { beyond = middle }
    }
    within
}

/// The length of the screws, in mm: as long as bites well and pokes through nowhere.
fn length(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    screw: Screw,
    paths: &[&Path],
) -> Result<Option<f64>, Refusal> {
    let wood = paths.iter().map(|path| path.wood).fold(0.0, f64::max);
    let room = paths.iter().filter_map(|path| path.end.as_ref()).map(|end| end.room);
    let room = room.fold(f64::INFINITY, f64::min);
    let asked = spec.length.as_ref().map(|length| bench.size(length)).transpose()?;
    let found = match asked {
        Some(asked) => Some(asked),
        None if room.is_finite() => {
            screw.length_at_most(wood + (room - BEYOND_TIP).min(BITE_ENOUGH))
        }
        None => screw.length_at_least(wood + WALLBOARD + STUD_BITE),
    };
    let Some(length) = found.filter(|length| *length > wood) else {
        if !paths.is_empty() {
            let message = format!(
                "{}: no wood screw is sold that passes {} of wood and bites without poking through.",
                spec.about,
                bench.write(wood)
            );
            bench.say(Finding::stop("no-screw", message));
        }
        return Ok(None);
    };
    let bite = length - wood;
    if bite > room {
        let message = format!(
            "{}: a screw of {} pokes through by {}: use one of at most {}.",
            spec.about,
            bench.write(length),
            bench.write(bite - room),
            bench.write(wood + room - BEYOND_TIP)
        );
        bench.say(Finding::stop("screw-pokes-through", message));
    } else if bite < BITE_LEAST {
        let message = format!(
            "{}: the screws bite only {}, less than {}: use thicker wood, or rely on the glue.",
            spec.about,
            bench.write(bite),
            bench.write(BITE_LEAST)
        );
        bench.say(Finding::warn("screw-bites-little", message));
    }
    Ok(Some(length))
}

/// Drills the parts for one row of screws.
struct Drill<'a, 'b> {
    bench: &'a Bench<'b>,
    screw: Screw,
    length: f64,
    parts: &'a mut [Part],
}

impl Drill<'_, '_> {
    fn row(self, spec: &ScrewSpec, through: usize, row: &[Point], paths: &[Path]) {
        let Self { bench, screw, length, parts } = self;
        let clearance = bench.clearance(screw);
        for point in row {
            parts[through].drill(clearance.at(*point, spec.enters));
            parts[through].drill(Drilling {
                at: *point,
                diameter: screw.head(),
                depth: Some(screw.head_depth()),
                purpose: Purpose::Countersink,
                bit: "countersink".to_owned(),
                face: spec.enters,
                lean: 0.0,
            });
        }
        parts[through].rows.push(clearance.row(row.to_vec()));
        let mut ends: Vec<(usize, Face, Vec<Point>)> = Vec::new();
        for path in paths {
            for (part, point) in path.passed.iter().skip(1) {
                parts[*part].drill(clearance.at(*point, Face::Show));
            }
            let Some(end) = &path.end else { continue };
            let bite = length - path.wood;
            match end.way {
                Way::Through(face) => {
                    let hole = bench.lead(screw, bite).at(end.at, face);
                    if parts[end.part].drill(hole) {
                        match ends.iter_mut().find(|(p, f, _)| (*p, *f) == (end.part, face)) {
                            Some((_, _, points)) => points.push(end.at),
                            None => ends.push((end.part, face, vec![end.at])),
                        }
                    }
                }
                Way::Edge(way) => {
                    let kind = MarkKind::EdgeScrew { from: end.at, to: end.at + way * bite };
                    let label = format!("#{}", screw.number());
                    parts[end.part].mark_screw(Mark { kind, label });
                }
            }
        }
        for (part, _, mut points) in ends {
            points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
            parts[part].rows.push(bench.lead(screw, 0.0).row(points));
        }
    }
}

/// A kind of hole, before it has a place.
struct Hole {
    diameter: f64,
    depth: Option<f64>,
    purpose: Purpose,
    bit: String,
}

impl Hole {
    fn at(&self, at: Point, face: Face) -> Drilling {
        Drilling {
            at,
            diameter: self.diameter,
            depth: self.depth,
            purpose: self.purpose,
            bit: self.bit.clone(),
            face,
            lean: 0.0,
        }
    }

    fn row(&self, centres: Vec<Point>) -> Row {
        Row { label: self.purpose.word().to_owned(), centres, size: self.diameter }
    }
}

impl Bench<'_> {
    /// The hole a screw's shank slips through: the shop's next bit.
    fn clearance(&self, screw: Screw) -> Hole {
        let bit = self.shop.drill_at_least(screw.shank());
        let close = bit.filter(|bit| bit.diameter <= screw.shank() * 1.25);
        self.hole(screw.shank(), close, None, Purpose::Clearance)
    }

    /// The hole its thread bites in: the shop's nearest bit.
    fn lead(&self, screw: Screw, depth: f64) -> Hole {
        let bit = self.shop.drill_nearest(screw.lead_hole());
        let close = bit.filter(|bit| (bit.diameter / screw.lead_hole() - 1.0).abs() <= 0.2);
        self.hole(screw.lead_hole(), close, Some(depth), Purpose::Pilot)
    }

    fn hole(
        &self,
        wanted: f64,
        bit: Option<crate::shop::Bit>,
        depth: Option<f64>,
        purpose: Purpose,
    ) -> Hole {
        let (diameter, bit) = match bit {
            Some(bit) => (bit.diameter, self.shop.bit_name(bit)),
            None => (wanted, self.bit_of(wanted)),
        };
        Hole { diameter, depth, purpose, bit }
    }
}

impl Part {
    /// Adds a screw's way into an edge unless the same one is there already.
    fn mark_screw(&mut self, mark: Mark) {
        let way = |mark: &Mark| match mark.kind {
            MarkKind::EdgeScrew { from, to } => Some((from, to)),
            _ => None,
        };
        let Some((from, to)) = way(&mark) else { return };
        let near = |a: Point, b: Point| (a - b).hypot() <= COORDINATE;
        let known = self.marks.iter().filter_map(way);
        if !known.into_iter().any(|(f, t)| near(f, from) && near(t, to)) {
            self.marks.push(mark);
        }
    }

    /// Adds a drilling unless the same one is there already; tells whether it was added.
    fn drill(&mut self, drilling: Drilling) -> bool {
        let same = |other: &Drilling| {
            (other.at - drilling.at).hypot() <= COORDINATE
                && other.face == drilling.face
                && other.purpose == drilling.purpose
        };
        let new = !self.drillings.iter().any(same);
        if new {
            self.drillings.push(drilling);
        }
        new
    }
}
