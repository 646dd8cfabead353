//! A holder on its wall cleat, seen from the side.

use kurbo::Point;

use super::hooking::CLEARANCE;
use super::scene::HungView;
use crate::holder::{Edge, Face, Holder, Model, Part, Placement};
use crate::shop::Shop;
use crate::style::Space;

/// How far a chord may stand off the arc that it stands in for, in mm.
const CHORD: f64 = 0.05;

/// A holder that hangs on a cleat, from the side.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SideView {
    /// What comes off with it.
    pub moving: Vec<SidePart>,
    pub cleat: CleatSection,
    /// Upper edge of the holder cleat, in mm.
    pub top: f64,
}

/// A part from the side: the part's place in the holder's list, and its outline there. `x` is mm out from the wall,
/// `y` mm up.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SidePart {
    pub part: usize,
    pub outline: Vec<Point>,
}

/// The wall cleat that the holder hangs on, from the side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CleatSection {
    /// Its lower edge, in mm above the holder's foot.
    pub foot: f64,
    /// In mm, from its lower edge to the sharp edge of its bevel.
    pub width: f64,
    pub thickness: f64,
    /// How much lower the bevel is at the wall, in mm: thickness × tan(bevel).
    pub rise: f64,
}

impl CleatSection {
    /// Its outline with its lower edge at `foot`, counter-clockwise: wide face to the room, bevel up, falling toward
    /// the wall.
    pub(crate) fn outline(&self, foot: f64) -> Vec<Point> {
        let top = foot + self.width;
        [[0.0, foot], [self.thickness, foot], [self.thickness, top], [0.0, top - self.rise]]
            .map(|[x, y]| Point::new(x, y))
            .to_vec()
    }
}

impl SideView {
    /// A holder that is hooked on the shop's wall cleat; `None` for one that hangs otherwise.
    ///
    /// A keeper strip is left out, for it comes in once the holder hangs; so are openings, which nothing fixed can
    /// come into from the front.
    pub(crate) fn of(holder: &Holder, shop: &Shop) -> Option<Self> {
        let (cleat, kept_by) = holder.carriers.iter().find_map(|carrier| match carrier.model {
            Model::Hook { cleat, kept_by, .. } => Some((&holder.parts[cleat], kept_by)),
            _ => None,
        })?;
        let (low, high) = cleat.places.first()?.bounds();
        let (width, rise) = (shop.cleat.width, shop.cleat.rise());
        let foot = low[1] + rise - width;
        let cleat = CleatSection { foot, width, thickness: shop.cleat.thickness, rise };
        let kept = kept_by.into_iter().flat_map(|joint| &holder.screws[joint].screws);
        let left_out = kept.filter_map(|screw| screw.into).map(|into| into.part).next();
        let parts = holder.parts.iter().enumerate().filter(|(part, _)| Some(*part) != left_out);
        let moving = parts.flat_map(|(at, part)| {
            let places = part.places.iter();
            places.map(move |place| SidePart { part: at, outline: silhouette(part, place) })
        });
        Some(Self { moving: moving.collect(), cleat, top: high[1] })
    }

    /// What moves, and the wall cleats that stand fast: its own, and one at each of these heights above that.
    pub(super) fn hung(&self, others: &[f64]) -> HungView {
        let heights = [0.0].into_iter().chain(others.iter().copied());
        HungView {
            moving: self.moving.iter().map(|part| part.outline.clone()).collect(),
            fixed: heights.map(|up| self.cleat.outline(self.cleat.foot + up)).collect(),
            clearance: CLEARANCE,
        }
    }
}

/// The outline of a piece from the side, as it stands: of one on edge to the wall its own, of any other its section.
fn silhouette(part: &Part, place: &Placement) -> Vec<Point> {
    let from_side = |[_, up, out]: Space| Point::new(out, up);
    if place.frame()[2][0].abs() > 0.5 {
        let outline = part.region.outline().flatten(CHORD);
        let outline = outline.into_iter().map(|at| from_side(place.to_space(at, 0.0))).collect();
        return if part.is_round() { flush(outline, place.at[2]) } else { outline };
    }
    let corner = |(y, depth): (f64, f64)| from_side(place.to_space(Point::new(0.0, y), depth));
    section(part).map(corner).to_vec()
}

/// A rod without what stands out behind `rear` where it leans: it is glued in flush.
fn flush(mut outline: Vec<Point>, rear: f64) -> Vec<Point> {
    outline.iter_mut().for_each(|at| at.x = at.x.max(rear));
    outline
}

/// A part across its length: how far up its width and how deep below its show face each corner is, in mm.
fn section(part: &Part) -> [(f64, f64); 4] {
    let (bounds, thickness) = (part.region.bounds(), part.stock.thickness);
    let mut ends = [[bounds.y0, bounds.y1]; 2];
    if let Some(bevel) = part.bevel {
        let narrow = if bevel.full_face == Face::Show { 1 } else { 0 };
        let lost = thickness * bevel.angle.to_radians().tan();
        match bevel.edge {
            Edge::Top => ends[narrow][1] -= lost,
            Edge::Bottom | Edge::Left | Edge::Right => ends[narrow][0] += lost,
        }
    }
    let [[show_low, show_high], [back_low, back_high]] = ends;
    [(show_low, 0.0), (back_low, thickness), (back_high, thickness), (show_high, 0.0)]
}
