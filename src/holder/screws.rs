//! Screws where they ended up, joint by joint.

use kurbo::Vec2;

use super::crossing::Body;
use crate::shop::Screw;
use crate::style::Space;

/// The screws of one joint: all alike.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ScrewJoint {
    /// What they join.
    pub about: String,
    pub screw: Screw,
    /// In mm.
    pub length: f64,
    /// The part their heads are sunk in, by its place in the holder's list.
    pub through: usize,
    pub screws: Vec<Seated>,
}

/// One screw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seated {
    /// Where its head is sunk, flush with the wood, in the holder; in mm.
    pub head: Space,
    /// The way it goes.
    pub ahead: Space,
    /// Which piece of the part it passes through.
    pub piece: usize,
    /// Wood passed before the part it ends in, in mm.
    pub passed: f64,
    /// What it ends in; `None` for the wall.
    pub into: Option<FarPart>,
}

/// The part a screw ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FarPart {
    /// By its place in the holder's list.
    pub part: usize,
    /// The way it goes in the part's own x and y where it enters an edge; `None` through a face.
    pub edge: Option<Vec2>,
    /// How much of its wood lies ahead, in mm.
    pub room: f64,
}

impl ScrewJoint {
    /// The room each screw takes.
    pub(super) fn bodies(&self) -> impl Iterator<Item = Body<'_>> {
        let body = |seated| Body::of(seated, self.screw, self.length, &self.about);
        self.screws.iter().map(body)
    }
}
