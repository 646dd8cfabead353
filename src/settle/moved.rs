//! One holder: which of its open choices are moved, and to what.

use std::cell::RefCell;

use super::candidate::{Candidate, Files};
use super::change::Change;
use super::hope::Hope;
use super::knob::{Knob, open_knobs};
use super::lasting::lasting;
use super::search::{Move, Scope, best};
use super::worth::Worth;
use crate::holder::{Holder, Part, Values};
use crate::limits;
use crate::reading::Problems;

/// Fewer tries than this make a holder slow.
const SLOW: usize = 40;

/// What is set otherwise than a style's defaults are, and what that is worth.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Moved {
    pub(super) changes: Vec<Change>,
    /// What is moved further so that sizes agree with those of other holders.
    pub(super) agreed: Vec<Agreed>,
    pub(super) worth: Worth,
    /// Whether the holder takes so long to build that few others can be tried in its place.
    pub(super) slow: bool,
}

/// A choice moved so that sizes agree.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Agreed {
    pub change: Change,
    /// The part for which the saw would be set once more.
    pub part: String,
}

impl Moved {
    /// All that is changed, in the order in which it takes hold.
    pub(super) fn all(&self) -> impl Iterator<Item = &Change> + Clone {
        self.changes.iter().chain(self.agreed.iter().map(|agreed| &agreed.change))
    }
}

/// What is moved of the choices that a holder file leaves open, at most so many at once.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(super) fn moved(files: Files<'_>, at_once: usize) -> Result<Moved, Problems> {
    let start = Candidate::of(files.file, files.shop)?;
    let worth = start.worth([0, 0]);
    let better = searched(files, &start, worth, at_once).filter(|moved| moved.worth < worth);
    let slow = most_tries(&start.holder) < SLOW;
    let better = better.unwrap_or(Moved { worth, slow, ..Moved::default() });
    Ok(Moved { slow, ..better })
}

/// The best that was found where the defaults won't do.
fn searched(files: Files<'_>, start: &Candidate, worth: Worth, at_once: usize) -> Option<Moved> {
    if worth.found() == [0, 0] {
        return None;
    }
    let values = Values::new(files.file, files.shop).ok()?;
    let knobs = open_knobs(files.file, &values, files.shop);
    let lasting = lasting(files.file, &values, start, &knobs);
    if worth.found() == lasting || lasting[0] > 0 {
        return None;
    }
    let good = |worth: &Worth| worth.found() == lasting;
    search(files, start, &knobs, at_once, good)
}

/// The best changes of `knobs`, at most so many at once, of a holder that is now as at the `start`.
pub(super) fn search(
    files: Files<'_>,
    start: &Candidate,
    knobs: &[Knob],
    at_once: usize,
    good: impl Fn(&Worth) -> bool + Sync,
) -> Option<Moved> {
    let sizes: Vec<usize> = knobs.iter().map(|knob| knob.changes.len()).collect();
    let scope = Scope { sizes: &sizes, most: most_tries(&start.holder), at_once };
    let hope = RefCell::new(Hope::of(start, knobs.len()));
    // All of a small space is looked through where nothing limits how much is moved at once.
    let sets = sizes.iter().fold(1_usize, |sets, size| sets.saturating_mul(size + 1));
    let all = at_once == usize::MAX && sets <= scope.most;
    let begin = start.worth([0, 0]);
    let looks = |moves: &[Move], least: Option<Worth>| {
        let least = least.map_or(begin, |least| least.min(begin));
        // Once one serves, no more is moved at once, and nothing more to be learnt.
        let serves = least < begin && good(&least);
        FarLook { so_far: moved_and_far(moves), least, serves }
    };
    let ready = |moves: &[Move], least: Option<Worth>| {
        let far = looks(moves, least);
        let looked_at = |candidate: &Candidate| far.at_loads(candidate);
        let better = |candidate: &Candidate| far.at_hanging(candidate);
        files.tried_where(changes(knobs, moves), [&looked_at, &better])
    };
    let worth = |moves: &[Move], least: Option<Worth>, candidate: Option<Candidate>| {
        // What was made ready beside others knew less of these.
        let far = looks(moves, least);
        let looked_at = |candidate: &Candidate| far.at_loads(candidate);
        let better = |candidate: &Candidate| far.at_hanging(candidate);
        let candidate = candidate?.no_further([&looked_at, &better]);
        if let [(knob, _)] = moves {
            hope.borrow_mut().learn(*knob, &candidate);
        }
        Some(candidate.worth(far.so_far))
    };
    let (moves, worth) = best(&scope, &good, (ready, worth), || all || hope.borrow().is_left())?;
    Some(Moved { changes: changes(knobs, &moves).cloned().collect(), worth, ..Moved::default() })
}

/// How far a candidate is looked at. How it comes on its cleat only makes it worse: what is no better without a look at
/// that stays so.
struct FarLook {
    so_far: [usize; 2],
    /// The best that is known.
    least: Worth,
    /// Whether that serves.
    serves: bool,
}

impl FarLook {
    fn at_loads(&self, candidate: &Candidate) -> bool {
        !self.serves || self.at_hanging(candidate)
    }

    fn at_hanging(&self, candidate: &Candidate) -> bool {
        candidate.worth(self.so_far) < self.least
    }
}

pub(super) fn changes<'k>(knobs: &'k [Knob], moves: &[Move]) -> impl Iterator<Item = &'k Change> {
    moves.iter().map(|(knob, change)| &knobs[*knob].changes[*change])
}

/// How many things are moved, and how far in all.
pub(super) fn moved_and_far(moves: &[Move]) -> [usize; 2] {
    [moves.len(), moves.iter().map(|(_, change)| change + 1).sum()]
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
