//! Where hands take tools from the wall, and how easy that is.

use super::lifting::Lift;
use super::person::Person;
use crate::holder::{Holder, HungTool};
use crate::style::Space;

/// The heights above the floor that people who sit reach to and down to, in mm: 2010 ADA Standards 308.2.1 and 308.3.1,
/// 48 in and 15 in.
pub(crate) const SITTING_REACH: [f64; 2] = [380.0, 1220.0];

/// What one hand lifts of what both may: EN 1005-2, multiplier for one-handed work; from memory.
const ONE_HAND: f64 = 0.6;

/// What both hands may lift near the body, in kg, by where they are: the guideline weights for women of the manual
/// handling guidance of the British Health and Safety Executive (INDG143, lifting filter); from memory.
const ABOVE_SHOULDER: f64 = 7.0;
const TO_SHOULDER: f64 = 13.0;
const TO_ELBOW: f64 = 16.0;
const TO_KNUCKLE: f64 = 13.0;

/// How many hands a tool is taken with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum HandsOn {
    One,
    Both,
    /// One that takes small things out of it.
    Into,
}

/// Where a tool is taken, from the holder's foot, in mm, and how heavy it is, in kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grasp {
    pub height: f64,
    /// How far it is lifted on its way off.
    pub lift: f64,
    /// From its back to its front.
    pub depth: f64,
    pub mass: f64,
    pub hands: HandsOn,
}

impl Grasp {
    /// Of all tools of a holder, taken where their weight acts, as if all weighed alike.
    pub(super) fn all(holder: &Holder, hands: HandsOn, lift: f64) -> Vec<Self> {
        let mass = holder.weights.iter().map(|weight| weight.mass).sum::<f64>();
        let mass = mass / holder.tools.len().max(1) as f64;
        let of =
            |tool: &HungTool| Self { height: tool.at[1], lift, depth: depth(tool), mass, hands };
        match holder.tools.as_slice() {
            [] => vec![Self::into(holder)],
            tools => tools.iter().map(of).collect(),
        }
    }

    /// Of what nothing is known but its weight, as in a tray: over its top edge.
    fn into(holder: &Holder) -> Self {
        let pieces = holder.parts.iter().flat_map(|part| &part.places);
        let height = pieces.map(|piece| piece.bounds().1[1]).fold(0.0, f64::max);
        let mass = holder.weights.iter().map(|weight| weight.mass).sum();
        Self { height, lift: 0.0, depth: 0.0, mass, hands: HandsOn::Into }
    }

    /// How far its height above the floor is from where it is best taken, between knuckle and shoulder, in mm.
    pub(super) fn off_best(&self, foot: f64, person: Person) -> f64 {
        let at = foot + self.height;
        (person.knuckle - at).max(at - person.shoulder).max(0.0)
    }

    /// What is wrong with taking it there.
    pub(crate) fn hard(&self, foot: f64, person: Person, shared: bool) -> Option<Hard> {
        let at = foot + self.height;
        let over = (at + self.lift - person.reach).max(0.0);
        if over > 0.0 {
            return Some(Hard::TooHigh { at: at + self.lift, reach: person.reach });
        }
        let [low, high] = SITTING_REACH;
        if shared && !(low..=high).contains(&at) {
            return Some(Hard::NotSitting { at });
        }
        let most = self.most(at, person);
        (self.mass > most).then_some(Hard::TooHeavy {
            at,
            mass: self.mass,
            most,
            hands: self.hands,
        })
    }

    /// What may be lifted at a height above the floor, in kg.
    pub(crate) fn most(&self, at: f64, person: Person) -> f64 {
        match self.hands {
            HandsOn::Both => Lift::off_the_wall(at, self.depth).limit(),
            HandsOn::One => ONE_HAND * guideline(at, person),
            HandsOn::Into => f64::INFINITY,
        }
    }
}

fn guideline(at: f64, person: Person) -> f64 {
    match at {
        at if at > person.shoulder => ABOVE_SHOULDER,
        at if at > person.elbow => TO_SHOULDER,
        at if at > person.knuckle => TO_ELBOW,
        at if at > person.knuckle / 2.0 => TO_KNUCKLE,
        _ => ABOVE_SHOULDER,
    }
}

/// Why a tool is hard to take down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Hard {
    /// Its way off leads above what the person reaches.
    TooHigh { at: f64, reach: f64 },
    /// People who sit don't reach it.
    NotSitting { at: f64 },
    /// It is heavier than is advised there.
    TooHeavy { at: f64, mass: f64, most: f64, hands: HandsOn },
}

/// How deep a tool is, out from the wall.
fn depth(tool: &HungTool) -> f64 {
    let bounds = tool.body.iter().map(|solid| solid.prism.bounds());
    let reach = |(low, high): (Space, Space)| [low[2], high[2]];
    let all = bounds.map(reach).reduce(|[a, b], [c, d]| [a.min(c), b.max(d)]);
    all.map_or(0.0, |[from, to]| to - from)
}
