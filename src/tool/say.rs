//! What is said of the tools on a holder.

use super::UNFELT;
use super::rest::{BUMP, Lie};
use super::room::ToolRoom;
use super::scene::{Met, Obstacle};
use crate::holder::{Finding, Holder, HungTool, Leg};
use crate::length::{Tape, Units, in_round_mm};

/// What findings name.
pub(super) struct Telling<'t> {
    pub holder: &'t Holder,
    pub tools: &'t [HungTool],
}

impl Telling<'_> {
    /// What shares space as the tools hang: the deepest, and how many more there are.
    pub(super) fn cramped(&self, met: &[Met]) -> Option<Finding> {
        let deepest = deepest(met)?;
        let message = format!(
            "{} and {} would share the same space, {} deep{}: measure again, or give it more room.",
            self.solid(deepest),
            self.obstacle(deepest.what),
            self.holder.units.length(deepest.depth),
            more(met.len())
        );
        Some(Finding::stop("tool-in-the-way", message))
    }

    /// What keeps tools from coming to their places.
    pub(super) fn stuck(&self, met: &[Met]) -> Option<Finding> {
        let deepest = deepest(met)?;
        let message = format!(
            "{} meets {} on its way, {} deep{}, so that it can't be hung or taken off: measure again, or give it \
             more room.",
            self.solid(deepest),
            self.obstacle(deepest.what),
            self.holder.units.length(deepest.depth),
            more(met.len())
        );
        Some(Finding::stop("tool-does-not-come-off", message))
    }

    /// What tools do not lie on: those that would fall, else those that would tip.
    pub(super) fn lies(&self, lies: &[Lie]) -> Option<Finding> {
        let with = |lie: Lie| lies.iter().zip(self.tools).filter(move |(known, _)| **known == lie);
        let fall: Vec<&HungTool> = with(Lie::Nothing).map(|(_, tool)| tool).collect();
        if let Some(first) = fall.first() {
            let message = format!(
                "Tool {}{} has no wood under it and would fall: compare its readings with the tool.",
                first.number,
                more(fall.len())
            );
            return Some(Finding::stop("tool-lies-on-nothing", message));
        }
        let tip: Vec<&HungTool> = with(Lie::Aside).map(|(_, tool)| tool).collect();
        let message = format!(
            "Tool {}{} lies on wood on one side of its middle only and would tip: compare its readings with the tool.",
            tip.first()?.number,
            more(tip.len())
        );
        Some(Finding::warn("tool-tips", message))
    }

    /// That a bump knocks tools off.
    pub(super) fn loose(&self, tools: &[&HungTool]) -> Option<Finding> {
        let first = tools.first()?;
        let steady = first.steady.as_deref().unwrap_or("hang it where nobody brushes past");
        let message = format!(
            "Tool {}{} slides off when it is bumped by {}: {steady}.",
            first.number,
            more(tools.len()),
            self.holder.units.length(self.bump())
        );
        Some(Finding::note("slides-off-when-bumped", message))
    }

    /// What a bump is called.
    fn bump(&self) -> f64 {
        match self.holder.units {
            Units::Inches => BUMP,
            Units::Millimeters => in_round_mm(BUMP),
        }
    }

    fn solid(&self, met: &Met) -> String {
        format!("Tool {}: its {}", self.tools[met.tool].number, met.solid)
    }

    fn obstacle(&self, what: Obstacle) -> String {
        match what {
            Obstacle::Wall => "the wall".to_owned(),
            Obstacle::OwnCleat => "the wall cleat".to_owned(),
            Obstacle::OtherCleat => "the wall cleat of the next row".to_owned(),
            Obstacle::Part(part) => self.holder.parts[part].name.clone(),
            Obstacle::Tool(other) => format!("tool {}", self.tools[other].number),
        }
    }
}

fn deepest(met: &[Met]) -> Option<&Met> {
    let felt = |met: &Met| (met.depth / UNFELT).round();
    met.iter().max_by(|a, b| felt(a).total_cmp(&felt(b)).then(b.tool.cmp(&a.tool)))
}

/// How many tools besides the one that is told are in the same plight.
fn more(all: usize) -> String {
    match all {
        0 | 1 => String::new(),
        2 => " (and 1 more tool)".to_owned(),
        _ => format!(" (and {} more tools)", all - 1),
    }
}

/// The step in which the tools come to their places; `None` where their style does not say how.
pub(crate) fn hang_tools(holder: &Holder, room: &ToolRoom) -> Option<String> {
    let ways: Vec<String> = holder.tools.iter().map(|tool| way(holder, &tool.comes)).collect();
    let first = ways.first().filter(|way| !way.is_empty())?;
    if ways.len() == 1 {
        return Some(format!("Hang the tool: {first}.{}", takes(holder, room)));
    }
    let same = ways.iter().all(|way| way == first);
    let way = if same { format!("each {first}") } else { each(holder, &ways) };
    let order = if room.one_by_one {
        " The innermost goes on first, the outermost is taken off first."
    } else {
        " Each can be taken off with all others hanging."
    };
    Some(format!("Hang the tools: {way}.{order}{}", takes(holder, room)))
}

/// How much of the wall the holder takes with its tools, where that is more than it takes itself.
fn takes(holder: &Holder, room: &ToolRoom) -> String {
    let tape = Tape::usual(holder.units);
    let (low, high) = room.bounds;
    let with = |axis: usize| high[axis].max(holder.size[axis]) - low[axis].min(0.0);
    if (0..2).all(|axis| with(axis) - holder.size[axis] < 1.0) {
        return String::new();
    }
    let [wide, high] = [0, 1].map(|axis| holder.units.length(tape.up(with(axis))));
    format!(" With them it takes {wide} of the wall across and {high} up.")
}

/// The way of each tool, those that come alike together.
fn each(holder: &Holder, ways: &[String]) -> String {
    let mut told: Vec<(&String, Vec<usize>)> = Vec::new();
    for (way, tool) in ways.iter().zip(&holder.tools) {
        match told.iter_mut().find(|(known, _)| *known == way) {
            Some((_, tools)) => tools.push(tool.number),
            None => told.push((way, vec![tool.number])),
        }
    }
    let told = told.iter_mut().map(|(way, tools)| {
        tools.sort_unstable();
        let tools: Vec<String> = tools.iter().map(ToString::to_string).collect();
        format!("no. {}: {way}", tools.join(", "))
    });
    told.collect::<Vec<_>>().join("; ")
}

/// A way in words: `in from the front, then down 1/4 in`.
fn way(holder: &Holder, comes: &[Leg]) -> String {
    let tape = Tape::usual(holder.units);
    let legs = comes.iter().filter(|leg| leg.by.is_none_or(|by| by > 0.0));
    let legs = legs.map(|leg| {
        let [far, toward] = words(leg);
        match leg.by {
            None => far.to_owned(),
            Some(by) => format!("{toward} {}", holder.units.length(tape.up(by))),
        }
    });
    legs.collect::<Vec<_>>().join(", then ")
}

/// What a leg from far off is called, and one that goes so far.
fn words(leg: &Leg) -> [&'static str; 2] {
    match leg.way {
        [x, ..] if x < 0.0 => ["in from the right", "to the left"],
        [x, ..] if x > 0.0 => ["in from the left", "to the right"],
        [_, y, _] if y < 0.0 => ["down from above", "down"],
        [_, y, _] if y > 0.0 => ["up from below", "up"],
        [.., z] if z > 0.0 => ["out from the wall", "out"],
        _ => ["in from the front", "in"],
    }
}
