//! Whether more moves at once can bring a holder under its limits, judged by what each does by itself.

use super::candidate::Candidate;
use crate::carry::{Check, CheckId};

/// What more than all single moves together may come to: they do not just multiply. From trying it out.
const SLACK: f64 = 0.85;

/// A check that is over its limit, and how far each knob by itself brings it down.
struct Over {
    id: CheckId,
    /// Above 1.
    share: f64,
    /// Of each knob the best that one of its changes does, as part of `share`.
    parts: Vec<f64>,
}

/// What single moves do to the checks that are over their limits.
pub(super) struct Hope {
    over: Vec<Over>,
}

impl Hope {
    /// Of a holder to be changed with so many knobs.
    pub(super) fn of(start: &Candidate, knobs: usize) -> Self {
        let over = start.checked.checks.iter().filter(|check| check.ratio() > 1.0);
        let over = over.map(|check| Over {
            id: check.id.clone(),
            share: check.ratio(),
            parts: vec![1.0; knobs],
        });
        Self { over: over.collect() }
    }

    /// Takes in what one change of a knob does by itself.
    pub(super) fn learn(&mut self, knob: usize, candidate: &Candidate) {
        for over in &mut self.over {
            let same = candidate.checked.checks.iter().filter(|check| check.id == over.id);
            let share = same.map(Check::ratio).fold(0.0, f64::max);
            let now = over.part(share);
            if let Some(part) = over.parts.get_mut(knob) {
                *part = part.min(now);
            }
        }
    }

    /// Whether all single moves together might bring every check under its limit.
    pub(super) fn is_left(&self) -> bool {
        self.over.iter().all(|over| SLACK * over.together() <= 1.0)
    }
}

impl Over {
    /// A share as part of the one it began with. Of what could not be counted on at all any share at all is a way out.
    fn part(&self, share: f64) -> f64 {
        match (self.share.is_finite(), share.is_finite()) {
            (true, _) => share / self.share,
            (false, true) => 0.0,
            (false, false) => 1.0,
        }
    }

    /// What all single moves together come to.
    fn together(&self) -> f64 {
        let part = self.parts.iter().product::<f64>();
        if part > 0.0 { self.share * part } else { 0.0 }
    }
}
