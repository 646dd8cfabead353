//! The figures that a check came from, kept as figures until someone is told.

use crate::shop::{Screw, SizedScrew};
use crate::strength::{CrossSection, Support};

/// What went into the figures of a check. Lengths in mm, forces in N, angles in degrees.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Grounds {
    /// A piece that is bent.
    Bent {
        /// All that lies on it.
        force: f64,
        length: f64,
        /// As the table of woods calls it.
        wood: &'static str,
        support: Support,
        /// How far from where it is held it is bent most, and what is left of it there.
        worst_at: f64,
        section: Option<CrossSection>,
    },
    /// Screws that share a load.
    SharedByScrews {
        load: f64,
        count: usize,
        /// Of the first row.
        screw: Option<SizedScrew>,
        /// What comes on the screw that has most.
        most: ScrewShare,
        can: ScrewCan,
    },
    /// Screws of a cleat, drawn by the hook.
    OfCleat {
        screw: Screw,
        count: CleatScrews,
        /// What comes on each where the bevels fit.
        each: ScrewShare,
        /// Pulls at each where they bear on an edge alone, and the share of what it can.
        worst_pull: f64,
        on_edge: f64,
        can: ScrewCan,
    },
    /// Screws of a keeper strip: how many, what each holds down with, and what it may.
    Kept { screw: Screw, count: usize, each: f64, can: f64 },
    /// A screw in a plug, of which the wood under its head alone is rated.
    InPlugs { screw: Screw, each: ScrewShare },
    /// Thrust square to the bevel of a cleat.
    Thrust { force: f64, bevel: f64, length: f64 },
    /// A rod that stands in a hole.
    Socket { force: f64, lever: f64, depth: f64, diameter: f64, wood: &'static str },
    /// A cleat bent across its grain where it is screwed.
    Split {
        /// On its bevel, and how far beside its screws that acts.
        force: f64,
        lever: f64,
        length: f64,
        thickness: f64,
        wood: &'static str,
        /// Whether the table of tension across the grain has the wood.
        is_listed: bool,
    },
    /// How far out from the wall all that hangs acts; how far out the cleats hold it without friction, and with
    /// that of dry wood. Where the outermost tools alone act farthest out, how many they are.
    Reach { reach: f64, alone: f64, dry: f64, outermost: Option<usize> },
    /// A part that so many screws hold at one place along it, and what hangs on it.
    OnePlace { screw: SizedScrew, count: usize, load: f64 },
    /// The back between the cleat it hangs on and its foot: bent at this height, so wide there net of holes.
    Back { at: f64, width: f64, thickness: f64, wood: &'static str, across: bool },
    /// Tabs that are pulled: how many share the load, and what keeps them in.
    Tabs { load: f64, count: usize, wedged: bool },
    /// A strip between two studs.
    Strip {
        /// Whether the holder hangs with its middle over a stud.
        over_a_stud: bool,
        /// What the strip is screwed to: a stud, or a plug.
        held_by: &'static str,
        down: f64,
        outward: f64,
        /// Length of the hook on it.
        hook: f64,
        width: f64,
        wood: &'static str,
        spacing: f64,
    },
}

/// How many screws a cleat has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CleatScrews {
    InAll(usize),
    InEachStud(usize),
}

/// One screw's share of a load, in N.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct ScrewShare {
    /// Along it.
    pub pull: f64,
    pub across: f64,
}

impl ScrewShare {
    /// So many times as much.
    pub(crate) fn times(self, times: f64) -> Self {
        Self { pull: self.pull * times, across: self.across * times }
    }

    /// Both together.
    pub(crate) fn plus(self, other: Self) -> Self {
        Self { pull: self.pull + other.pull, across: self.across + other.across }
    }
}

/// What one screw can, with all factors but those of its neighbors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ScrewCan {
    /// Pulled out, in N; `None` in end grain.
    pub pull: Option<f64>,
    /// Loaded across, in N.
    pub across: f64,
    /// Its head pulled through, in N.
    pub head: f64,
    /// How deep it goes in, in diameters.
    pub diameters: f64,
}
