//! Open choices settled: what a holder file leaves out is moved from the style's default until nothing stops or
//! warns, and no further; what the shop leaves out is settled once for all holders.
//!
//! Every holder that comes into question is built and looked at as a whole; [`Worth`] tells the better of two.
//! What a file states is never moved.

mod advice;
mod agree;
mod candidate;
mod change;
mod hope;
mod knob;
mod lasting;
mod moved;
mod project;
mod search;
mod soon;
mod told;
mod worth;

pub(crate) use moved::Moved;
pub(crate) use project::{Known, Project, project};
pub(crate) use soon::{Soon, soon_settled};
pub(crate) use told::note;

use crate::carry::say::headline;
use crate::carry::{Assessment, assess, hangs_over_a_stud, load_findings};
#[cfg(test)]
use crate::holder::Values;
use crate::holder::{Carrier, Finding, Holder, Level, Model, Step};
use crate::motion::{Hanging, hang_finding, hang_step, hanging};
#[cfg(test)]
use crate::reading::Entry;
use crate::reading::Problems;
use crate::shop::Shop;
use crate::style::HolderFile;
use crate::tool::{ToolRoom, hang_tools, tool_room};
use advice::{advice, room_advice};
use candidate::{Candidate, Files};

/// A holder with nothing left open.
pub(crate) struct Settled {
    pub holder: Holder,
    /// What it carries; `None` for one that can't be made or where nothing hangs.
    pub carried: Option<Assessment>,
    /// How it comes on its wall cleat; `None` for one that can't be made or hangs otherwise.
    pub hanging: Option<Hanging>,
    /// The room that its tools have; `None` for one that can't be made or whose style says nothing of them.
    pub room: Option<ToolRoom>,
}

/// The holder that `file` asks for, with what was `moved`, and all that is to be said of it.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(crate) fn finished(file: &HolderFile, shop: &Shop, moved: &Moved) -> Result<Settled, Problems> {
    let asked = Files { file, shop };
    let (file, shop) = asked.with(moved.all());
    let files = Files { file: &file, shop: &shop };
    let (settled, candidate) =
        rayon::join(|| told::told(asked, moved), || Candidate::carrying(&file, &shop));
    let Candidate { mut holder, loads, close, .. } = candidate?;
    let stopped = holder.findings.iter().any(|finding| finding.level == Level::Stop);
    let ((carried, found), (hanging, room)) = rayon::join(
        || carried(files, &holder, (&shop, stopped), loads),
        || hung(files, &holder, (&shop, stopped)),
    );
    holder.findings.extend(found);
    holder.findings.extend(close);
    let found = hanging.as_ref().and_then(|hanging| hang_finding(&holder, &shop, hanging));
    holder.findings.extend(found);
    if let Some((room, fix)) = &room {
        holder.findings.extend(room.findings.iter().map(|found| found.with(fix)));
    }
    let room = room.map(|(room, _)| room);
    // The keeper strip comes in under the cleat once the holder hangs.
    let strip = if is_kept(&holder) { holder.steps.pop() } else { None };
    let checks = carried.as_ref().map_or_else(Vec::new, |carried| carried.checks.clone());
    let over_a_stud = || format!("over a {}", shop.wall.held_by());
    let middle = match &file.as_made {
        Some(made) => made.middle.clone(),
        None => hangs_over_a_stud(&checks).then(over_a_stud),
    };
    middle.iter().for_each(|place| holder.mark_middle(place));
    if let Some(step) = hanging.as_ref().and_then(|hanging| hang_step(hanging, holder.units)) {
        holder.steps.push(step.into());
    }
    holder.steps.extend(strip);
    let hung = room.as_ref().filter(|room| !room.is_stopped());
    holder.steps.extend(hung.and_then(|room| hang_tools(&holder, room)).map(Step::from));
    holder.findings.extend(settled.iter().map(|settled| note(settled, files.units())));
    holder.settled = settled;
    holder.findings.sort_by_key(|finding| finding.level);
    Ok(Settled { holder, carried, hanging, room })
}

/// What a holder carries in a shop, and what is found of that; its `loads` alone where nothing is worked out.
fn carried(
    files: Files<'_>,
    holder: &Holder,
    (shop, stopped): (&Shop, bool),
    loads: Vec<Finding>,
) -> (Option<Assessment>, Vec<Finding>) {
    if stopped || holder.carriers.is_empty() {
        return (None, loads);
    }
    let carried = assess(holder, shop);
    let advice = match &files.file.as_made {
        Some(_) => hangs_already(&loads),
        None => advice(files, &carried, &loads),
    };
    let headline = headline(&carried, holder.units);
    let found = load_findings(holder, &carried.checks, &carried.failed, &headline, &advice);
    (Some(carried), found)
}

/// How a holder comes on its wall cleat, and the room of its tools there with the way out where that is wanting.
fn hung(
    files: Files<'_>,
    holder: &Holder,
    (shop, stopped): (&Shop, bool),
) -> (Option<Hanging>, Option<(ToolRoom, String)>) {
    if stopped {
        return (None, None);
    }
    let hanging = hanging(holder, shop);
    let room = tool_room(holder, shop, hanging.as_ref()).map(|room| {
        let fix = match &files.file.as_made {
            Some(_) => String::new(),
            None => room_advice(files, &room.findings),
        };
        (room, fix)
    });
    (hanging, room)
}

/// Whether a keeper strip holds it down, which its last step puts in.
fn is_kept(holder: &Holder) -> bool {
    let kept = |carrier: &Carrier| matches!(carrier.model, Model::Hook { kept_by: Some(_), .. });
    holder.carriers.iter().any(kept)
}

/// The way out where a holder that hangs as it was made carries too much by its `loads`.
fn hangs_already(loads: &[Finding]) -> String {
    let light = loads.iter().all(|finding| finding.level == Level::Note);
    let told = " It hangs already: hang fewer or lighter tools, or delete built to make it anew.";
    if light { String::new() } else { told.to_owned() }
}

/// A single holder settled, the shop as it is.
///
/// # Errors
/// When the holder file or its style is wrong.
#[cfg(test)]
pub(crate) fn settle(file: &HolderFile, shop: &Shop) -> Result<Settled, Problems> {
    finished(file, shop, &moved::moved(Files { file, shop }, usize::MAX)?)
}

/// The choices that `file` leaves open and its style lets give, with what each may be set to, the least first.
#[cfg(test)]
pub(crate) fn choices_open(file: &HolderFile, shop: &Shop) -> Vec<(String, Vec<Entry>)> {
    let Ok(values) = Values::new(file, shop) else { return Vec::new() };
    let entries = |knob: &knob::Knob| {
        let each = knob.changes.iter().filter_map(|change| match change {
            change::Change::Choice { value, .. } => Some(value.entry(values.units())),
            _ => None,
        });
        each.collect()
    };
    let name = |knob: &knob::Knob| knob.changes[0].name().to_owned();
    let knobs = knob::open_knobs(file, &values, shop);
    knobs.iter().map(|knob| (name(knob), entries(knob))).collect()
}
