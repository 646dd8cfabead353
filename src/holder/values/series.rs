//! Series: where each of some things stands along a part, counted from 1.

use super::{OF_EACH, ROUND, Values};
use crate::formula::{FormulaError, Names, Value};
use crate::holder::finding::Refusal;
use crate::length::{Quantity, Tape};
use crate::limits;
use crate::reading::{Kind, Source};
use crate::style::{Expr, SeriesSpec, SeriesWay};

/// A series with its figures, in mm.
struct Line {
    widths: Vec<f64>,
    /// From the side of one to the side of the next.
    gap: f64,
    ends: f64,
    /// The tape whose marks the middles come on; `None` where things touch, and where it is said how far apart
    /// their middles are.
    tape: Option<Tape>,
}

impl Line {
    fn length(&self) -> f64 {
        let last = self.of(self.widths.len());
        let end = last.map_or(self.ends, |(left, width)| left + width) + self.ends;
        self.up(end)
    }

    /// The left side and the width of thing `n`. Its middle is on a mark of the tape, the gap wider by what that
    /// takes.
    fn of(&self, n: usize) -> Option<(f64, f64)> {
        let (widths, gap) = (self.widths.get(..n)?, self.gap);
        let mut right = self.ends - gap;
        let sides = widths.iter().map(|width| {
            let left = self.up(right + gap + width / 2.0) - width / 2.0;
            right = left + width;
            (left, *width)
        });
        sides.last()
    }

    fn up(&self, place: f64) -> f64 {
        self.tape.map_or(place, |tape| tape.up(place))
    }
}

impl Values<'_> {
    /// `NAME.at` and its like; `None` where no series is called so.
    pub(super) fn of_series(&self, name: &str) -> Option<Result<Value, FormulaError>> {
        let (of, what) = name.split_once('.')?;
        let (spec, source) = *self.given.series.get(of)?;
        let known = OF_EACH.contains(&what) || ["count", "length"].contains(&what);
        known.then(|| {
            // What a series stands on may stand on the series: that is a circle, not a deep chain.
            if self.busy.borrow().iter().any(|busy| busy == of) {
                return Err(FormulaError::Circle(of.to_owned()));
            }
            self.busy.borrow_mut().push(of.to_owned());
            let found = self.told_of(spec, source, what);
            self.busy.borrow_mut().pop();
            found
        })
    }

    fn told_of(
        &self,
        spec: &SeriesSpec,
        source: &Source,
        what: &str,
    ) -> Result<Value, FormulaError> {
        let line = self.line(spec, source).map_err(|refusal| {
            self.fault.borrow_mut().get_or_insert(refusal);
            FormulaError::Told
        })?;
        let count = line.widths.len();
        if what == "count" {
            return Ok(Quantity::number(count as f64).into());
        }
        if what == "length" {
            return Ok(Quantity::mm(line.length()).into());
        }
        let n = self.round.get().ok_or_else(|| self.unknown(ROUND))?;
        let (left, width) =
            line.of(n).ok_or(FormulaError::NoEntry { wanted: n as f64, size: count })?;
        let at = match what {
            "left" => left,
            "width" => width,
            "right" => left + width,
            _ => left + width / 2.0,
        };
        Ok(Quantity::mm(at).into())
    }

    fn line(&self, spec: &SeriesSpec, source: &Source) -> Result<Line, Refusal> {
        let length = |expr: Option<&Expr>| {
            expr.map_or(Ok(0.0), |expr| self.figure(expr, Kind::Length, source))
        };
        let count = |expr: &Expr| {
            let count = self.figure(expr, Kind::Count, source)?;
            if count > limits::LIST as f64 {
                let message = FormulaError::TooManyEntries.to_string();
                return Err(source.problem(expr.span.clone(), message).into());
            }
            Ok::<_, Refusal>(count as usize)
        };
        let ends = length(spec.ends.as_ref())?;
        Ok(match &spec.way {
            SeriesWay::Pitched { count: things, pitch } => {
                let (widths, gap) = (vec![0.0; count(things)?], length(Some(pitch))?);
                Line { widths, gap, ends, tape: None }
            }
            SeriesWay::Wide { of, count: things, gap } => {
                let tape = gap.as_ref().map(|_| self.tape());
                let gap = length(gap.as_ref())?;
                let widths = self.work(of, source)?;
                let widths: Vec<Value> = match things {
                    Some(things) => vec![widths; count(things)?],
                    None => widths.entries().to_vec(),
                };
                let widths = widths.iter().map(|width| {
                    width.figure(Kind::Length.dimension()).ok_or_else(|| {
                        let message = format!("of is {}, not a length", width.describe());
                        source.problem(of.span.clone(), message).into()
                    })
                });
                Line { widths: widths.collect::<Result<_, Refusal>>()?, gap, ends, tape }
            }
        })
    }
}
