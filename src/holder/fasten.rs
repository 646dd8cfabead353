//! Screws: from a row on one part to the holes in every part they pass, found from where the
//! parts sit in space, and to what must be bought.

use kurbo::{Point, Vec2};

use super::build::Bench;
use super::crossing::Body;
use super::finding::{Finding, Refusal};
use super::part::{Drilling, Mark, MarkKind, Part, Row};
use super::screw_path::{Path, Stand, Way};
use super::screws::ScrewJoint;
use super::{Hardware, Holder, ScrewBits};
use crate::length::{MM_PER_INCH, Units};
use crate::reading::Kind;
use crate::shop::{Screw, find_wood};
use crate::style::{Face, Purpose, ScrewRow, ScrewSpec};
use crate::tolerance::COORDINATE;

/// Wood left beyond a screw's tip so that it never pokes through, in mm. Common practice, no source.
const BEYOND_TIP: f64 = MM_PER_INCH / 8.0;

/// A screw need bite no deeper than this into the far part, in mm. Common practice, no source.
const BITE_ENOUGH: f64 = 1.5 * MM_PER_INCH;

/// A bite shorter than this holds poorly, in mm. Common practice, no source.
const BITE_LEAST: f64 = 0.375 * MM_PER_INCH;

/// How deep a screw goes into a stud, in mm. Common practice, no source.
const STUD_BITE: f64 = 1.25 * MM_PER_INCH;

/// Drills every part for the screws this layer asks for and adds them to the holder's screws and
/// hardware. Later screws give way to those that are there.
///
/// # Errors
/// When a formula fails or a screw number is unknown.
pub(super) fn fasten(bench: &Bench<'_>, holder: &mut Holder) -> Result<(), Refusal> {
    for spec in &bench.layer.file.screws {
        let through = holder.parts.iter().position(|part| part.name == *spec.through.get_ref());
        let Some(through) = through.filter(|i| !holder.parts[*i].places.is_empty()) else {
            continue;
        };
        if bench.holds(spec.when.as_ref())? {
            join(bench, spec, through, holder)?;
        }
    }
    Ok(())
}

fn join(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    through: usize,
    holder: &mut Holder,
) -> Result<(), Refusal> {
    let number = bench.figure(&spec.number, Kind::Number)?;
    let screw = Screw::new(number).map_err(|e| bench.wrong(&spec.number, &e.to_string()))?;
    let parts = &mut holder.parts;
    let stand = |at: Point| Stand::new(spec, through, at, parts);
    let mut rows: Vec<Vec<Stand>> = Vec::new();
    for row in &spec.rows {
        rows.extend(bench.rounds(row.repeat.as_ref(), |[x, y]: [f64; 2]| {
            let points = spread(bench, row)?;
            Ok(points.iter().map(|point| stand(*point + Vec2::new(x, y))).collect())
        })?);
    }
    let length = length(bench, spec, screw, &rows)?;
    let joint = |length, paths: &mut dyn Iterator<Item = &Path>| ScrewJoint {
        about: spec.about.clone(),
        screw,
        length,
        through,
        screws: paths.map(Path::seated).collect(),
    };
    // Studs do not give way.
    if let Some(length) = length.filter(|_| !spec.to_wall()) {
        let others: Vec<Body> = holder.screws.iter().flat_map(ScrewJoint::bodies).collect();
        let clear = |stand: &Stand| {
            let screws = joint(length, &mut stand.paths.iter());
            let apart = |body: Body| others.iter().all(|other| body.clears(other));
            stand.paths.len() == parts[through].places.len() && screws.bodies().all(apart)
        };
        for row in &mut rows {
            give_way(row, shift(bench), stand, clear);
        }
    }
    let screws = rows.iter().flatten();
    for stand in screws.clone().filter(|s| s.paths.len() < parts[through].places.len()) {
        misses(bench, spec, stand.at);
    }
    let Some(length) = length else { return Ok(()) };
    let joint = joint(length, &mut screws.flat_map(|stand| &stand.paths));
    let into = joint.screws.iter().find_map(|s| s.into).map(|far| &parts[far.part]);
    holder.hardware.push(Hardware {
        item: "wood screw, flat head".to_owned(),
        size: screw_size(screw, length, bench.shop.units),
        quantity: joint.screws.len(),
        used_for: spec.about.clone(),
        shared: false,
        bits: Some(ScrewBits {
            clearance: bench.clearance(screw).bit,
            pilot: bench
                .lead(screw, into.map_or(&bench.shop.wall.wood, |part| &part.stock.wood), 0.0)
                .bit,
            countersink: bench.shop.units.length(screw.head()),
        }),
    });
    holder.screws.push(joint);
    for row in &rows {
        let drill = Drill { bench, screw, length, parts };
        drill.row(spec, through, row);
    }
    Ok(())
}

/// What to ask for in a shop: by number and inches, in a metric shop with the size in mm beside it.
fn screw_size(screw: Screw, length: f64, units: Units) -> String {
    let size = format!("#{} × {}", screw.number(), Units::Inches.length(length));
    match units {
        Units::Inches => size,
        Units::Millimetres => format!("{size} ({:.1} × {:.0} mm)", screw.shank(), length),
    }
}

/// Says that a screw has nothing behind it.
fn misses(bench: &Bench<'_>, spec: &ScrewSpec, point: Point) {
    let message = format!(
        "{}: the screw at {}, {} of {} meets nothing behind it; the parts are too small for each other.",
        spec.about,
        bench.write(point.x),
        bench.write(point.y),
        spec.through.get_ref()
    );
    bench.say(Finding::stop("screw-misses", message));
}

/// How far a screw is moved out of another's way: a step that a tape reads.
fn shift(bench: &Bench<'_>) -> f64 {
    match bench.values.units() {
        Units::Inches => MM_PER_INCH / 4.0,
        Units::Millimetres => 6.0,
    }
}

/// Moves a row along itself, by a few steps at most, until none of its screws runs into one that is
/// there already; where no such step serves the whole row, single screws of it. What can't give
/// way stays, and is told of later.
fn give_way(
    row: &mut [Stand],
    step: f64,
    stand: impl Fn(Point) -> Stand,
    clear: impl Fn(&Stand) -> bool,
) {
    let (Some(first), Some(last)) = (row.first(), row.last()) else { return };
    let run = last.at - first.at;
    if run.hypot() <= COORDINATE || row.iter().all(&clear) {
        return;
    }
    let shifts = [1.0, -1.0, 2.0, -2.0, 3.0, -3.0].map(|steps| run / run.hypot() * step * steps);
    for shift in shifts {
        let moved: Vec<Stand> = row.iter().map(|s| stand(s.at + shift)).collect();
        if moved.iter().all(&clear) {
            row.iter_mut().zip(moved).for_each(|(old, new)| *old = new);
            return;
        }
    }
    for old in row.iter_mut().filter(|s| !clear(s)) {
        if let Some(new) = shifts.iter().map(|shift| stand(old.at + *shift)).find(&clear) {
            *old = new;
        }
    }
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

/// The length of the screws, in mm: as long as bites well and pokes through nowhere.
fn length(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    screw: Screw,
    rows: &[Vec<Stand>],
) -> Result<Option<f64>, Refusal> {
    let paths = || rows.iter().flatten().flat_map(|stand| &stand.paths);
    let wood = paths().map(|path| path.wood).fold(0.0, f64::max);
    let room = paths().filter_map(|path| path.end.as_ref()).map(|end| end.room);
    let room = room.fold(f64::INFINITY, f64::min);
    let asked = spec.length.as_ref().map(|length| bench.size(length)).transpose()?;
    let found = match asked {
        Some(asked) => Some(asked),
        None if room.is_finite() => {
            screw.length_at_most(wood + (room - BEYOND_TIP).min(BITE_ENOUGH))
        }
        None => screw.length_at_least(wood + bench.shop.wall.covering + STUD_BITE),
    };
    let Some(length) = found.filter(|length| *length > wood) else {
        if paths().next().is_some() {
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
    fn row(self, spec: &ScrewSpec, through: usize, row: &[Stand]) {
        let Self { bench, screw, length, parts } = self;
        let clearance = bench.clearance(screw);
        let points = row.iter().map(|stand| stand.at);
        for point in points.clone() {
            parts[through].drill(clearance.at(point, spec.enters));
            parts[through].drill(Drilling {
                at: point,
                diameter: screw.head(),
                depth: Some(screw.head_depth()),
                purpose: Purpose::Countersink,
                bit: "countersink".to_owned(),
                face: spec.enters,
                lean: 0.0,
            });
        }
        parts[through].rows.push(clearance.row(points.collect()));
        let mut ends: Vec<(usize, Face, Vec<Point>)> = Vec::new();
        for path in row.iter().flat_map(|stand| &stand.paths) {
            for (part, point) in path.passed.iter().skip(1) {
                parts[*part].drill(clearance.at(*point, Face::Show));
            }
            let Some(end) = &path.end else { continue };
            let bite = length - path.wood;
            match end.way {
                Way::Through(face) => {
                    let hole =
                        bench.lead(screw, &parts[end.part].stock.wood, bite).at(end.at, face);
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
            let hole = bench.lead(screw, &parts[part].stock.wood, 0.0);
            parts[part].rows.push(hole.row(points));
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
        self.hole(self.sold(screw.shank(), f64::ceil), close, None, Purpose::Clearance)
    }

    /// The hole its thread bites in, for the part's wood: the shop's nearest bit.
    fn lead(&self, screw: Screw, wood: &str, depth: f64) -> Hole {
        let wanted = screw.pilot(find_wood(wood).wood.screw_gravity());
        let bit = self.shop.drill_nearest(wanted);
        let close = bit.filter(|bit| (bit.diameter / wanted - 1.0).abs() <= 0.2);
        self.hole(self.sold(wanted, f64::round), close, Some(depth), Purpose::Pilot)
    }

    /// The size of bit that is sold for a hole of `diameter` mm: in steps of 1/64 in or 0.5 mm.
    fn sold(&self, diameter: f64, to_step: fn(f64) -> f64) -> f64 {
        let step = match self.values.units() {
            Units::Inches => MM_PER_INCH / 64.0,
            Units::Millimetres => 0.5,
        };
        to_step(diameter / step - 1e-9) * step
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
