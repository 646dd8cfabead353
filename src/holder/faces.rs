//! Which face of a part lies up on a machine, and what is worked from it.

use kurbo::{Affine, Rect};

use super::feature::Feature;
use super::part::{Drilling, Part, Pocket};
use crate::style::Face;
use crate::tolerance::COORDINATE;

impl Drilling {
    /// Whether a machine that moves in three axes can bore it with `face` up: one right through from either
    /// face, a leaning one from none.
    pub(crate) fn is_bored_from(&self, face: Face) -> bool {
        self.lean == 0.0 && (self.depth.is_none() || self.face == face)
    }
}

impl Part {
    /// Whether there is work that can be done from `face` alone: marks are none, nor is what goes right through.
    pub(crate) fn has_work_on(&self, face: Face) -> bool {
        let blind = |drilling: &Drilling| drilling.depth.is_some() && drilling.is_bored_from(face);
        let milled = |pocket: &Pocket| pocket.face == face;
        self.drillings.iter().any(blind) || self.pockets.iter().any(milled)
    }

    /// The face that lies up on the machine: the back where all that asks for a face is there.
    pub(crate) fn up(&self) -> Face {
        let back_alone = self.has_work_on(Face::Back) && !self.has_work_on(Face::Show);
        if back_alone { Face::Back } else { Face::Show }
    }

    /// Whether it is turned over for work on its other face.
    pub(crate) fn is_turned_over(&self) -> bool {
        self.has_work_on(Face::Show) && self.has_work_on(Face::Back)
    }

    /// The face that lies against the wall in the finished holder; `None` where neither does.
    pub(crate) fn on_wall(&self) -> Option<Face> {
        let touching = self.places.iter().find(|place| place.bounds().0[2].abs() < COORDINATE)?;
        let out = touching.frame()[2][2];
        let flat = out.abs() > 1.0 - COORDINATE;
        flat.then_some(if out < 0.0 { Face::Show } else { Face::Back })
    }

    /// From the part as its show face is seen to the part as `face` is: the back is mirrored left to right within
    /// the part's bounds.
    pub(crate) fn seen_from(&self, face: Face) -> Affine {
        let bounds = self.region.bounds();
        match face {
            Face::Show => Affine::IDENTITY,
            Face::Back => Affine::new([-1.0, 0.0, 0.0, 1.0, bounds.x0 + bounds.x1, 0.0]),
        }
    }

    /// The tabs that stand out from its edges.
    pub(crate) fn tabs(&self) -> impl Iterator<Item = Rect> {
        self.rows.iter().flat_map(|row| {
            let size = match row.feature {
                Feature::Tab { length, width } => Some((length, width)),
                _ => None,
            };
            row.centers.iter().filter_map(move |at| Some(Rect::from_center_size(*at, size?)))
        })
    }
}
