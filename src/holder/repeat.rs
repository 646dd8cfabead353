//! Doing the same again: rounds of a repeat, each with its number and its move.

use super::bench::Bench;
use super::finding::Refusal;
use crate::limits;
use crate::style::{Expr, RepeatSpec};

impl Bench<'_> {
    /// Does `work` in each round of `repeat`, given how far the round is moved along each axis, in
    /// mm; once and unmoved without a repeat. Formulas know the number of the round as `n`.
    ///
    /// # Errors
    /// When a formula or `work` fails, or the step has not one length for each axis.
    pub(super) fn rounds<const AXES: usize, T>(
        &self,
        repeat: Option<&RepeatSpec>,
        mut work: impl FnMut([f64; AXES]) -> Result<T, Refusal>,
    ) -> Result<Vec<T>, Refusal> {
        let Some(repeat) = repeat else { return Ok(vec![work([0.0; AXES])?]) };
        if !repeat.step.is_empty() && repeat.step.len() != AXES {
            let axes = if AXES == 2 { "two lengths, x and y" } else { "three lengths, x, y and z" };
            return Err(self.wrong(&repeat.count, &format!("a repeat here has a step of {axes}")));
        }
        let mut step = [0.0; AXES];
        for (length, expr) in step.iter_mut().zip(&repeat.step) {
            *length = self.length(expr)?;
        }
        let count = self.count(&repeat.count)?;
        let in_all = self.values.count_rounds(count);
        self.at_most(in_all as f64, limits::ROUNDS, "rounds come of all repeats together")?;
        let round = |i: usize| self.values.in_round(i + 1, || work(step.map(|s| s * i as f64)));
        (0..count).map(round).collect()
    }

    /// The same where `when` holds; other rounds are passed over.
    ///
    /// # Errors
    /// As [`Bench::rounds`], and when `when` fails.
    pub(super) fn rounds_when<const AXES: usize, T>(
        &self,
        repeat: Option<&RepeatSpec>,
        when: Option<&Expr>,
        mut work: impl FnMut([f64; AXES]) -> Result<T, Refusal>,
    ) -> Result<Vec<T>, Refusal> {
        let done =
            self.rounds(
                repeat,
                |step| {
                    if self.holds(when)? { work(step).map(Some) } else { Ok(None) }
                },
            )?;
        Ok(done.into_iter().flatten().collect())
    }
}
