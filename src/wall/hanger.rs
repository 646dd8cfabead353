//! A holder as the planner of the wall sees it.

use kurbo::{Point, Rect};

use super::hands::{Grasp, HandsOn};
use crate::carry::{Assessment, WallDemand, hangs_over_a_stud};
use crate::holder::Holder;
use crate::motion::{AmongRows, Hanging};
use crate::shop::Shop;
use crate::tolerance::COORDINATE;
use crate::tool::ToolRoom;

/// A holder that wants a place, with all that the place depends on. Boxes and heights are from its own origin: its left
/// end and its foot, in mm.
#[derive(Debug, Clone)]
pub(crate) struct Hanger {
    pub name: String,
    pub mount: Mount,
    /// Round its wood, and round wood and tools.
    pub wood: Rect,
    pub taken: Rect,
    /// What stays free above it.
    pub lift: f64,
    /// From where to where up what hangs in it lies so near the wall that a wall cleat would be in its way.
    pub behind: Vec<[f64; 2]>,
    /// Whether the wall cleat bears it over a stud alone.
    pub over_stud: bool,
    /// What it brings to the studs; `None` where its own screws hold it.
    pub demand: Option<WallDemand>,
    /// Where hands take its tools.
    pub grasps: Vec<Grasp>,
    /// Tools and wood, in kg.
    pub mass: f64,
}

/// How a holder hangs.
#[derive(Debug, Clone)]
pub(crate) enum Mount {
    /// On a wall cleat: the height of the top edge of that, and where the holder cleat begins and ends.
    Cleat { top: f64, from: f64, to: f64, among: Box<AmongRows> },
    /// Screwed to the studs: how far from its left end each of these is.
    Studs(Vec<f64>),
}

/// What is worked out of a holder that is to hang.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ToHang<'h> {
    pub holder: &'h Holder,
    pub carried: Option<&'h Assessment>,
    pub hanging: Option<&'h Hanging>,
    pub room: Option<&'h ToolRoom>,
    pub two_handed: bool,
}

impl Hanger {
    /// `None` for one that can't be made, makes the wall cleats, or hangs neither on a cleat nor on studs.
    pub(crate) fn of(hung: ToHang<'_>, shop: &Shop) -> Option<Self> {
        let ToHang { holder, carried, hanging, room, two_handed } = hung;
        if holder.parts.is_empty() || !holder.wall_cleats.is_empty() {
            return None;
        }
        let wood = front(holder)?;
        let tools = room.map(|ToolRoom { bounds: (low, high), .. }| {
            Rect::new(low[0], low[1], high[0], high[1])
        });
        let hook_lift =
            hanging.and_then(|hanging| hanging.hooking.way()).map_or(0.0, |way| way.lift);
        let tool_lift = room.map_or(0.0, |room| room.lift);
        let weighs = holder.weights.iter().map(|weight| weight.mass).sum::<f64>();
        Some(Self {
            name: holder.name.clone(),
            mount: mount(holder, shop)?,
            taken: tools.map_or(wood, |tools| tools.union(wood)),
            wood,
            lift: hook_lift.max(tool_lift),
            behind: behind(holder, shop.cleat.thickness),
            over_stud: carried.is_some_and(|carried| hangs_over_a_stud(&carried.checks)),
            demand: WallDemand::of(holder, shop).filter(|_| shop.wall.masonry.is_none()),
            grasps: Grasp::all(
                holder,
                if two_handed { HandsOn::Both } else { HandsOn::One },
                tool_lift,
            ),
            mass: holder.mass + weighs,
        })
    }

    /// The middle of its holder cleat from its left end; of what is screwed on the middle of its wood.
    pub(crate) fn middle(&self) -> f64 {
        match &self.mount {
            Mount::Cleat { from, to, .. } => (from + to) / 2.0,
            Mount::Studs(_) => self.wood.center().x,
        }
    }

    /// Whether a wall cleat so high would be behind its tools, where these lie too near the wall.
    pub(super) fn is_behind(&self, [low, high]: [f64; 2]) -> bool {
        let mut near = self.behind.iter();
        near.any(|[from, to]| *from < high - COORDINATE && low + COORDINATE < *to)
    }

    /// How much of a wall cleat it takes at least, in mm.
    pub(super) fn cleat_needed(&self) -> f64 {
        match &self.mount {
            Mount::Cleat { from, to, .. } => to - from,
            Mount::Studs(_) => 0.0,
        }
    }

    /// Where its origin is when it hangs on a row of this height with the left end of all at `left`.
    pub(super) fn origin_on(&self, height: f64, left: f64) -> Point {
        let top = match &self.mount {
            Mount::Cleat { top, .. } => *top,
            Mount::Studs(_) => 0.0,
        };
        Point::new(left - self.taken.x0, height - top)
    }
}

/// From where to where up its tools lie nearer to the wall than a wall cleat is thick.
fn behind(holder: &Holder, thickness: f64) -> Vec<[f64; 2]> {
    let solids = holder.tools.iter().flat_map(|tool| &tool.body);
    let bounds = solids.map(|solid| solid.prism.bounds());
    let near = bounds.filter(|(low, _)| low[2] < thickness - COORDINATE);
    near.map(|(low, high)| [low[1], high[1]]).collect()
}

/// The box round all wood, seen from the front.
fn front(holder: &Holder) -> Option<Rect> {
    let pieces = holder.parts.iter().flat_map(|part| &part.places);
    let boxes = pieces.map(|piece| {
        let (low, high) = piece.bounds();
        Rect::new(low[0], low[1], high[0], high[1])
    });
    boxes.reduce(|a, b| a.union(b))
}

fn mount(holder: &Holder, shop: &Shop) -> Option<Mount> {
    if let Some(cleat) = holder.hook_cleat() {
        let (low, high) = cleat.places.first()?.bounds();
        let among = Box::new(AmongRows::of(holder, shop)?);
        return Some(Mount::Cleat { top: among.top(), from: low[0], to: high[0], among });
    }
    let studs = studs(holder, shop.wall.stud_width);
    (!studs.is_empty()).then_some(Mount::Studs(studs))
}

/// Where its screws meet studs, from its left end: those of one stud taken together.
fn studs(holder: &Holder, stud_width: f64) -> Vec<f64> {
    let screws = holder.screws.iter().flat_map(|joint| &joint.screws);
    let mut at: Vec<f64> = screws.filter(|s| s.into.is_none()).map(|screw| screw.head[0]).collect();
    at.sort_by(f64::total_cmp);
    let mut studs: Vec<[f64; 2]> = Vec::new();
    for x in at {
        match studs.last_mut() {
            Some([from, to]) if x - *from <= stud_width + COORDINATE => *to = x,
            _ => studs.push([x, x]),
        }
    }
    studs.into_iter().map(|[from, to]| (from + to) / 2.0).collect()
}
