//! Pictures of a whole holder: assembled, taken apart, step by step, and straight from its sides.

mod label;
mod plot;
mod steps;
mod views;
mod whole;

use super::letters::in_short;
use crate::holder::{Holder, ScrewJoint};
use crate::shop::SizedScrew;
use crate::solid::WoodSolid;
use crate::style::Space;

pub(super) use plot::{PictureScale, strokes};
pub(crate) use steps::steps;
pub(crate) use views::views;
pub(crate) use whole::{assembled_alone, whole};

/// How far off the wall a piece still lies against it, in mm.
const NEAR: f64 = 1.0;

/// What pictures are drawn from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Pictured<'h> {
    pub holder: &'h Holder,
    /// Its wood, in the order of its parts.
    pub solids: &'h [WoodSolid],
    /// What the cutting plan calls the pieces of each part; none of a part that is in no plan.
    pub letters: &'h [Vec<&'h str>],
}

impl Pictured<'_> {
    /// The pieces in the order in which they are put together, as places in `solids`: as the steps add them, then those
    /// that no step adds.
    fn order(&self) -> Vec<usize> {
        let steps = self.holder.steps.iter().flat_map(|step| &step.adds).copied();
        let rest = (0..self.holder.parts.len())
            .filter(|part| !self.holder.steps.iter().any(|step| step.adds.contains(part)));
        steps.chain(rest).flat_map(|part| self.pieces(part)).collect()
    }

    /// The pieces of a part, as places in `solids`.
    fn pieces(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        let own = move |at: &usize| self.solids[*at].part == part;
        (0..self.solids.len()).filter(own)
    }

    /// Whether a part touches the wall and does not reach to the front.
    fn is_behind(&self, part: usize) -> bool {
        let near =
            |bounds: (Space, Space)| bounds.0[2] < NEAR && bounds.1[2] < self.holder.size[2] / 2.0;
        self.holder.parts[part].places.iter().any(|place| near(place.bounds()))
    }

    /// How many screws of which size.
    fn screws_name(&self, joint: &ScrewJoint, count: usize) -> String {
        let size = SizedScrew { screw: joint.screw, length: joint.length };
        format!("{count} × {size}")
    }

    /// The letters of a part and its name.
    fn name(&self, part: usize) -> String {
        let name = self.holder.parts[part].name.replace('-', " ");
        match self.letters.get(part).map_or(&[][..], Vec::as_slice) {
            [] => name,
            letters => format!("{} {name}", in_short(letters, ", ", "–")),
        }
    }
}
