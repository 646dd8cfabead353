//! A screw too near an edge, an end or another screw: how near it is, how near it may be, and what serves.

use crate::holder::ScrewJoint;
use crate::shop::{ForceRun, Screw};
use crate::tolerance::COORDINATE;

/// A screw that stands nearer to something than is advised in bored holes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CloseScrew {
    /// The part that may split or break out, or a stud.
    pub part: String,
    /// Parts in which others of its kind stand so as well.
    pub also: Vec<String>,
    /// What the screw joins.
    pub joint: String,
    pub screw: Screw,
    pub to: CloseTo,
    /// How near it is, in mm.
    pub is: f64,
    /// How near it may be by what is advised, in mm.
    pub wants: f64,
    /// Whether it is nearer than any fastener may be.
    pub grave: bool,
    /// Whether the wood splits along its fibers.
    pub splits: bool,
    /// Where it is: the next thinner screw that is not.
    pub instead: Option<Screw>,
}

/// What a screw is near to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CloseTo {
    /// Along the grain.
    End,
    /// Across the grain; of a panel any edge.
    Edge,
    /// The nearer face of what it goes into the edge of.
    Face,
    /// In a row along the grain.
    Next,
    /// Across the grain.
    Beside,
    /// Across a stud.
    StudEdge,
    /// The other one in a stud.
    InStud,
}

/// Where a screw is looked at.
#[derive(Clone, Copy)]
pub(super) struct LookedAt<'a> {
    pub part: &'a str,
    pub joint: &'a ScrewJoint,
    pub splits: bool,
    /// How the force on it runs to the grain.
    pub run: ForceRun,
}

impl LookedAt<'_> {
    /// What is to be said of a screw `is` mm from something; nothing where it lacks no more than a mark of the tape, by
    /// which no one would set it farther.
    pub(super) fn near(self, to: CloseTo, is: f64, mark: f64) -> Option<CloseScrew> {
        let Self { part, joint, splits, .. } = self;
        let screw = joint.screw;
        let too_near = |screw: &Screw| is < least(to, *screw) - COORDINATE;
        let (grave, wants) = (too_near(&screw), self.advised(to));
        let mut thinner = std::iter::successors(screw.thinner(), |screw| screw.thinner());
        let instead = thinner.find(|screw| !too_near(screw)).filter(|_| grave);
        (grave || is < wants - mark - COORDINATE).then(|| CloseScrew {
            part: part.to_owned(),
            also: Vec::new(),
            joint: joint.about.clone(),
            screw,
            to,
            is,
            wants,
            grave,
            splits,
            instead,
        })
    }

    /// How near it may be by what is advised, in mm.
    fn advised(self, to: CloseTo) -> f64 {
        let screw = self.joint.screw;
        let advised = screw.distances(self.run);
        match to {
            CloseTo::Edge | CloseTo::Face if !self.splits => screw.panel_edge(),
            CloseTo::Edge | CloseTo::Face | CloseTo::StudEdge => advised.edge,
            CloseTo::End => advised.end[1],
            CloseTo::Next => advised.along,
            CloseTo::Beside | CloseTo::InStud => advised.across,
        }
    }
}

/// Nearer than this no screw may be, in mm.
fn least(to: CloseTo, screw: Screw) -> f64 {
    if to == CloseTo::End { screw.least_end() } else { screw.least_edge() }
}
