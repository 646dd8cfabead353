//! Tools that come off: each by itself with all others hanging, else after those in its way.

use super::scene::{Met, Obstacle, ToolScene, around};
use crate::holder::Leg;
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
    let all: Vec<usize> = (0..scene.tools.len()).collect();
    let ways: Vec<Vec<SweptSolid>> = all.iter().map(|tool| swept(scene, *tool)).collect();
    let fixed = |tool: &usize| met(*tool, &ways[*tool], |prism| scene.fixed(prism));
    let stuck: Vec<Met> = all.iter().filter_map(fixed).collect();
    let held = |tool: usize, hanging: &[usize]| {
        let others: Vec<usize> = hanging.iter().copied().filter(|other| *other != tool).collect();
        met(tool, &ways[tool], |prism| scene.tool(prism, &others))
    };
    let after_others: Vec<usize> =
        all.iter().copied().filter(|tool| held(*tool, &all).is_some()).collect();
    let mut left = after_others.clone();
    // The outermost of a row is the last.
    while let Some(free) = left.iter().rposition(|tool| held(*tool, &left).is_none()) {
        left.remove(free);
    }
    let lift = all.iter().map(|tool| rise(scene, *tool)).fold(0.0, f64::max);
    // Those behind a tool that never comes off are not told as well.
    let stuck = if stuck.is_empty() {
        left.iter().filter_map(|tool| held(*tool, &left)).collect()
    } else {
        stuck
    };
    ComingOff { after_others, stuck, lift }
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

/// What a solid of a tool passes on one leg, with its name.
struct SweptSolid {
    name: String,
    prism: Prism,
}

/// All that a tool passes on its way off.
fn swept(scene: &ToolScene<'_>, tool: usize) -> Vec<SweptSolid> {
    let each = legs(scene, tool).flat_map(|(from, by)| {
        scene.tools[tool].body.iter().map(move |solid| SweptSolid {
            name: solid.name.clone(),
            prism: solid.prism.moved(from).swept(by),
        })
    });
    each.collect()
}

/// The deepest thing that is found in the way of a tool.
fn met(
    tool: usize,
    way: &[SweptSolid],
    find: impl Fn(&Prism) -> Option<(Obstacle, f64)>,
) -> Option<Met> {
    let each = way.iter().filter_map(|SweptSolid { name, prism }| {
        let (what, depth) = find(prism)?;
        Some(Met { tool, solid: name.clone(), what, depth })
    });
    each.max_by(|a, b| a.depth.total_cmp(&b.depth))
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
    let Some((near, far)) = around(solids) else { return 0.0 };
    let axis = (0..3).find(|axis| leg.way[*axis] != 0.0).unwrap_or(2);
    let gap = if leg.way[axis] < 0.0 { high[axis] - near[axis] } else { far[axis] - low[axis] };
    gap.max(0.0) + CLEAR
}
