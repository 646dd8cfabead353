//! Open choices settled: what a holder file leaves out is moved from the style's default until nothing stops or
//! warns, and no further.
//!
//! Every holder that comes into question is built and looked at as a whole; [`Verdict`] tells the better of two.
//! What the file states is never moved.

mod advice;
mod change;
mod knob;
mod lasting;
mod search;
mod told;
mod trial;
mod verdict;

use crate::carry::{Assessment, assess, close_calls, hangs_over_a_stud, load_findings};
use crate::holder::{Holder, Level, Part, SettledChoice, Values};
use crate::limits;
use crate::reading::Problems;
use crate::shop::Shop;
use crate::style::HolderFile;
use advice::advice;
use change::Change;
use knob::{Knob, open_knobs};
use lasting::lasting;
use search::{Move, Space, best};
use trial::{Files, Trial};
use verdict::Verdict;

/// A holder with nothing left open.
pub(crate) struct Settled {
    pub holder: Holder,
    /// What it carries; `None` for one that can't be made or where nothing hangs.
    pub carried: Option<Assessment>,
}

/// Builds the holder that `file` asks for, its open choices settled, and looks at what it carries.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(crate) fn settle(file: &HolderFile, shop: &Shop) -> Result<Settled, Problems> {
    let files = Files { file, shop };
    let start = Trial::of(file, shop)?;
    let changes = moved(files, &start);
    let trial = if changes.is_empty() { None } else { files.tried(&changes) };
    let told = trial.as_ref().map_or_else(Vec::new, |_| told::told(files, &start, &changes));
    let (file, _) = files.with(&changes);
    Ok(finished(Files { file: &file, shop }, trial.unwrap_or(start), told))
}

/// What is set otherwise than the style's defaults are.
fn moved(files: Files<'_>, start: &Trial) -> Vec<Change> {
    let found = start.verdict([0, 0]).found();
    if found == [0, 0] {
        return Vec::new();
    }
    let Ok(values) = Values::new(files.file, files.shop) else { return Vec::new() };
    let knobs = open_knobs(files.file, &values, files.shop);
    let lasting = lasting(files.file, &values, start, &knobs);
    if found == lasting || lasting[0] > 0 {
        return Vec::new();
    }
    let good = |verdict: &Verdict| verdict.found() == lasting;
    let found = search_of(files, &knobs, usize::MAX, most_tries(&start.holder), good);
    // What is not better than the defaults is no reason to leave them.
    let better = found.filter(|(_, verdict)| *verdict < start.verdict([0, 0]));
    better.map_or_else(Vec::new, |(changes, _)| changes)
}

/// The best changes of `knobs`, at most so many at once, found in so many tries, and what they are worth.
fn search_of(
    files: Files<'_>,
    knobs: &[Knob],
    at_once: usize,
    most: usize,
    good: impl Fn(&Verdict) -> bool,
) -> Option<(Vec<Change>, Verdict)> {
    let sizes: Vec<usize> = knobs.iter().map(|knob| knob.changes.len()).collect();
    let changes = |moves: &[Move]| -> Vec<&Change> {
        moves.iter().map(|(knob, change)| &knobs[*knob].changes[*change]).collect()
    };
    let worth = |moves: &[Move]| {
        let far = moves.iter().map(|(_, change)| change + 1).sum();
        Some(files.tried(changes(moves))?.verdict([moves.len(), far]))
    };
    let (moves, verdict) = best(&Space { sizes: &sizes, most, at_once }, good, worth)?;
    Some((changes(&moves).into_iter().cloned().collect(), verdict))
}

/// How many holders are tried: fewer of one that takes long to build, which goes with the square of what its
/// parts have to be drawn. Counted and not timed, so that a file always says the same.
fn most_tries(holder: &Holder) -> usize {
    let drawn = |part: &Part| {
        let corners: usize = part.region.contours().map(|c| c.vertices().len()).sum();
        corners + part.drillings.len() + part.marks.len() + part.places.len()
    };
    let drawn: usize = holder.parts.iter().map(drawn).sum();
    (limits::DRAWN_IN_TRIES / (drawn * drawn).max(1)).clamp(1, limits::TRIES)
}

/// The holder with all that is to be said of it.
fn finished(files: Files<'_>, trial: Trial, told: Vec<SettledChoice>) -> Settled {
    let units = files.units();
    let Trial { mut holder, loads, .. } = trial;
    let stopped = holder.findings.iter().any(|finding| finding.level == Level::Stop);
    let carried = (!stopped && !holder.carriers.is_empty()).then(|| assess(&holder, files.shop));
    let found = match &carried {
        Some(carried) => {
            let advice = advice(files, &holder, carried, &loads);
            load_findings(&holder, &carried.checks, &carried.failed, &advice)
        }
        None => loads,
    };
    holder.findings.extend(found);
    if !stopped {
        holder.findings.extend(close_calls(&holder));
    }
    if carried.as_ref().is_some_and(|carried| hangs_over_a_stud(&carried.checks)) {
        holder.mark_middle(&format!("over a {}", files.shop.wall.held_by()));
    }
    holder.findings.extend(told.iter().map(|settled| told::note(settled, units)));
    holder.settled = told;
    holder.findings.sort_by_key(|finding| finding.level);
    Settled { holder, carried }
}
