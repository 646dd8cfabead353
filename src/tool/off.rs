//! Tools that come off: each by itself with all others hanging, else after those in its way.

use super::scene::{Met, Obstacle, ToolScene};
use crate::holder::{Leg, Solid};
use crate::kernel::prism::Prism;
use crate::style::Space;

/// Beyond all that stands around, in mm.
const CLEAR: f64 = 1.0;

/// How the tools of a holder come off.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct ComingOff {
    /// The tools that come off only after others.
    pub after_others: Vec<usize>,
    /// What keeps tools on for good: of each the deepest.
    pub stuck: Vec<Met>,
    /// The greatest rise of one on its way, in mm.
    pub lift: f64,
}

/// How all of them come off, and in which order.
pub(super) fn coming_off(scene: &ToolScene<'_>) -> ComingOff {
    let mut off = ComingOff::default();
    let all: Vec<usize> = (0..scene.tools.len()).collect();
    let mut left = all.clone();
    for tool in all.iter().copied() {
        match in_the_way(scene, tool, &all) {
            None => left.retain(|other| *other != tool),
            Some(Met { what: Obstacle::Tool(_), .. }) => off.after_others.push(tool),
            Some(met) => off.stuck.push(met),
        }
    }
    off.lift = all.iter().map(|tool| rise(scene, *tool)).fold(0.0, f64::max);
    let mut waiting = off.after_others.clone();
    while let Some(tool) =
        waiting.iter().copied().find(|tool| in_the_way(scene, *tool, &left).is_none())
    {
        waiting.retain(|other| *other != tool);
        left.retain(|other| *other != tool);
    }
    // Those behind a tool that never comes off are not told as well.
    if off.stuck.is_empty() {
        off.stuck.extend(waiting.iter().filter_map(|tool| in_the_way(scene, *tool, &left)));
    }
    off
}

/// How high it rises on its way off, in mm.
fn rise(scene: &ToolScene<'_>, tool: usize) -> f64 {
    let mut highest = 0.0_f64;
    let mut at = 0.0;
    for (_, by) in legs(scene, tool) {
        at += by[1];
        highest = highest.max(at);
    }
    highest
}

/// The deepest thing in its way while some tools hang; fixed ones before tools.
fn in_the_way(scene: &ToolScene<'_>, tool: usize, hanging: &[usize]) -> Option<Met> {
    let others: Vec<usize> = hanging.iter().copied().filter(|other| *other != tool).collect();
    let swept: Vec<(Solid, Prism)> = legs(scene, tool)
        .flat_map(|(from, by)| {
            let solids = scene.tools[tool].body.iter();
            solids.map(move |solid| (solid.clone(), solid.prism.moved(from).swept(by)))
        })
        .collect();
    let met = |find: &dyn Fn(&Prism) -> Option<(Obstacle, f64)>| {
        let each = swept.iter().filter_map(|(solid, prism)| {
            let (what, depth) = find(prism)?;
            Some(Met { tool, solid: solid.name.clone(), what, depth })
        });
        each.max_by(|a, b| a.depth.total_cmp(&b.depth))
    };
    met(&|prism| scene.fixed(prism)).or_else(|| met(&|prism| scene.tool(prism, &others)))
}

/// Its way off, leg by leg: from where, and how far.
pub(super) fn legs<'a>(
    scene: &'a ToolScene<'_>,
    tool: usize,
) -> impl Iterator<Item = (Space, Space)> + 'a {
    let mut from = [0.0; 3];
    scene.tools[tool].comes.iter().rev().map(move |leg| {
        let back = leg.way.map(|along| -along);
        let by = leg.by.unwrap_or_else(|| far(scene, tool, leg, from));
        let (start, step) = (from, back.map(|along| along * by));
        from = std::array::from_fn(|axis| start[axis] + step[axis]);
        (start, step)
    })
}

/// How far it goes to be clear of all that stands around.
fn far(scene: &ToolScene<'_>, tool: usize, leg: &Leg, from: Space) -> f64 {
    let (low, high) = scene.bounds;
    let solids = scene.tools[tool].body.iter().map(|solid| solid.prism.moved(from).bounds());
    let Some((near, far)) = super::scene::around(solids) else { return 0.0 };
    let axis = (0..3).find(|axis| leg.way[*axis] != 0.0).unwrap_or(2);
    let gap = if leg.way[axis] < 0.0 { high[axis] - near[axis] } else { far[axis] - low[axis] };
    gap.max(0.0) + CLEAR
}
