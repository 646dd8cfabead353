//! The room that the tools of a holder have.

use super::off::{coming_off, legs};
use super::rest::{Lie, cramped, is_kept, lie};
use super::say::Telling;
use super::scene::{ToolScene, around};
use crate::holder::{Finding, Holder, Level};
use crate::motion::{Hanging, OnRow};
use crate::shop::Shop;
use crate::style::Space;

/// What the tools on a holder take, and what is wrong with that.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ToolRoom {
    /// The greatest rise of a tool on its way in or out, in mm.
    pub lift: f64,
    /// The least and the greatest corner of the level block around all of them as they hang, in mm.
    pub bounds: (Space, Space),
    /// The way off of each tool, leg by leg, in mm along x, y and z.
    pub ways: Vec<Vec<Space>>,
    /// Whether some come off only after others.
    pub one_by_one: bool,
    pub findings: Vec<Finding>,
}

impl ToolRoom {
    /// Whether tools can't hang there.
    pub(crate) fn is_stopped(&self) -> bool {
        self.findings.iter().any(|finding| finding.level == Level::Stop)
    }
}

/// The room of its tools; `None` for a holder whose style says nothing of them.
pub(crate) fn tool_room(
    holder: &Holder,
    shop: &Shop,
    hanging: Option<&Hanging>,
) -> Option<ToolRoom> {
    let on = hanging.map_or(OnRow::Any, |hanging| hanging.on);
    let scene = ToolScene::of(holder, shop, on)?;
    let telling = Telling { holder, tools: scene.tools };
    let solids = scene.tools.iter().flat_map(|tool| &tool.body);
    let bounds = around(solids.map(|solid| solid.prism.bounds()))?;
    let cramped = cramped(&scene);
    let ways = (0..scene.tools.len()).map(|tool| legs(&scene, tool).map(|(_, by)| by).collect());
    let mut room = ToolRoom {
        lift: 0.0,
        bounds,
        ways: ways.collect(),
        one_by_one: false,
        findings: Vec::new(),
    };
    room.findings.extend(telling.cramped(&cramped));
    if room.findings.is_empty() {
        let off = coming_off(&scene);
        (room.lift, room.one_by_one) = (off.lift, !off.after_others.is_empty());
        room.findings.extend(telling.stuck(&off.stuck));
        let lies: Vec<Lie> = scene.tools.iter().map(|tool| lie(&scene, tool, 0.0)).collect();
        room.findings.extend(telling.lies(&lies));
        let steady = lies.iter().zip(scene.tools).filter(|(lie, _)| **lie == Lie::Steady);
        let loose = steady.map(|(_, tool)| tool).filter(|tool| !is_kept(&scene, tool));
        room.findings.extend(telling.loose(&loose.collect::<Vec<_>>()));
    }
    Some(room)
}
