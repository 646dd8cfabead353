//! Screws in the parts of a holder: through and into their faces, and into their edges.

use kurbo::{Point, Vec2};

use super::close::{CloseScrew, CloseTo, LookedAt};
use crate::holder::{Grain, Holder, Part, Placement, ScrewJoint, Seated, StockKind};
use crate::kernel::vector::dot;
use crate::shop::{ForceRun, find_wood};
use crate::style::Space;
use crate::tolerance::COORDINATE;

/// Two ways closer than this (the cosine between them) are one.
const ALIKE: f64 = 0.99;

/// Above this (a cosine) a way is counted as along another.
const MOSTLY: f64 = 0.7;

/// One piece of a part.
struct Piece<'a> {
    part: &'a Part,
    index: usize,
    number: usize,
    place: &'a Placement,
    /// The way its fibers run on it; `None` in a panel, and where either way will do.
    fibers: Option<Vec2>,
}

/// A screw in a piece.
#[derive(Clone, Copy)]
struct Driven<'a> {
    joint: &'a ScrewJoint,
    /// In x and y of the part: where it passes the face, or half way down in an edge.
    at: Point,
    into: Into,
}

#[derive(Clone, Copy)]
enum Into {
    Face,
    /// An edge, in this direction of the part's x and y, so far from its nearer face in mm.
    Edge(Vec2, f64),
}

/// All of a part's screws that stand too near to something, `mark` mm being what a tape tells apart.
pub(super) fn in_part(holder: &Holder, index: usize, mark: f64) -> Vec<CloseScrew> {
    let part = &holder.parts[index];
    if part.stock.kind == StockKind::Dowel {
        return Vec::new();
    }
    let fibers = fibers(part);
    let pieces = part.places.iter().enumerate();
    let each = pieces.map(|(number, place)| Piece { part, index, number, place, fibers });
    each.flat_map(|piece| piece.close(&piece.driven(holder), mark)).collect()
}

fn fibers(part: &Part) -> Option<Vec2> {
    let panel = find_wood(&part.stock.wood).wood.kind.is_panel();
    match part.grain {
        Grain::Length if !panel => Some(Vec2::new(1.0, 0.0)),
        Grain::Width if !panel => Some(Vec2::new(0.0, 1.0)),
        _ => None,
    }
}

impl<'a> Piece<'a> {
    /// The screws that go square through or into its faces, or into its edges.
    fn driven(&self, holder: &'a Holder) -> Vec<Driven<'a>> {
        let joints = holder.screws.iter();
        let screws = joints.flat_map(|joint| joint.screws.iter().map(move |s| (joint, s)));
        screws.filter_map(|(joint, s)| self.met(joint, s)).collect()
    }

    fn met(&self, joint: &'a ScrewJoint, screw: &Seated) -> Option<Driven<'a>> {
        let [_, _, out] = self.place.frame();
        let steep = dot(out, screw.ahead).abs();
        let ends = screw.into.filter(|into| into.part == self.index);
        let driven = |at, into| Some(Driven { joint, at, into });
        match ends.map(|into| into.edge) {
            Some(Some(way)) if steep < 1.0 - ALIKE => {
                let half = (joint.length - screw.passed) / 2.0;
                let (at, depth) = self.at(screw, screw.passed + half)?;
                let face = depth.min(self.place.size[2] - depth);
                driven(at, Into::Edge(way / way.hypot(), face))
            }
            Some(None) if steep > ALIKE => {
                driven(self.at(screw, screw.passed + COORDINATE)?.0, Into::Face)
            }
            None if steep > ALIKE => driven(self.passed(joint, screw)?, Into::Face),
            _ => None,
        }
    }

    /// Where a screw passes right through this piece.
    fn passed(&self, joint: &ScrewJoint, screw: &Seated) -> Option<Point> {
        if joint.through == self.index && screw.piece == self.number {
            return Some(self.place.to_piece(screw.head).0);
        }
        // Into the wall it may pass others.
        let (_, depth) = self.place.to_piece(screw.head);
        let inner = depth.abs().min((depth - self.place.size[2]).abs()) + self.place.size[2] / 2.0;
        let passes = screw.into.is_none() && inner < screw.passed;
        passes.then(|| self.at(screw, inner))?.map(|(at, _)| at)
    }

    /// The place in this piece's wood that a screw has `deep` mm behind its head, and how far below the show face.
    fn at(&self, screw: &Seated, deep: f64) -> Option<(Point, f64)> {
        let there: Space = std::array::from_fn(|i| screw.head[i] + screw.ahead[i] * deep);
        let (at, depth) = self.place.to_piece(there);
        let within = (0.0..=self.place.size[2]).contains(&depth);
        (within && self.part.region.room_at(at) >= -COORDINATE).then_some((at, depth))
    }

    fn close(&self, screws: &[Driven<'_>], mark: f64) -> Vec<CloseScrew> {
        let mut found = Vec::new();
        for (index, driven) in screws.iter().enumerate() {
            let beside = screws[index + 1..].iter().filter_map(|other| self.apart(driven, other));
            let near = self.room(driven).into_iter().chain(beside);
            found.extend(near.filter_map(|(to, is, run)| {
                let (part, joint, splits) = (&self.part.name, driven.joint, self.fibers.is_some());
                LookedAt { part, joint, splits, run }.near(to, is, mark)
            }));
        }
        found
    }

    /// How much wood there is from a screw to ends, edges and faces, and how the force runs to the grain there.
    fn room(&self, driven: &Driven<'_>) -> Vec<(CloseTo, f64, ForceRun)> {
        let wood = |way| self.wood(driven.at, way);
        match (driven.into, self.fibers) {
            (Into::Face, Some(fibers)) => {
                let run = self.run(fibers);
                vec![
                    (CloseTo::End, wood(fibers), run),
                    (CloseTo::Edge, wood(fibers.turn_90()), run),
                ]
            }
            (Into::Face, None) => {
                let room = self.part.region.room_at(driven.at);
                vec![(CloseTo::Edge, room, ForceRun::Along)]
            }
            (Into::Edge(way, face), fibers) => {
                let aside = way.turn_90();
                let ends = fibers.is_some_and(|fibers| fibers.dot(aside).abs() > MOSTLY);
                let to = if ends { CloseTo::End } else { CloseTo::Edge };
                let run = self.run_to_faces();
                vec![(CloseTo::Face, face, run), (to, wood(aside), ForceRun::Along)]
            }
        }
    }

    /// The wood either way of a place, the less of both in mm.
    fn wood(&self, at: Point, way: Vec2) -> f64 {
        let ahead = |way| self.part.region.wood_ahead(at, way);
        ahead(way).min(ahead(-way))
    }

    /// How the weight that screws carry, straight down, runs to the fibers.
    fn run(&self, fibers: Vec2) -> ForceRun {
        let [u, v, out] = self.place.frame();
        let down = fibers.x * u[1] + fibers.y * v[1];
        match (down.abs() > MOSTLY, out[1].abs() > MOSTLY) {
            (true, _) => ForceRun::Along,
            (_, true) => ForceRun::Either,
            _ => ForceRun::Across,
        }
    }

    /// How it runs where screws go into an edge: across the grain where it pushes them toward the faces.
    fn run_to_faces(&self) -> ForceRun {
        let [_, _, out] = self.place.frame();
        if out[1].abs() > MOSTLY { ForceRun::Across } else { ForceRun::Along }
    }

    /// How far apart two screws in faces of solid wood stand: along the grain where they are of nearly one line of
    /// fibers, across it where they stand side by side.
    fn apart(&self, one: &Driven<'_>, other: &Driven<'_>) -> Option<(CloseTo, f64, ForceRun)> {
        let fibers = self.fibers?;
        let (Into::Face, Into::Face) = (one.into, other.into) else { return None };
        let run = self.run(fibers);
        let off = one.at - other.at;
        let (along, across) = (off.dot(fibers).abs(), off.cross(fibers).abs());
        let one_line = across < one.joint.screw.distances(run).across - COORDINATE;
        let near = if along > across { (CloseTo::Next, along) } else { (CloseTo::Beside, across) };
        one_line.then_some((near.0, near.1, run))
    }
}
