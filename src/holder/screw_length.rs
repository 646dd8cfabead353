//! How long screws are: they bite well and poke through nowhere.

use super::bench::Bench;
use super::finding::{Finding, Refusal};
use super::screw_path::Stand;
use super::told::Told;
use crate::length::MM_PER_INCH;
use crate::shop::Screw;
use crate::style::ScrewSpec;

/// Wood left beyond a screw's tip so that it never pokes through, in mm. Common practice, no source.
const BEYOND_TIP: f64 = MM_PER_INCH / 8.0;

/// A screw need bite no deeper than this into the far part, in mm. Common practice, no source.
const BITE_ENOUGH: f64 = 1.5 * MM_PER_INCH;

/// A bite shorter than this holds poorly, in mm. Common practice, no source.
const BITE_LEAST: f64 = 0.375 * MM_PER_INCH;

/// How deep a screw goes into a stud, in mm. Common practice, no source.
const STUD_BITE: f64 = 1.25 * MM_PER_INCH;

/// The length of the screws, in mm: as long as bites well and pokes through nowhere; `None` where
/// there is none.
///
/// # Errors
/// When a formula fails.
pub(super) fn length(
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
        "{}: no wood screw goes through {} of wood and bites without poking out: use thicker wood behind, or thinner in front.",
        spec.name.get_ref(),
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
            "{}: a screw {} long pokes through by {}: use one at most {} long.",
            spec.name.get_ref(),
            bench.write(length),
            bench.write(bite - room),
            bench.write(wood + room - BEYOND_TIP)
        );
        return Some(Finding::stop("screw-pokes-through", message));
    }
    let message = || {
        format!(
            "{}: the screws bite only {}, less than {}: use thicker wood behind.",
            spec.name.get_ref(),
            bench.write(bite),
            bench.write(BITE_LEAST)
        )
    };
    (bite < BITE_LEAST).then(|| Finding::warn("screw-bites-little", message()))
}
