//! The CNC router: its bits, how sheets lie under it, how it is run.

use kurbo::{Point, Rect};

use crate::kernel::Contour;
use crate::tolerance::RELIEF_SLACK;

/// The bits it cuts with, as measured, in mm; `joint` is the thinner one or the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RouterBits {
    /// Diameter of the one that cuts outlines.
    pub outline: f64,
    /// Diameter of the one that cuts joints and small radii.
    pub joint: f64,
}

impl RouterBits {
    /// The narrowest slot it mills, in mm: one as wide as the thinner bit is no room for that bit's way.
    pub(crate) fn narrowest(self) -> f64 {
        self.joint + 2.0 * RELIEF_SLACK
    }

    /// Which of them cuts `contour`, the wood on its left: the wider one where it comes to all of it.
    pub(crate) fn for_contour(self, contour: &Contour) -> f64 {
        let only = self.joint >= self.outline;
        if only || contour.takes_bit(self.outline) { self.outline } else { self.joint }
    }
}

/// How parts are laid out on sheets for the router, and what holds them there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RouterSheets {
    /// Wood left between a part and the bit that goes round its neighbor, at the least, in mm:
    /// half of what the spacing has beyond the bit.
    pub margin: f64,
    /// How wide the zone at each edge of a sheet is that the bit stays out of, in mm.
    pub hold_down: f64,
    /// Length and width of the largest panel that its bed takes, in mm; `None` for no limit.
    pub bed: Option<[f64; 2]>,
    /// Whether small parts go into the openings of large ones.
    pub fill_openings: bool,
    /// How many bridges hold each part in its sheet until it is sawn free; small parts take fewer.
    pub bridges: usize,
    /// Wood left standing in each, in mm along the outline.
    pub bridge_width: f64,
    /// How high each stands from the sheet's lower face, in mm.
    pub bridge_height: f64,
    /// Wood left below outlines and large openings, in mm: it holds the parts in place of bridges.
    pub skin: f64,
}

impl RouterSheets {
    /// How deep what goes through is cut where a skin is left; `None` where there is none.
    pub(crate) fn down_to_skin(&self, thickness: f64) -> Option<f64> {
        (self.skin > 0.0).then(|| (thickness - self.skin).max(0.0))
    }

    /// How deep the bit goes over a bridge; `None` where it is as high as the wood, and not touched.
    pub(crate) fn down_to_bridge(&self, thickness: f64) -> Option<f64> {
        (self.bridge_height < thickness).then_some(thickness - self.bridge_height)
    }
}

/// How the router is run. Lengths in mm, speeds in mm a minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RouterRun {
    pub direction: CutDirection,
    pub zero: RouterZero,
    /// How deep one pass goes at the most.
    pub pass_depth: f64,
    /// How fast the bit goes along a cut.
    pub feed: f64,
    /// How fast it goes down into the wood.
    pub plunge: f64,
}

/// Which way the bit goes round, its spindle turning clockwise seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum CutDirection {
    /// Against the feed: the part lies on the left of the bit's way.
    Conventional,
    /// With the feed: the part lies on the right.
    Climb,
}

impl RouterZero {
    /// Its place on what fills `area`.
    pub(crate) fn of(self, area: Rect) -> Point {
        match self {
            Self::Corner => area.origin(),
            Self::Center => area.center(),
        }
    }
}

/// Where files for the machine have their zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RouterZero {
    /// The lower left corner.
    Corner,
    /// The middle.
    Center,
}
