//! Screws: from a row on one part to the holes in every part they pass, found from where the
//! parts sit in space, and to what must be bought.

use kurbo::{Point, Vec2};

use super::bench::Bench;
use super::bit::{self, HoleBit};
use super::crossing::Body;
use super::feature::Feature;
use super::finding::{Finding, Refusal};
use super::hardware::{Hardware, HardwareKind, ScrewBits, ScrewSize};
use super::part::{Drilling, Mark, MarkKind, Part, Row};
use super::sayings::hardware;
use super::screw_path::{Path, Stand, Way};
use super::screws::{FarPart, ScrewJoint, Seated};
use super::shaped::Shaped;
use super::told::{Told, told};
use crate::kernel::Contour;
use crate::length::{MM_PER_INCH, Units};
use crate::limits;
use crate::reading::{Kind, Problems};
use crate::shop::{Bit, Screw, find_wood};
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

/// Parts bored for their screws, with the screws and what else is needed besides wood.
#[derive(Default)]
pub(super) struct Fastened {
    pub parts: Vec<Part>,
    /// The outline of each part before anything was cut away.
    pub blanks: Vec<Contour>,
    pub screws: Vec<ScrewJoint>,
    pub hardware: Vec<Hardware>,
}

/// Bores the parts for the screws that the style asks for. What styles share keeps its place: the
/// screws of the style's own file come last and give way to it.
///
/// # Errors
/// When the style is wrong.
pub(super) fn fastened(
    benches: &[Bench<'_>],
    Shaped { parts, blanks }: Shaped,
) -> Result<Told<Fastened>, Problems> {
    let mut fastened = Fastened { parts, blanks, ..Fastened::default() };
    let mut findings = Vec::new();
    let (own, shared) = benches.split_at(benches.len().min(1));
    for bench in shared.iter().chain(own) {
        for spec in &bench.layer.file.screws {
            let said = told(fasten(bench, spec, &mut fastened))?.tell(&mut findings);
            findings.extend(said.into_iter().flatten());
        }
        for spec in &bench.layer.file.hardware {
            let named = told(hardware(bench, spec))?.tell(&mut findings);
            fastened.hardware.extend(named.flatten());
        }
    }
    Ok(Told { value: fastened, findings })
}

/// Puts in the screws of one joint, if they are wanted and the part they pass through is made; what
/// there is to say of them.
fn fasten(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    holder: &mut Fastened,
) -> Result<Vec<Finding>, Refusal> {
    let made = |part: &Part| part.name == *spec.through.get_ref() && !part.places.is_empty();
    match holder.parts.iter().position(made) {
        Some(through) if bench.holds(spec.when.as_ref())? => join(bench, spec, through, holder),
        _ => Ok(Vec::new()),
    }
}

fn join(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    through: usize,
    holder: &mut Fastened,
) -> Result<Vec<Finding>, Refusal> {
    let number = bench.figure(&spec.number, Kind::Number)?;
    let screw = Screw::new(number).map_err(|e| bench.wrong(&spec.number, &e.to_string()))?;
    let parts = &holder.parts;
    let stand = |at: Point| Stand::new(spec, through, at, parts);
    let mut rows: Vec<Vec<Stand>> = Vec::new();
    let pieces = parts[through].places.len();
    let mut screws: usize = holder.screws.iter().map(|joint| joint.screws.len()).sum();
    for row in &spec.rows {
        rows.extend(bench.rounds(row.repeat.as_ref(), |[x, y]: [f64; 2]| {
            let points = spread(bench, row)?;
            screws += points.len() * pieces;
            bench.at_most(screws as f64, limits::SCREWS, "screws hold it")?;
            Ok(points.iter().map(|point| stand(*point + Vec2::new(x, y))).collect())
        })?);
    }
    let Told { value: length, mut findings } = length(bench, spec, screw, &rows)?;
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
    let missing = screws.clone().filter(|s| s.paths.len() < parts[through].places.len());
    findings.extend(missing.map(|stand| misses(bench, spec, stand.at)));
    let Some(length) = length else { return Ok(findings) };
    let joint = joint(length, &mut screws.flat_map(|stand| &stand.paths));
    let bits = bits(bench, &joint, parts);
    findings.extend(wanting(bench, &joint, parts, bits));
    let size = ScrewSize { screw, length, shop_units: bench.shop.units };
    holder.hardware.push(Hardware {
        what: HardwareKind::Screws { size, bits },
        quantity: joint.screws.len(),
        used_for: spec.about.clone(),
    });
    holder.screws.push(joint);
    let mut drill = Drill { bench, screw, length, parts: &mut holder.parts };
    for row in &rows {
        drill.row(spec, through, row);
    }
    Ok(findings)
}

/// What to bore for the screws of a joint; the pilot is that of the wood the first ends in.
fn bits(bench: &Bench<'_>, joint: &ScrewJoint, parts: &[Part]) -> ScrewBits {
    let into = joint.screws.first().and_then(|screw| screw.into);
    let clearance = bench.clearance(joint.screw).bit;
    ScrewBits { clearance, pilot: bench.lead(joint.screw, far_wood(bench, into, parts), 0.0).bit }
}

/// The bits for a joint that the shop does not have, pilots for every wood it ends in.
fn wanting(bench: &Bench<'_>, joint: &ScrewJoint, parts: &[Part], bits: ScrewBits) -> Vec<Finding> {
    let wood = |screw: &Seated| far_wood(bench, screw.into, parts);
    let pilots = joint.screws.iter().map(|screw| bench.lead(joint.screw, wood(screw), 0.0).bit);
    let all = [bits.clearance, bits.pilot].into_iter().chain(pilots);
    all.filter_map(|bit| bit::wanting(bit, "", bench.values.units())).collect()
}

/// The wood of the part a screw ends in, or of the studs.
fn far_wood<'a>(bench: &Bench<'a>, into: Option<FarPart>, parts: &'a [Part]) -> &'a str {
    into.map_or(&bench.shop.wall.wood, |far| &parts[far.part].stock.wood)
}

/// Says that a screw has nothing behind it.
fn misses(bench: &Bench<'_>, spec: &ScrewSpec, point: Point) -> Finding {
    let message = format!(
        "{}: the screw at {}, {} of {} meets nothing behind it; the parts are too small for each other.",
        spec.about,
        bench.write(point.x),
        bench.write(point.y),
        spec.through.get_ref()
    );
    Finding::stop("screw-misses", message)
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
        let count = (run.hypot() / every + 1e-9).floor();
        let count = bench.at_most(count, limits::REPEATS, "screws stand in one row")?;
        let step = run / run.hypot() * every;
        return Ok((0..=count).map(|i| from + step * i as f64).collect());
    }
    let gaps = match &row.at_most {
        Some(at_most) => (run.hypot() / bench.size(at_most)? - 1e-9).ceil().max(1.0),
        None => 1.0,
    };
    let count = bench.at_most(gaps, limits::REPEATS, "screws stand in one row")?;
    Ok((0..=count).map(|i| from + run * (i as f64 / gaps)).collect())
}

/// The length of the screws, in mm: as long as bites well and pokes through nowhere; `None` where
/// there is none.
fn length(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    screw: Screw,
    rows: &[Vec<Stand>],
) -> Result<Told<Option<f64>>, Refusal> {
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
    let length = found.filter(|length| *length > wood);
    let finding = match length {
        Some(length) => bites(bench, spec, length, [wood, room]),
        None => paths().next().map(|_| none_sold(bench, spec, wood)),
    };
    Ok(Told { value: length, findings: finding.into_iter().collect() })
}

fn none_sold(bench: &Bench<'_>, spec: &ScrewSpec, wood: f64) -> Finding {
    let message = format!(
        "{}: no wood screw is sold that passes {} of wood and bites without poking through.",
        spec.about,
        bench.write(wood)
    );
    Finding::stop("no-screw", message)
}

/// What to say of screws `length` mm long that pass `wood` and have `room` ahead.
fn bites(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    length: f64,
    [wood, room]: [f64; 2],
) -> Option<Finding> {
    let bite = length - wood;
    if bite > room {
        let message = format!(
            "{}: a screw of {} pokes through by {}: use one of at most {}.",
            spec.about,
            bench.write(length),
            bench.write(bite - room),
            bench.write(wood + room - BEYOND_TIP)
        );
        return Some(Finding::stop("screw-pokes-through", message));
    }
    let message = || {
        format!(
            "{}: the screws bite only {}, less than {}: use thicker wood, or rely on the glue.",
            spec.about,
            bench.write(bite),
            bench.write(BITE_LEAST)
        )
    };
    (bite < BITE_LEAST).then(|| Finding::warn("screw-bites-little", message()))
}

/// Drills the parts for one row of screws.
struct Drill<'a, 'b> {
    bench: &'a Bench<'b>,
    screw: Screw,
    length: f64,
    parts: &'a mut [Part],
}

impl Drill<'_, '_> {
    fn row(&mut self, spec: &ScrewSpec, through: usize, row: &[Stand]) {
        let clearance = self.bench.clearance(self.screw);
        for stand in row {
            self.parts[through].drill(clearance.at(stand.at, spec.enters));
            self.parts[through].drill(sink(self.screw).at(stand.at, spec.enters));
        }
        let points = row.iter().map(|stand| stand.at).collect();
        self.parts[through].rows.push(clearance.row(points));
        let mut ends: Vec<(usize, Face, Vec<Point>)> = Vec::new();
        for path in row.iter().flat_map(|stand| &stand.paths) {
            for (part, point) in path.passed.iter().skip(1) {
                self.parts[*part].drill(clearance.at(*point, Face::Show));
            }
            let Some((part, face, at)) = self.far(path) else { continue };
            match ends.iter_mut().find(|(p, f, _)| (*p, *f) == (part, face)) {
                Some((_, _, points)) => points.push(at),
                None => ends.push((part, face, vec![at])),
            }
        }
        for (part, _, mut points) in ends {
            points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
            let hole = self.bench.lead(self.screw, &self.parts[part].stock.wood, 0.0);
            self.parts[part].rows.push(hole.row(points));
        }
    }

    /// Bores or marks the part a screw ends in; tells the part, face and place of a new hole.
    fn far(&mut self, path: &Path) -> Option<(usize, Face, Point)> {
        let (screw, end) = (self.screw, path.end.as_ref()?);
        let bite = self.length - path.wood;
        let part = &mut self.parts[end.part];
        match end.way {
            Way::Through(face) => {
                let hole = self.bench.lead(screw, &part.stock.wood, bite);
                part.drill(hole.at(end.at, face)).then_some((end.part, face, end.at))
            }
            Way::Edge(way) => {
                let kind = MarkKind::EdgeScrew { from: end.at, to: end.at + way * bite, screw };
                part.mark_screw(Mark { kind, label: String::new() });
                None
            }
        }
    }
}

/// The countersink for a screw's head.
fn sink(screw: Screw) -> Hole {
    Hole {
        diameter: screw.head(),
        depth: Some(screw.head_depth()),
        purpose: Purpose::Countersink,
        bit: HoleBit::Countersink,
    }
}

/// A kind of hole, before it has a place.
struct Hole {
    diameter: f64,
    depth: Option<f64>,
    purpose: Purpose,
    bit: HoleBit,
}

impl Hole {
    fn at(&self, at: Point, face: Face) -> Drilling {
        Drilling {
            at,
            diameter: self.diameter,
            depth: self.depth,
            purpose: self.purpose,
            bit: self.bit,
            face,
            lean: 0.0,
        }
    }

    fn row(&self, centres: Vec<Point>) -> Row {
        let feature = Feature::Hole { purpose: self.purpose, diameter: self.diameter };
        Row { feature, centres }
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

    fn hole(&self, wanted: f64, bit: Option<Bit>, depth: Option<f64>, purpose: Purpose) -> Hole {
        let (diameter, bit) = match bit {
            Some(bit) => (bit.diameter, HoleBit::AtHand(bit)),
            None => (wanted, self.bit_of(wanted)),
        };
        Hole { diameter, depth, purpose, bit }
    }
}

impl Part {
    /// Adds a screw's way into an edge unless the same one is there already.
    fn mark_screw(&mut self, mark: Mark) {
        let way = |mark: &Mark| match mark.kind {
            MarkKind::EdgeScrew { from, to, .. } => Some((from, to)),
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
