//! What is said of how a holder comes on its cleat.

use super::hang::{Hanging, OnRow};
use super::hooking::{Hooking, WayOff};
use super::mend::{HookMend, hook_mend, low_strip};
use super::scene::InTheWay;
use super::side::SideView;
use crate::holder::{Finding, Holder};
use crate::length::{MM_PER_INCH, Tape, Units};
use crate::shop::Shop;

/// A lift that is so much less, in mm, is worth tilting for.
const WORTH_TILTING: f64 = MM_PER_INCH / 8.0;

/// A lift of less, in mm, is none.
const UNFELT: f64 = 0.5;

/// What keeps a holder from being hooked on from the front, without the fix: for holders that only come into question.
pub(crate) fn soon_told(holder: &Holder, shop: &Shop, hanging: &Hanging) -> Option<Finding> {
    let side = SideView::of(holder, shop)?;
    Telling { holder, shop, side: &side }.finding(hanging, HookMend::default())
}

/// The same with the fix, which was tried.
pub(crate) fn hang_finding(holder: &Holder, shop: &Shop, hanging: &Hanging) -> Option<Finding> {
    let side = SideView::of(holder, shop)?;
    let telling = Telling { holder, shop, side: &side };
    telling.finding(hanging, HookMend::default())?;
    let mend = hook_mend(&side, shop.wall.row_spacing, shop.tape(holder.units));
    telling.finding(hanging, mend)
}

struct Telling<'t> {
    holder: &'t Holder,
    shop: &'t Shop,
    side: &'t SideView,
}

impl Telling<'_> {
    fn finding(&self, hanging: &Hanging, mend: HookMend) -> Option<Finding> {
        match &hanging.hooking {
            Hooking::FromFront(_) => self.row(hanging.on, mend),
            Hooking::FromEnd => Some(self.slides(mend)),
            Hooking::Never(met) => Some(self.never(*met, mend)),
        }
    }

    fn slides(&self, mend: HookMend) -> Finding {
        let why = match low_strip(self.side) {
            Some(strip) => format!(
                "{} leaves {} of room below the wall cleat, too little to hook the holder on from the front",
                self.name(strip.part),
                self.units().length(strip.room.max(0.0))
            ),
            None => "The holder has 0 ways on from the front past its wall cleat".to_owned(),
        };
        let fix = self.fix(mend).map_or_else(String::new, |fix| format!(", or {fix}"));
        let message = format!("{why}: slide it on from the end of the cleat{fix}.");
        Finding::warn("slides-on-from-the-end", message)
    }

    fn never(&self, met: InTheWay, mend: HookMend) -> Finding {
        let name = self.name(self.side.moving[met.moving].part);
        let what = match met.fixed {
            None => "the wall",
            Some(0) => "the wall cleat",
            Some(_) => "the wall cleat of the next row",
        };
        let fix = self.fix(mend).unwrap_or_else(|| format!("keep {name} clear of it"));
        let depth = self.units().length(met.depth);
        let message = format!("{name} and {what} would share the same space, {depth} deep: {fix}.");
        Finding::stop("wall-cleat-in-the-way", message)
    }

    fn row(&self, on: OnRow, mend: HookMend) -> Option<Finding> {
        let (row, in_the_way) = match on {
            OnRow::Any => return None,
            OnRow::Lowest => ("the lowest row", "the wall cleat of the row below is"),
            OnRow::Highest => ("the highest row", "the wall cleat of the row above is"),
            OnRow::Alone => {
                ("a wall cleat by itself", "the wall cleats of the rows above and below are")
            }
        };
        let spacing = self.units().length(self.shop.wall.row_spacing?);
        let rows = mend
            .rows
            .map(|rows| format!(", or set rows at least {} apart", self.units().length(rows)));
        let message = format!(
            "With rows {spacing} apart {in_the_way} in its way: hang it on {row}{}.",
            rows.unwrap_or_default()
        );
        Some(Finding::note("hangs-on-one-row", message))
    }

    /// The ways out, in half a sentence; `None` where none was found.
    fn fix(&self, mend: HookMend) -> Option<String> {
        let length = |mm| self.units().length(mm);
        let strip = low_strip(self.side).map_or("the strip", |strip| self.name(strip.part));
        let ways = [
            mend.back.map(|back| format!("make the back at least {} high", length(back))),
            mend.strip.map(|most| format!("make {strip} at most {} high", length(most))),
            mend.rows.map(|rows| format!("set rows at least {} apart", length(rows))),
        ];
        let ways: Vec<String> = ways.into_iter().flatten().collect();
        (!ways.is_empty()).then(|| ways.join(", or "))
    }

    fn name(&self, part: usize) -> &str {
        &self.holder.parts[part].name
    }

    fn units(&self) -> Units {
        self.holder.units
    }
}

/// The step in which it is hung; `None` for one that can't be.
pub(crate) fn hang_step(hanging: &Hanging, units: Units) -> Option<String> {
    let row = match hanging.on {
        OnRow::Any | OnRow::Alone => "",
        OnRow::Lowest => " Take the lowest row.",
        OnRow::Highest => " Take the highest row.",
    };
    match &hanging.hooking {
        Hooking::Never(_) => None,
        Hooking::FromEnd => Some(format!("Slide it on from the end of the cleat.{row}")),
        Hooking::FromFront(way) => Some(format!(
            "Hook it on from the front: {}{row}",
            hooked(way, hanging.level.as_ref(), units)
        )),
    }
}

/// How it is hooked on: upright where that goes, and with a tilt where that saves much of the lift.
fn hooked(way: &WayOff, level: Option<&WayOff>, units: Units) -> String {
    let tilted = || format!("with {}", tilted(way));
    match level {
        None => format!("{}, {}; let it down as it comes upright.", lifted(way, units), tilted()),
        Some(level) if level.lift - way.lift < WORTH_TILTING => {
            format!("{}, push it back and let it down.", lifted(level, units))
        }
        Some(level) => format!(
            "{}, push it back and let it down. Under something low, {} {}.",
            lifted(level, units),
            lifted(way, units),
            tilted()
        ),
    }
}

/// A lift, up to the next mark of the tape.
fn lifted(way: &WayOff, units: Units) -> String {
    if way.lift < UNFELT {
        return "lift it no higher than it will hang".to_owned();
    }
    let lift = Tape::usual(units).up(way.lift - UNFELT / 2.0);
    format!("lift it {} above where it will hang", units.length(lift))
}

/// Which way a holder is tilted on its way, and how far.
fn tilted(way: &WayOff) -> String {
    let tilts = way.poses.iter().map(|pose| pose.tilt);
    let greatest =
        tilts.fold(0.0, |most: f64, tilt| if tilt.abs() > most.abs() { tilt } else { most });
    let end = if greatest > 0.0 { "foot" } else { "top" };
    format!("its {end} tilted {:.0}° out from the wall", greatest.abs().max(1.0))
}
