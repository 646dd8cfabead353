//! Tools as they hang: what they share with what is around them, what they lie on, what keeps them there.

use super::scene::{Met, Obstacle, ToolScene, around};
use crate::holder::HungTool;
use crate::length::MM_PER_INCH;
use crate::style::Space;

/// So far a tool is let down, in mm, to see what it comes to lie on.
const LET_DOWN: f64 = 1.0;

/// How far a bump shoves a tool, in mm. Common practice, no source.
pub(super) const BUMP: f64 = MM_PER_INCH;

/// How a tool lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lie {
    /// On wood on all sides of where its weight acts, or held otherwise.
    Steady,
    /// On nothing.
    Nothing,
    /// On wood to one side of where its weight acts alone.
    Aside,
}

/// What shares space with something else as the tools hang: of each tool the deepest, each pair once.
pub(super) fn cramped(scene: &ToolScene<'_>) -> Vec<Met> {
    let each = (0..scene.tools.len()).filter_map(|tool| {
        let later: Vec<usize> = (tool + 1..scene.tools.len()).collect();
        let solids = scene.tools[tool].body.iter().filter_map(|solid| {
            let found = scene.fixed(&solid.prism);
            let (what, depth) = found.or_else(|| scene.tool(&solid.prism, &later))?;
            Some(Met { tool, solid: solid.name.clone(), what, depth })
        });
        solids.max_by(|a, b| a.depth.total_cmp(&b.depth))
    });
    each.collect()
}

/// How a tool lies, shoved `out` mm from the wall: let down a little it would meet what it lies on, on both sides of
/// where its weight acts, from left to right and out from the wall.
pub(super) fn lie(scene: &ToolScene<'_>, tool: &HungTool, out: f64) -> Lie {
    if tool.grips {
        return Lie::Steady;
    }
    let lower = [0.0, -LET_DOWN, out];
    let under = tool.body.iter().flat_map(|solid| scene.under(&solid.prism.moved(lower)));
    let Some((low, high)) = around(under) else { return Lie::Nothing };
    let at: Space = std::array::from_fn(|axis| tool.at[axis] + lower[axis]);
    let held = |axis: usize| low[axis] < at[axis] && at[axis] < high[axis];
    if held(0) && held(2) { Lie::Steady } else { Lie::Aside }
}

/// Whether it stays when it is bumped by [`BUMP`] away from the wall: wood is in its way, or it still lies as well.
pub(super) fn is_kept(scene: &ToolScene<'_>, tool: &HungTool) -> bool {
    let swept = tool.body.iter().map(|solid| solid.prism.swept([0.0, 0.0, BUMP]));
    let mut met = swept.filter_map(|prism| scene.fixed(&prism));
    lie(scene, tool, BUMP) == Lie::Steady || met.any(|(what, _)| matches!(what, Obstacle::Part(_)))
}
