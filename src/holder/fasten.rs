//! Screws: from a row on one part to the holes in every part they pass, found from where the
//! parts sit in space, and to what must be bought.

use kurbo::Point;

use super::bench::Bench;
use super::bit::{self, HoleBit};
use super::bore::Drill;
use super::crossing::Body;
use super::finding::{Finding, Refusal};
use super::hardware::{Hardware, HardwareKind, ScrewBits, ScrewSize};
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
use crate::shop::{Screw, SizedScrew};
use crate::style::{Face, ScrewSpec};
use crate::tolerance::COORDINATE;

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
        for spec in bench.layer.screws() {
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
    // Where a part is not made, that is told already or meant so.
    let into = spec.into.as_ref().map(|into| into.get_ref().as_str()).filter(|_| !spec.to_wall());
    if into.is_some_and(|into| made_of(into, &holder.parts).is_empty())
        || !bench.holds(spec.when.as_ref())?
    {
        return Ok(Vec::new());
    }
    let mut findings = Vec::new();
    for through in made_of(spec.through.get_ref(), &holder.parts) {
        findings.extend(join(bench, spec, through, holder)?);
    }
    Ok(findings)
}

fn join(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    through: usize,
    holder: &mut Fastened,
) -> Result<Vec<Finding>, Refusal> {
    let Course { enters, rows } = course(bench, spec, through, &holder.parts)?;
    let driving = Driving { bench, spec, through, enters, parts: &holder.parts };
    let mut rows = driving.rows(&holder.screws, rows)?;
    let Told { value: screw, mut findings } = pick(bench, spec, &rows)?;
    // Studs do not give way.
    if let Some(screw) = screw.filter(|_| !spec.to_wall()) {
        driving.make_way(&mut rows, screw, &holder.screws);
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

    /// Whether every piece that the screws pass through has something behind it.
    fn is_full(&self, stand: &Stand) -> bool {
        stand.paths.len() == self.parts[self.through].places.len()
    }

    /// Moves rows out of the way of the screws that are there.
    fn make_way(&self, rows: &mut [Vec<Stand>], sized: SizedScrew, there: &[ScrewJoint]) {
        let others: Vec<Body> = there.iter().flat_map(ScrewJoint::bodies).collect();
        let clear = |stand: &Stand| {
            let apart = |body: Body| others.iter().all(|other| body.clears(other));
            self.is_full(stand) && self.joint(sized, [stand].into_iter()).bodies().all(apart)
        };
        for row in rows {
            give_way(row, shift(self.bench), |at| self.stand(at), clear);
        }
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

/// How far a screw is moved out of another's way: a step that a tape reads.
fn shift(bench: &Bench<'_>) -> f64 {
    bench.values.units().either(0.25, 5.0)
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
