//! What would let a holder be hooked on from the front, found by trying it.

use super::hang::{OnRow, on_rows};
use super::hooking::{Hooking, least_tilt};
use super::side::{SidePart, SideView};
use crate::length::{MM_PER_INCH, Tape};
use crate::tolerance::COORDINATE;

/// The most that a back is made higher, or rows are set apart, to be tried, in mm.
const MOST: f64 = 12.0 * MM_PER_INCH;

/// The lowest a strip is made, in mm: what spacer strips begin at. Common practice, no source.
const LEAST_STRIP: f64 = 0.375 * MM_PER_INCH;

/// Changes each of which by itself lets it be hooked on from the front, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct HookMend {
    /// The least height of the back, from the foot of the lowest strip to the top of the holder cleat.
    pub back: Option<f64>,
    /// The greatest height of the strip under the wall cleat.
    pub strip: Option<f64>,
    /// The least way from one row of wall cleats to the next.
    pub rows: Option<f64>,
}

/// What lies behind the back below the wall cleat, and how much room it leaves there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LowStrip {
    /// Its part's place in the holder's list.
    pub part: usize,
    /// Heights of its lower and upper edge, in mm.
    pub low: f64,
    pub high: f64,
    /// Between it and the wall cleat, in mm; below zero where they overlap.
    pub room: f64,
}

/// The highest strip below the holder cleat that stands as near the wall as the wall cleat does.
pub(crate) fn low_strip(side: &SideView) -> Option<LowStrip> {
    let cleat = side.cleat;
    let strips = side.moving.iter().filter_map(|part| {
        let [low, high] = extent(part, |at| at.y);
        let [near, far] = extent(part, |at| at.x);
        let behind = near < cleat.thickness / 2.0 && far <= cleat.thickness + COORDINATE;
        let room = cleat.foot - high;
        let strip = LowStrip { part: part.part, low, high, room };
        (behind && f64::midpoint(low, high) < cleat.foot).then_some(strip)
    });
    strips.max_by(|a, b| a.high.total_cmp(&b.high))
}

fn extent(part: &SidePart, of: fn(&kurbo::Point) -> f64) -> [f64; 2] {
    let all = || part.outline.iter().map(of);
    [all().fold(f64::INFINITY, f64::min), all().fold(f64::NEG_INFINITY, f64::max)]
}

/// What lets it be hooked on from the front, to a mark of the tape. Rows are `spacing` apart, where there are some.
pub(crate) fn hook_mend(side: &SideView, spacing: Option<f64>, tape: Tape) -> HookMend {
    let goes = |side: &SideView, spacing: Option<f64>| {
        let hanging = on_rows(side, spacing, least_tilt);
        matches!(hanging.hooking, Hooking::FromFront(_)) && hanging.on == OnRow::Any
    };
    let strip = low_strip(side);
    let by = |most: f64, changed: &dyn Fn(&LowStrip, f64) -> SideView| {
        let strip = strip?;
        Some((strip, least(most, tape, &|by| goes(&changed(&strip, by), spacing))?))
    };
    let back = by(MOST, &|strip, by| side.with_back_longer(strip, by));
    let spare = strip.map_or(0.0, |strip| strip.high - strip.low - LEAST_STRIP);
    let thinner = by(spare, &|strip, by| side.with_strip_lower(strip, by));
    let rows = spacing.and_then(|spacing| {
        let apart = least(MOST, tape, &|by| goes(side, Some(spacing + by)))?;
        Some(tape.up(spacing + apart))
    });
    HookMend {
        back: back.map(|(strip, by)| tape.up(side.top - strip.low + by)),
        strip: thinner.map(|(strip, by)| tape.down(strip.high - strip.low - by)),
        rows,
    }
}

/// The least whole number of marks up to `most` with which it goes, as a length; `None` where none does. Where a
/// length goes every longer one is taken to go.
fn least(most: f64, Tape { grid }: Tape, goes: &dyn Fn(f64) -> bool) -> Option<f64> {
    let marks = (most / grid).floor() as usize;
    let mut high = 1;
    while high < marks && !goes(high as f64 * grid) {
        high *= 2;
    }
    high = high.min(marks);
    if high == 0 || !goes(high as f64 * grid) {
        return None;
    }
    let mut low = high / 2;
    while high - low > 1 {
        let middle = usize::midpoint(low, high);
        if goes(middle as f64 * grid) { high = middle } else { low = middle }
    }
    Some(high as f64 * grid)
}

impl SideView {
    /// With all that is no higher than the strip's upper edge lowered.
    fn with_back_longer(&self, strip: &LowStrip, by: f64) -> Self {
        let mut longer = self.clone();
        let corners = longer.moving.iter_mut().flat_map(|part| &mut part.outline);
        let below = corners.filter(|at| at.y <= strip.high + COORDINATE);
        below.for_each(|at| at.y -= by);
        longer
    }

    /// With the strip's upper edge lowered.
    fn with_strip_lower(&self, strip: &LowStrip, by: f64) -> Self {
        let mut lower = self.clone();
        let strips = lower.moving.iter_mut().filter(|part| part.part == strip.part);
        let corners = strips.flat_map(|part| &mut part.outline);
        let upper = corners.filter(|at| at.y >= strip.high - COORDINATE);
        upper.for_each(|at| at.y -= by);
        lower
    }
}
