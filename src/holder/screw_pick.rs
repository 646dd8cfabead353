//! Which screws hold a joint: they bite well and poke through nowhere; what lies in the drawer first.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::screw_path::Stand;
use super::told::Told;
use crate::formula::Value;
use crate::length::{Dimension, Units};
use crate::shop::{AskedScrew, Screw, SizedScrew};
use crate::style::{Expr, ScrewSpec};
use crate::tolerance::COORDINATE;

// Each in inches and in mm, for `Units::either`. Common practice, no source.

/// Wood left beyond a screw's tip so that it never pokes through.
const BEYOND_TIP: [f64; 2] = [0.125, 3.0];

/// A screw need bite no deeper than this into the far part.
const BITE_ENOUGH: [f64; 2] = [1.5, 40.0];

/// A bite shorter than this holds poorly.
const BITE_LEAST: [f64; 2] = [0.375, 10.0];

/// What part of thin wood a screw bites at least. Common practice, no source.
const BITE_OF_THIN: f64 = 0.5;

/// How deep a screw goes into a stud.
const STUD_BITE: [f64; 2] = [1.25, 32.0];

/// The screws of a joint, and how long they are: as long as bites well and pokes through nowhere; `None`
/// where there are none.
///
/// # Errors
/// When a formula fails.
pub(super) fn pick(
    bench: &Bench<'_>,
    spec: &ScrewSpec,
    rows: &[Vec<Stand>],
) -> Result<Told<Option<SizedScrew>>, Refusal> {
    let paths = || rows.iter().flatten().flat_map(|stand| &stand.paths);
    let wood = paths().map(|path| path.wood).fold(0.0, f64::max);
    let room = paths().filter_map(|path| path.end.as_ref()).map(|end| end.room);
    let room = room.fold(f64::INFINITY, f64::min);
    let said = spec.length.as_ref().map(|length| bench.size(length)).transpose()?;
    let asked = asked(bench, &spec.screw)?;
    let wanted = Wanted { asked: asked.screw, wood, room, units: bench.values.units() };
    let open = !spec.to_wall() && bench.values.is_open(&spec.screw);
    let drawer = Drawer { screws: &bench.shop.screws, open };
    let covering = bench.shop.wall.covering;
    let stated = asked.length.map(|length| SizedScrew { screw: asked.screw, length });
    let found = match (stated, said) {
        (Some(stated), _) if wanted.takes(stated.length, covering) => Some(stated),
        (_, Some(length)) => Some(SizedScrew { screw: asked.screw, length }),
        (_, None) => drawer.pick(&wanted, covering),
    };
    let found = found.filter(|sized| sized.length > wood);
    let mut findings = Vec::new();
    match found {
        Some(sized) if paths().next().is_some() => {
            findings.extend(wanted.bites(bench, spec, sized.length));
            findings.extend(stated.filter(|s| *s != sized).map(|s| instead(spec, s, sized)));
            findings.extend(drawer.lacks(sized).then(|| buy(spec, sized)));
        }
        Some(_) => {}
        None => findings.extend(paths().next().map(|_| none_sold(bench, spec, wood))),
    }
    Ok(Told { value: found, findings })
}

/// The screw that a style or a choice names.
fn asked(bench: &Bench<'_>, expr: &Expr) -> Result<AskedScrew, Refusal> {
    let value = bench.values.work(expr, &bench.layer.source)?;
    let read = match &value {
        Value::Word(word) => word.parse().map_err(|e| format!("{e}")),
        Value::Figure(size) => match size.dimension {
            Dimension::NUMBER => Screw::numbered(size.value),
            Dimension::LENGTH => Screw::threaded(size.value),
            _ => return Err(bench.wrong(expr, &format!("{} is no screw", value.describe()))),
        }
        .map(|screw| AskedScrew { screw, length: None })
        .map_err(|e| e.to_string()),
        other => Err(format!("{} is no screw", other.describe())),
    };
    read.map_err(|why: String| bench.wrong(expr, &why))
}

/// What the screws of a joint must be.
struct Wanted {
    asked: Screw,
    /// Wood that they pass, the most.
    wood: f64,
    /// Room ahead of it, the least; infinite into the wall.
    room: f64,
    units: Units,
}

impl Wanted {
    /// In mm.
    fn round(&self, [inches, mm]: [f64; 2]) -> f64 {
        self.units.either(inches, mm)
    }

    /// The best of some lengths, in mm.
    fn length(&self, lengths: &[f64], covering: f64) -> Option<f64> {
        if self.room.is_finite() {
            let beyond = self.room - self.round(BEYOND_TIP);
            let most = self.wood + beyond.min(self.round(BITE_ENOUGH)) + COORDINATE;
            return lengths.iter().copied().filter(|length| *length <= most).reduce(f64::max);
        }
        let least = self.wood + covering + self.round(STUD_BITE) - COORDINATE;
        lengths.iter().copied().filter(|length| *length >= least).reduce(f64::min)
    }

    /// Whether a length that is asked for goes through, bites and stays within.
    fn takes(&self, length: f64, covering: f64) -> bool {
        let behind = if self.room.is_finite() { 0.0 } else { covering };
        self.serves(length - behind) && length - self.wood <= self.room
    }

    /// Whether a length goes through and bites.
    fn serves(&self, length: f64) -> bool {
        length - self.wood >= self.least_bite() - COORDINATE
    }

    /// The least that holds well; in thin wood less will do, for its screws are counted by what they bite.
    fn least_bite(&self) -> f64 {
        self.round(BITE_LEAST).min(self.room * BITE_OF_THIN)
    }

    /// What to say of screws `length` mm long.
    fn bites(&self, bench: &Bench<'_>, spec: &ScrewSpec, length: f64) -> Option<Finding> {
        let (name, bite) = (spec.name.get_ref(), length - self.wood);
        if bite > self.room {
            let message = format!(
                "{name}: a screw {} long pokes through by {}: use one at most {} long.",
                bench.write(length),
                bench.write(bite - self.room),
                bench.write(self.wood + self.room - self.round(BEYOND_TIP))
            );
            return Some(Finding::stop("screw-pokes-through", message));
        }
        let message = || {
            format!(
                "{name}: the screws bite only {}, less than {}: use thicker wood behind.",
                bench.write(bite),
                bench.write(self.least_bite())
            )
        };
        (!self.serves(length)).then(|| Finding::warn("screw-bites-little", message()))
    }
}

/// No thinner screw stands in than this part of what is asked for: the next size down.
const THINNER: f64 = 0.85;

/// What lies in the drawer. Where it is empty, what is sold is bought.
struct Drawer<'a> {
    screws: &'a [SizedScrew],
    /// Whether a screw of another thickness than is asked for serves too.
    open: bool,
}

impl Drawer<'_> {
    /// A screw that serves: of the thickness that is asked for, then of those nearest to it, the
    /// thicker first; of what is sold where none in the drawer does.
    fn pick(&self, wanted: &Wanted, covering: f64) -> Option<SizedScrew> {
        let off = |screw: Screw| (screw.shank() - wanted.asked.shank()).abs();
        let allowed = |sized: &&SizedScrew| {
            let thick = sized.screw.shank() >= THINNER * wanted.asked.shank();
            sized.screw == wanted.asked || self.open && thick
        };
        let mut kinds: Vec<Screw> =
            self.screws.iter().filter(allowed).map(|sized| sized.screw).collect();
        kinds.sort_by(|a, b| off(*a).total_cmp(&off(*b)).then(b.shank().total_cmp(&a.shank())));
        kinds.dedup();
        let of_drawer = kinds.into_iter().find_map(|screw| {
            let ours = self.screws.iter().filter(|sized| sized.screw == screw);
            let lengths: Vec<f64> = ours.map(|sized| sized.length).collect();
            let length = wanted.length(&lengths, covering).filter(|l| wanted.serves(*l))?;
            Some(SizedScrew { screw, length })
        });
        let bought = || {
            let length = wanted.length(&wanted.asked.lengths(), covering)?;
            Some(SizedScrew { screw: wanted.asked, length })
        };
        of_drawer.or_else(bought)
    }

    /// Whether a screw is not there.
    fn lacks(&self, sized: SizedScrew) -> bool {
        let same = |own: &SizedScrew| {
            own.screw == sized.screw && (own.length - sized.length).abs() < COORDINATE
        };
        !self.screws.is_empty() && !self.screws.iter().any(same)
    }
}

fn instead(spec: &ScrewSpec, asked: SizedScrew, taken: SizedScrew) -> Finding {
    let name = spec.name.get_ref();
    let message = format!("{name}: {asked} does not fit here, so it has {taken}.");
    Finding::note("another-length", message)
}

fn buy(spec: &ScrewSpec, sized: SizedScrew) -> Finding {
    let name = spec.name.get_ref();
    let message =
        format!("{name}: {sized} screws are what fits, and none lie in the drawer: buy them.");
    Finding::note("not-in-the-drawer", message)
}

fn none_sold(bench: &Bench<'_>, spec: &ScrewSpec, wood: f64) -> Finding {
    let message = format!(
        "{}: no wood screw goes through {} of wood and bites without poking out: use thicker wood behind, or thinner in front.",
        spec.name.get_ref(),
        bench.write(wood)
    );
    Finding::stop("no-screw", message)
}
