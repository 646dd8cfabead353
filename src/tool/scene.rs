//! All that stands around the tools of a holder.

use kurbo::Point;

use super::UNFELT;
use super::wood::{WoodPiece, apart};
use crate::holder::{Holder, HungTool, Solid};
use crate::kernel::convex::hull;
use crate::kernel::prism::Prism;
use crate::motion::{OnRow, cleats_between};
use crate::shop::Shop;
use crate::style::Space;

/// Something in a tool's way.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Met {
    /// Which tool of the scene.
    pub tool: usize,
    /// Which of its solids, by its name.
    pub solid: String,
    pub what: Obstacle,
    /// How deep they share one space, in mm.
    pub depth: f64,
}

/// What may be in the way of a tool.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Obstacle {
    Wall,
    /// The wall cleat that the holder hangs on.
    OwnCleat,
    /// That of a row above or below.
    OtherCleat,
    /// A part, by its place in the holder's list.
    Part(usize),
    /// Another tool, by its place in the scene.
    Tool(usize),
}

/// A holder with its tools on the wall.
pub(super) struct ToolScene<'s> {
    pub tools: &'s [HungTool],
    wood: Vec<WoodPiece>,
    cleats: Vec<Prism>,
    /// The level block around holder and tools.
    pub bounds: (Space, Space),
}

impl<'s> ToolScene<'s> {
    /// `None` for a holder whose style says nothing of its tools.
    pub(super) fn of(holder: &'s Holder, shop: &Shop, on: OnRow) -> Option<Self> {
        let pieces = holder.parts.iter().enumerate().flat_map(|(at, part)| {
            part.places.iter().map(move |place| WoodPiece::of(at, part, place))
        });
        let wood: Vec<WoodPiece> = pieces.collect();
        let solids = holder.tools.iter().flat_map(|tool| &tool.body);
        let tools = around(solids.map(|solid| solid.prism.bounds()))?;
        let bounds = around(wood.iter().map(WoodPiece::bounds).chain([tools]))?;
        let (low, high) = bounds;
        // As far as any tool goes on its way, and by anything that comes by it.
        let far = |axis: usize| high[axis] - low[axis] + SPARE;
        let long = [low[0] - far(0), high[0] + far(0)];
        let cleats = cleats_between(holder, shop, on, [low[1] - far(1), high[1] + far(1)]);
        let cleats = cleats.iter().map(|outline| Prism::along_x(up_and_out(outline), long));
        Some(Self { tools: &holder.tools, wood, cleats: cleats.collect(), bounds })
    }

    /// What stands fast and shares most with the solid.
    pub(super) fn fixed(&self, prism: &Prism) -> Option<(Obstacle, f64)> {
        let wall = (Obstacle::Wall, -prism.bounds().0[2]);
        let wood = self.wood.iter().map(|piece| (Obstacle::Part(piece.part), piece.shared(prism)));
        let cleats = self.cleats.iter().enumerate().map(|(at, cleat)| {
            let which = if at == 0 { Obstacle::OwnCleat } else { Obstacle::OtherCleat };
            (which, cleat.shared(prism))
        });
        deepest([wall].into_iter().chain(wood).chain(cleats))
    }

    /// Where the solid meets wood: a level block for each piece.
    pub(super) fn under(&self, prism: &Prism) -> Vec<(Space, Space)> {
        self.wood.iter().filter_map(|piece| piece.meeting(prism)).collect()
    }

    /// Which of the `others` shares most with the solid, as they hang.
    pub(super) fn tool(&self, prism: &Prism, others: &[usize]) -> Option<(Obstacle, f64)> {
        let bounds = prism.bounds();
        let near = others.iter().flat_map(|other| {
            let solids = self.tools[*other].body.iter();
            solids.map(move |solid: &Solid| (Obstacle::Tool(*other), &solid.prism))
        });
        let near = near.filter(|(_, other)| !apart(bounds, other.bounds()));
        deepest(near.map(|(which, other)| (which, prism.shared(other))))
    }
}

/// What is looked at beyond the farthest way of a tool, in mm.
const SPARE: f64 = 100.0;

fn deepest(met: impl Iterator<Item = (Obstacle, f64)>) -> Option<(Obstacle, f64)> {
    met.filter(|(_, depth)| *depth > UNFELT).max_by(|a, b| a.1.total_cmp(&b.1))
}

/// An outline from the side, `x` out from the wall and `y` up, as the base of a prism along x.
fn up_and_out(outline: &[Point]) -> Vec<Point> {
    hull(&outline.iter().map(|at| Point::new(at.y, at.x)).collect::<Vec<_>>())
}

/// The level block around some.
pub(super) fn around(blocks: impl IntoIterator<Item = (Space, Space)>) -> Option<(Space, Space)> {
    blocks.into_iter().reduce(|(low, high), (near, far)| {
        let least = std::array::from_fn(|i| f64::min(low[i], near[i]));
        (least, std::array::from_fn(|i| f64::max(high[i], far[i])))
    })
}
