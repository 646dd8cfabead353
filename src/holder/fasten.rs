//! Screws: from a row on one part to the holes in every part they pass, found from where the
//! parts sit in space, and to what must be bought.

use kurbo::{Point, Vec2};

use super::bench::Bench;
use super::bit::{self, HoleBit};
use super::bore::Drill;
use super::crossing::Body;
use super::cut_room::{CutRoom, spot};
use super::finding::{Finding, Refusal};
use super::hardware::{Hardware, HardwareKind, ScrewBits, ScrewSize};
use super::laid::LaidJoint;
use super::part::{Part, made_of};
use super::sayings::hardware;
use super::screw_course::{Course, course};
use super::screw_path::{ScrewPath, Stand};
use super::screw_pick::pick;
use super::screws::{FarPart, ScrewJoint};
use super::shaped::Shaped;
use super::told::{Told, told};
use crate::kernel::Contour;
use crate::limits;
use crate::reading::Problems;
use crate::shop::{ForceRun, Screw, SizedScrew};
use crate::style::{Face, ScrewSpec};
use crate::tolerance::{COORDINATE, LEAST_WEB_SCREW};

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
    laid: &[LaidJoint<'_>],
    Shaped { parts, blanks }: Shaped,
) -> Result<Told<Fastened>, Problems> {
    let cut = CutRoom::of(&parts, &blanks, laid);
    let mut fastened = Fastened { parts, blanks, ..Fastened::default() };
    let mut findings = Vec::new();
    let (own, shared) = benches.split_at(benches.len().min(1));
    for bench in shared.iter().chain(own) {
        for spec in bench.layer.screws() {
            let said = told(fasten(bench, spec, &cut, &mut fastened))?.tell(&mut findings);
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
    cut: &CutRoom,
    holder: &mut Fastened,
) -> Result<Vec<Finding>, Refusal> {
    // Where a part is not made, that is told already or meant so.
    let into = spec.into.as_ref().map(|into| into.get_ref().as_str()).filter(|_| !spec.to_wall());
    if into.is_some_and(|into| made_of(into, &holder.parts).is_empty())
        || !bench.holds(spec.when.as_ref())?
    {
        return Ok(Vec::new());
    }
    let mut findings = Vec::new();
    for through in made_of(spec.through.get_ref(), &holder.parts) {
        findings.extend(join(bench, spec, (through, cut), holder)?);
    }
    Ok(findings)
}

fn join(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    (through, cut): (usize, &CutRoom),
    holder: &mut Fastened,
) -> Result<Vec<Finding>, Refusal> {
    let Course { enters, rows } = course(bench, spec, through, &holder.parts)?;
    let driving = Driving { bench, spec, through, enters, parts: &holder.parts };
    let mut rows = driving.rows(&holder.screws, rows)?;
    let Told { value: screw, mut findings } = pick(bench, spec, &rows)?;
    // Studs do not give way.
    if let Some(screw) = screw.filter(|_| !spec.to_wall()) {
        driving.make_way(&mut rows, screw, (&holder.screws, cut));
    }
    findings.extend(driving.missing(&rows));
    let Some(sized) = screw else { return Ok(findings) };
    let SizedScrew { screw, length } = sized;
    let joint = driving.joint(sized, rows.iter().flatten());
    let bits = driving.bits(&joint);
    findings.extend(driving.wanting(&joint, bits));
    let size = ScrewSize { screw, length, shop_units: bench.shop.units };
    holder.hardware.push(Hardware {
        what: HardwareKind::Screws { size, bits },
        quantity: joint.screws.len(),
        used_for: spec.name.get_ref().clone(),
    });
    if spec.to_wall() && bench.shop.wall.masonry.is_some() {
        holder.hardware.push(Hardware {
            what: HardwareKind::Named {
                item: "wall plug".to_owned(),
                size: format!("for {screw} screws"),
                shared: false,
            },
            quantity: joint.screws.len(),
            used_for: spec.name.get_ref().clone(),
        });
    }
    let mut drill = Drill { bench, screw, length, parts: &mut holder.parts };
    rows.iter().for_each(|row| drill.row((through, enters), row));
    holder.screws.push(joint);
    Ok(findings)
}

/// Screws of one joint on their way into the parts.
struct Driving<'a> {
    bench: &'a Bench<'a>,
    spec: &'a ScrewSpec,
    /// The part they pass through, among `parts`.
    through: usize,
    /// The face their heads are sunk in.
    enters: Face,
    parts: &'a [Part],
}

impl Driving<'_> {
    fn stand(&self, at: Point) -> Stand {
        Stand::new(self.spec, (self.through, self.enters), at, self.parts)
    }

    /// Where they stand, row by row; with those that are `there` they are no more than a holder takes.
    fn rows(
        &self,
        there: &[ScrewJoint],
        course: Vec<Vec<Point>>,
    ) -> Result<Vec<Vec<Stand>>, Refusal> {
        let mut screws: usize = there.iter().map(|joint| joint.screws.len()).sum();
        screws += course.iter().flatten().count() * self.parts[self.through].places.len();
        self.bench.at_most(screws as f64, limits::SCREWS, "screws hold it")?;
        let row = |row: Vec<Point>| row.into_iter().map(|at| self.stand(at)).collect();
        Ok(course.into_iter().map(row).collect())
    }

    /// The screws that stand at some places.
    fn joint<'s>(&self, sized: SizedScrew, stands: impl Iterator<Item = &'s Stand>) -> ScrewJoint {
        ScrewJoint {
            about: self.spec.name.get_ref().clone(),
            screw: sized.screw,
            length: sized.length,
            through: self.through,
            screws: stands.flat_map(|stand| &stand.paths).map(ScrewPath::seated).collect(),
        }
    }

    /// The room that each screw at one place takes.
    fn bodies<'s>(&'s self, sized: SizedScrew, stand: &'s Stand) -> impl Iterator<Item = Body<'s>> {
        let SizedScrew { screw, length } = sized;
        let seated = stand.paths.iter().map(ScrewPath::seated);
        seated.map(move |seated| Body::of(&seated, screw, length, self.spec.name.get_ref()))
    }

    /// Whether every piece that the screws pass through has something behind it.
    fn is_full(&self, stand: &Stand) -> bool {
        stand.paths.len() == self.parts[self.through].places.len()
    }

    /// Moves rows out of the way of the screws that are there and of what is cut.
    fn make_way(
        &self,
        rows: &mut [Vec<Stand>],
        sized: SizedScrew,
        (there, cut): (&[ScrewJoint], &CutRoom),
    ) {
        let others: Vec<Body<'_>> = there.iter().flat_map(ScrewJoint::bodies).collect();
        let clear = |stand: &Stand, web: f64| {
            let apart = |body: Body<'_>| others.iter().all(|other| body.clears(other));
            self.is_full(stand)
                && self.bodies(sized, stand).all(apart)
                && self.web(stand, sized, cut) >= web
        };
        let leeway = Leeway::of(self.bench, sized.screw);
        let wood = |at| self.parts[self.through].region.room_at(at);
        let moved = |old: &Stand, shift: Shift| {
            let new = self.stand(old.at + shift.by);
            let within = wood(new.at) >= wood(old.at).min(leeway.edge) - COORDINATE;
            (within && clear(&new, shift.web)).then_some(new)
        };
        for row in rows {
            give_way(row, &leeway, |stand| clear(stand, leeway.webs[1]), moved);
        }
    }

    /// The wood between a screw or its hole and what is cut, or will be for tabs, in mm.
    fn web(&self, stand: &Stand, sized: SizedScrew, cut: &CutRoom) -> f64 {
        let thick = sized.screw.shank().max(self.bench.clearance(sized.screw).diameter);
        let cuts = stand.paths.iter().flat_map(|path| {
            let passed = path.passed.iter().map(|(part, at)| cut.to_cuts(*part, spot(*at)));
            let bite = sized.length - path.wood;
            passed.chain(path.end.as_ref().map(|end| cut.to_cuts(end.part, end.way_in(bite))))
        });
        let openings = self.bodies(sized, stand).map(|body| cut.to_openings(&body));
        cuts.chain(openings).fold(f64::INFINITY, f64::min) - thick / 2.0
    }

    /// Says where a screw has nothing behind it.
    fn missing(&self, rows: &[Vec<Stand>]) -> Vec<Finding> {
        let missing = rows.iter().flatten().filter(|stand| !self.is_full(stand));
        missing.map(|stand| misses(self.bench, self.spec, stand.at)).collect()
    }

    /// What to bore for the screws of a joint; the pilot is that of the wood the first ends in.
    fn bits(&self, joint: &ScrewJoint) -> ScrewBits {
        let into = joint.screws.first().and_then(|screw| screw.into);
        ScrewBits {
            clearance: self.bench.clearance(joint.screw).bit,
            pilot: self.pilot(joint.screw, into),
        }
    }

    /// The bits for a joint that the shop does not have, pilots for every wood it ends in.
    fn wanting(&self, joint: &ScrewJoint, bits: ScrewBits) -> Vec<Finding> {
        let pilots = joint.screws.iter().map(|seated| self.pilot(joint.screw, seated.into));
        let all = [bits.clearance, bits.pilot].into_iter().chain(pilots);
        all.filter_map(|bit| bit::wanting(bit, "", self.bench.values.units())).collect()
    }

    /// The bit for the thread, in the wood of the part a screw ends in or of the studs.
    fn pilot(&self, screw: Screw, into: Option<FarPart>) -> HoleBit {
        let wall = &self.bench.shop.wall;
        if into.is_none() && wall.masonry.is_some() {
            return HoleBit::ForPlug;
        }
        let wood = into.map_or(&wall.wood, |far| &self.parts[far.part].stock.wood);
        self.bench.lead(screw, wood, 0.0).bit
    }
}

/// Says that a screw has nothing behind it.
fn misses(bench: &Bench<'_>, spec: &ScrewSpec, point: Point) -> Finding {
    let message = format!(
        "{}: the screw at {} from the left, {} from the bottom of {} has no wood behind it: make the parts larger.",
        spec.name.get_ref(),
        bench.write(point.x),
        bench.write(point.y),
        spec.through.get_ref()
    );
    Finding::stop("screw-misses", message)
}

/// How a screw may be moved along its row. In mm.
struct Leeway {
    /// Steps that a tape reads; the finer where the other serves nowhere.
    steps: [f64; 2],
    /// What is best kept to a cut, what is kept wherever there is room, and what must be.
    webs: [f64; 3],
    /// To the next screw of the row, and to the edges of the part, where there is as much.
    apart: f64,
    edge: f64,
}

impl Leeway {
    fn of(bench: &Bench<'_>, screw: Screw) -> Self {
        let web = |middle: f64| (middle - screw.shank() / 2.0).max(LEAST_WEB_SCREW);
        Self {
            steps: [(0.25, 5.0), (0.125, 2.0)]
                .map(|(inch, mm)| bench.values.units().either(inch, mm)),
            webs: [web(screw.panel_edge()), web(screw.least_edge()), LEAST_WEB_SCREW],
            apart: screw.distances(ForceRun::Either).across,
            edge: screw.panel_edge(),
        }
    }

    /// One step either way along a row, then two, and so on; those that leave more wood first.
    fn shifts(&self, along: Vec2, most: usize) -> Vec<Shift> {
        let counts: Vec<f64> = (1..=most).flat_map(|n| [n as f64, -(n as f64)]).collect();
        let kinds = self.steps.iter().flat_map(|step| self.webs.map(|web| (*step, web)));
        let of = |(step, web): (f64, f64)| {
            counts.iter().map(move |count| Shift { by: along * step * *count, web })
        };
        kinds.flat_map(of).collect()
    }
}

/// A way along the row, in mm, and the wood that is to stay beside the screw there.
#[derive(Clone, Copy)]
struct Shift {
    by: Vec2,
    web: f64,
}

/// A row moves as a whole by so many steps at most, one screw of it by so many.
const STEPS: [usize; 2] = [3, 16];

/// Moves screws of a row along it until none runs into one that is there already, or into a cut: where that serves, each
/// along with the one as far from the other end, the opposite way, so that the row stays alike to both ends; else the
/// whole row by a few steps; else single screws of it. What can't give way stays, and is told of later. `moved` is a
/// screw after a shift that leaves so much wood beside it.
fn give_way(
    row: &mut Vec<Stand>,
    leeway: &Leeway,
    clear: impl Fn(&Stand) -> bool,
    moved: impl Fn(&Stand, Shift) -> Option<Stand>,
) {
    let (Some(first), Some(last)) = (row.first(), row.last()) else { return };
    let run = last.at - first.at;
    if run.hypot() <= COORDINATE || row.iter().all(&clear) {
        return;
    }
    let [few, many] = STEPS.map(|most| leeway.shifts(run / run.hypot(), most));
    if let Some(pairs) = in_pairs(row, (leeway.apart, &many), &clear, &moved) {
        pairs.into_iter().for_each(|(i, stand)| row[i] = stand);
        return;
    }
    let whole = |shift: &Shift| row.iter().map(|old| moved(old, *shift)).collect();
    if let Some(whole) = few.iter().find_map(whole) {
        *row = whole;
        return;
    }
    for i in 0..row.len() {
        let places = places(row);
        let apart = |shift: &&Shift| keeps_apart(&places, i, places[i] + shift.by, leeway.apart);
        let stays = clear(&row[i]);
        let new = many.iter().filter(apart).find_map(|shift| moved(&row[i], *shift));
        if let Some(new) = new.filter(|_| !stays) {
            row[i] = new;
        }
    }
}

fn places(row: &[Stand]) -> Vec<Point> {
    row.iter().map(|stand| stand.at).collect()
}

/// Screws moved two by two, as far from both ends, each with its place in the row; `None` where that does not clear
/// the row. The one in the middle moves alone.
fn in_pairs(
    row: &[Stand],
    (apart, shifts): (f64, &[Shift]),
    clear: impl Fn(&Stand) -> bool,
    moved: impl Fn(&Stand, Shift) -> Option<Stand>,
) -> Option<Vec<(usize, Stand)>> {
    let mut at = places(row);
    let mut pairs = Vec::new();
    for (i, j) in (0..row.len().div_ceil(2)).map(|i| (i, row.len() - 1 - i)) {
        if clear(&row[i]) && clear(&row[j]) {
            continue;
        }
        if i == j {
            let apart = |shift: &&Shift| keeps_apart(&at, i, at[i] + shift.by, apart);
            pairs.push((i, shifts.iter().filter(apart).find_map(|shift| moved(&row[i], *shift))?));
            continue;
        }
        let pair = |shift: &Shift| {
            let back = Shift { by: -shift.by, ..*shift };
            let (one, other) = (at[i] + shift.by, at[j] + back.by);
            let beside = keeps_apart(&at, i, one, apart) && keeps_apart(&at, j, other, apart);
            let between = (one - other).hypot() >= apart.min((at[i] - at[j]).hypot()) - COORDINATE;
            (beside && between)
                .then(|| Some((moved(&row[i], *shift)?, moved(&row[j], back)?)))
                .flatten()
        };
        let (one, other) = shifts.iter().find_map(pair)?;
        (at[i], at[j]) = (one.at, other.at);
        pairs.extend([(i, one), (j, other)]);
    }
    Some(pairs)
}

/// Whether a screw of a row that is moved to `at` keeps so far from each other one, or no nearer than it is.
fn keeps_apart(row: &[Point], moved: usize, at: Point, apart: f64) -> bool {
    let keeps = |other: &Point| {
        (at - *other).hypot() >= apart.min((row[moved] - *other).hypot()) - COORDINATE
    };
    row.iter().enumerate().filter(|(i, _)| *i != moved).all(|(_, other)| keeps(other))
}
