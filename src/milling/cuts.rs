//! The cuts of one piece.

use kurbo::{Affine, Rect};

use super::begin;
use super::bridge;
use super::effort::leaves_no_slug;
use super::job::{JobBit, MillCut, MillPath, MillWork};
use super::layer::JobLayer;
use crate::holder::{Drilling, Face, Part, Pocket, Purpose};
use crate::kernel::{BitSide, Contour};
use crate::shop::{CutDirection, RouterBits, RouterRun, RouterSheets};

/// What pieces are cut with.
#[derive(Debug, Clone, Copy)]
pub(super) struct MillBench {
    pub bits: Option<RouterBits>,
    pub run: RouterRun,
    /// Of the wood that lies there, in mm.
    pub thickness: f64,
    /// What holds parts in their sheet; `None` for a part by itself.
    pub hold: Option<RouterSheets>,
}

impl MillBench {
    /// All that is done with `up` up: what that face asks for, and what goes right through. `map` brings the part
    /// to where it lies, seen from that face.
    pub(super) fn front(
        &self,
        part: &Part,
        up: Face,
        map: Affine,
        piece: usize,
        inner: usize,
    ) -> Vec<MillCut> {
        let bored = part.drillings.iter().filter(|drilling| drilling.is_bored_from(up));
        let mut cuts: Vec<MillCut> =
            bored.map(|drilling| self.hole(drilling, map, piece)).collect();
        cuts.extend(self.pockets(part, up, map, piece));
        let region = part.region.transformed(map);
        let openings = region.openings().iter();
        cuts.extend(openings.map(|opening| self.opening(opening, piece, inner)));
        let tabs: Vec<Rect> = part.tabs().map(|tab| map.transform_rect_bbox(tab)).collect();
        cuts.push(self.outline(region.outline(), &tabs, piece, inner));
        cuts
    }

    /// What is done with `up` up and does not go right through.
    pub(super) fn blind(&self, part: &Part, up: Face, map: Affine, piece: usize) -> Vec<MillCut> {
        let blind = part.drillings.iter().filter(|d| d.depth.is_some() && d.is_bored_from(up));
        let holes = blind.map(|drilling| self.hole(drilling, map, piece));
        holes.chain(self.pockets(part, up, map, piece)).collect()
    }

    /// A hole; one wider than a bit is for the widest that goes round in it.
    fn hole(&self, drilling: &Drilling, map: Affine, piece: usize) -> MillCut {
        let diameter = drilling.diameter;
        let work = match drilling.purpose {
            Purpose::Countersink => MillWork::Sink { diameter },
            _ => MillWork::Drill { diameter },
        };
        let path = MillPath::Circle { center: map * drilling.at, radius: diameter / 2.0 };
        MillCut {
            work,
            bit: if self.diameter(JobBit::Usual) < diameter {
                JobBit::Usual
            } else {
                JobBit::Joint
            },
            depth: drilling.depth,
            path,
            piece,
            bridges: Vec::new(),
            clears: false,
        }
    }

    fn pockets<'a>(
        &'a self,
        part: &'a Part,
        up: Face,
        map: Affine,
        piece: usize,
    ) -> impl Iterator<Item = MillCut> + 'a {
        part.pockets.iter().filter(move |pocket| pocket.face == up).map(move |pocket: &Pocket| {
            // What is cut lies inside: its wall is wood all round, as an opening's.
            let contour = pocket.contour.transformed(map).clockwise();
            MillCut {
                work: MillWork::Pocket,
                bit: self.bit_in(&contour),
                depth: Some(pocket.depth),
                path: self.round(begin::opening(&contour)),
                piece,
                bridges: Vec::new(),
                clears: true,
            }
        })
    }

    fn opening(&self, contour: &Contour, piece: usize, inner: usize) -> MillCut {
        let bit = self.bit_for(contour);
        let clears = leaves_no_slug(contour, self.diameter(bit));
        let held = self.hold.filter(|_| !clears);
        let bridges = held.map(|rules| bridge::within(contour, &rules, self.diameter(bit)));
        MillCut {
            work: MillWork::Opening { inner },
            bit,
            depth: held.and_then(|rules| rules.down_to_skin(self.thickness)),
            path: self.round(begin::opening(contour)),
            piece,
            bridges: bridges.unwrap_or_default(),
            clears,
        }
    }

    fn outline(&self, contour: &Contour, tabs: &[Rect], piece: usize, inner: usize) -> MillCut {
        let bit = self.bit_for(contour);
        let around = |rules| bridge::around(contour, tabs, &rules, self.diameter(bit));
        MillCut {
            work: MillWork::Outline { inner },
            bit,
            depth: self.hold.and_then(|rules| rules.down_to_skin(self.thickness)),
            path: self.round(begin::outline(contour, tabs)),
            piece,
            bridges: self.hold.map(around).unwrap_or_default(),
            clears: false,
        }
    }

    /// The way round a contour that has its wood on the left: that is conventional, the other way is climbing.
    fn round(&self, contour: Contour) -> MillPath {
        MillPath::Closed(match self.run.direction {
            CutDirection::Conventional => contour,
            CutDirection::Climb => contour.reversed(),
        })
    }

    /// The widest bit that goes into all inside corners of a contour.
    fn bit_for(&self, contour: &Contour) -> JobBit {
        match self.bits {
            Some(bits) if bits.for_contour(contour) < bits.outline => JobBit::Joint,
            _ => JobBit::Usual,
        }
    }

    /// The widest bit that goes along the walls of a pocket, whose corners it may leave round.
    fn bit_in(&self, pocket: &Contour) -> JobBit {
        let goes = |bits: RouterBits| pocket.path_of_bit(bits.outline, BitSide::Inside).is_ok();
        if self.bits.is_none_or(goes) { JobBit::Usual } else { JobBit::Joint }
    }

    fn diameter(&self, bit: JobBit) -> f64 {
        self.bits.map_or(0.0, |bits| bit.diameter(bits))
    }
}

impl JobBit {
    /// In mm.
    pub(crate) fn diameter(self, bits: RouterBits) -> f64 {
        match self {
            Self::Usual => bits.outline,
            Self::Joint => bits.joint,
        }
    }
}

/// Cuts in the order they are done: layer by layer, on each piece by piece.
pub(super) fn by_layer(mut cuts: Vec<MillCut>, bits: Option<RouterBits>) -> Vec<MillCut> {
    cuts.sort_by_key(|cut| JobLayer::of(cut, bits));
    cuts
}
