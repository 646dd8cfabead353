//! One holder among those whose sizes are drawn together.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::sizes::Sizes;
use crate::carry::{Check, NEAR};
use crate::holder::{Level, Part, Values};
use crate::length::{Dimension, Quantity, Tape};
use crate::settle::candidate::{Candidate, Files};
use crate::settle::change::{Change, NewValue};
use crate::settle::moved::Moved;

/// A length that may give.
#[derive(Debug, Clone)]
pub(super) struct Give {
    name: String,
    /// What it is before sizes agree, in mm.
    from: f64,
    /// How many marks of the tape it may go down and up.
    pub marks: i64,
}

/// A holder as it comes out with some changes.
#[derive(Debug, Clone)]
pub(super) struct MemberLook {
    pub sizes: Sizes,
    pub parts: Vec<String>,
    /// Of its wood, in tenths of a gram.
    pub wood: i64,
}

impl MemberLook {
    fn of(parts: &[Part]) -> Self {
        let mass = parts.iter().fold(0.0, |mass, part| mass + part.mass());
        Self {
            sizes: Sizes::of(parts),
            parts: parts.iter().map(|part| part.name.clone()).collect(),
            wood: (mass * 1e4).round() as i64,
        }
    }
}

/// What is found of a holder.
#[derive(Debug, Clone, Copy)]
struct Judged {
    /// Stops, warnings and notes.
    found: [usize; 3],
    /// The highest share of what is allowable.
    share: f64,
}

impl Judged {
    fn of(candidate: &Candidate) -> Self {
        let count = |level| candidate.findings().filter(|finding| finding.level == level).count();
        Self {
            found: [Level::Stop, Level::Warn, Level::Note].map(count),
            share: candidate.checked.checks.iter().map(Check::ratio).fold(0.0, f64::max),
        }
    }

    /// Whether it is as good as at the `start`: no more is found, and nothing is loaded beyond [`NEAR`] that was not.
    fn holds(&self, start: &Self) -> bool {
        let found = self.found.iter().zip(&start.found).all(|(now, then)| now <= then);
        found && self.share <= start.share.max(NEAR)
    }
}

/// What is known of a holder, by the marks that its gives are moved.
#[derive(Debug, Clone, Default)]
pub(crate) struct Looks {
    cut: Vec<(Vec<Change>, Option<MemberLook>)>,
    judged: Vec<(Vec<Change>, Option<Judged>)>,
}

/// How many marks each give is moved, in their order.
pub(super) type Marks = Vec<i64>;

/// A holder, what of it may give, and how far that is moved so far. What is found of it is known to all its clones.
#[derive(Clone)]
pub(super) struct Member<'f> {
    files: Files<'f>,
    settled: Vec<Change>,
    tape: Tape,
    pub gives: Vec<Give>,
    pub marks: Marks,
    start: (MemberLook, Judged),
    before: Arc<Looks>,
    looks: Arc<Mutex<Looks>>,
}

impl<'f> Member<'f> {
    /// `None` where the holder can't be built.
    pub(super) fn new(files: Files<'f>, moved: &Moved, before: Looks) -> Option<Self> {
        let (file, shop) = files.with(&moved.changes);
        let gives = gives(Files { file: &file, shop: &shop }, &files);
        let candidate = Candidate::of(&file, &shop).ok()?;
        Some(Self {
            tape: files.shop.tape(files.units()),
            settled: moved.changes.clone(),
            marks: vec![0; gives.len()],
            gives,
            start: (MemberLook::of(&candidate.holder.parts), Judged::of(&candidate)),
            files,
            before: Arc::new(before),
            looks: Arc::default(),
        })
    }

    /// As it is with its choices where they are.
    pub(super) fn now(&self) -> MemberLook {
        self.any_look(&self.marks).unwrap_or_else(|| self.start.0.clone())
    }

    /// With one give moved to so many marks.
    pub(super) fn moved(&self, give: usize, marks: i64) -> Marks {
        let mut all = self.marks.clone();
        all[give] = marks;
        all
    }

    /// How many marks a give may be moved.
    pub(super) fn may(&self, give: usize, marks: i64) -> bool {
        marks.abs() <= self.gives[give].marks
    }

    /// The holder with its gives so moved; `None` where it is worse than without, or can't be built.
    pub(super) fn look(&self, marks: &Marks) -> Option<MemberLook> {
        if is_unmoved(marks) {
            return Some(self.start.0.clone());
        }
        let look = self.any_look(marks)?;
        let changes = self.all_changes(marks);
        let judge = || self.files.tried(&changes).as_ref().map(Judged::of);
        let judged = once(&mut self.found().judged, &self.before.judged, &changes, judge);
        judged.filter(|judged| judged.holds(&self.start.1)).map(|_| look)
    }

    /// The holder with its gives so moved, good or bad.
    pub(super) fn any_look(&self, marks: &Marks) -> Option<MemberLook> {
        if is_unmoved(marks) {
            return Some(self.start.0.clone());
        }
        let changes = self.all_changes(marks);
        let cut = || self.files.cut(&changes).as_deref().map(MemberLook::of);
        once(&mut self.found().cut, &self.before.cut, &changes, cut)
    }

    fn all_changes(&self, marks: &Marks) -> Vec<Change> {
        self.settled.iter().cloned().chain(self.changes(marks)).collect()
    }

    /// What is changed by moving its gives so.
    pub(super) fn changes(&self, marks: &Marks) -> Vec<Change> {
        let moved = self.gives.iter().zip(marks).filter(|(_, marks)| **marks != 0);
        let change = |(give, marks): (&Give, &i64)| {
            let to = self.tape.mark(self.tape.marks(give.from) + marks);
            let length = |mm| NewValue::Figure(Quantity::mm(mm));
            Change::Choice { name: give.name.clone(), from: length(give.from), value: length(to) }
        };
        moved.map(change).collect()
    }

    /// What was asked after this time. Kept from others while something is worked out: who asks after the same waits.
    fn found(&self) -> MutexGuard<'_, Looks> {
        self.looks.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What was asked after this time, for the next.
    pub(super) fn into_looks(self) -> Looks {
        std::mem::take(&mut *self.found())
    }
}

fn is_unmoved(marks: &Marks) -> bool {
    marks.iter().all(|mark| *mark == 0)
}

/// What is known of some changes this time, was known of them `before`, or is worked out now.
fn once<T: Clone>(
    known: &mut Vec<(Vec<Change>, T)>,
    before: &[(Vec<Change>, T)],
    changes: &[Change],
    work_out: impl FnOnce() -> T,
) -> T {
    let same = |(of, _): &&(Vec<Change>, T)| of == changes;
    if let Some((_, found)) = known.iter().find(same) {
        return found.clone();
    }
    let found = before.iter().find(same).map_or_else(work_out, |(_, found)| found.clone());
    known.push((changes.to_vec(), found.clone()));
    found
}

/// The lengths that `asked` leaves open and that may give, as they are in the `settled` files.
fn gives(settled: Files<'_>, asked: &Files<'_>) -> Vec<Give> {
    let Ok(values) = Values::new(settled.file, settled.shop) else { return Vec::new() };
    let tape = settled.shop.tape(settled.units());
    let open = asked.file.style.choices().filter(|(name, ..)| !asked.file.states(name));
    let give = |(name, far): (&str, f64)| {
        let from = values.known(name)?.figure(Dimension::LENGTH)?;
        Some(Give { name: name.to_owned(), from, marks: tape.marks(tape.down(far)) })
    };
    let far = open.filter_map(|(name, choice, layer)| {
        let asked = matches!(values.holds(choice.when.as_ref(), &layer.source), Ok(true));
        let far = choice.agrees.as_ref().filter(|_| asked)?;
        Some((name, far.plain_length(settled.shop.units)?))
    });
    far.filter_map(give).filter(|give| give.marks > 0).collect()
}
