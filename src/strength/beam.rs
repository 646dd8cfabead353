//! Arms, shelves and pegs as beams: bending, shear and sag, with wood lost to slots and holes.
//!
//! Wood Handbook ch. 9: sag = k_b W L³ / E I + k_s W L / G A' (eq. 9-2) with the coefficients of
//! table 9-1. Here the same sum is integrated along the beam (virtual work), which gives those
//! coefficients for the cases of the table and serves for sections that vary and loads anywhere.

use std::f64::consts::PI;

use super::wrong::{Wrong, not_negative, positive};
use crate::tolerance::COORDINATE;

/// Shear modulus as part of the modulus of elasticity where none was measured (Wood Handbook ch. 9).
const SHEAR_OF_STIFFNESS: f64 = 1.0 / 16.0;

/// A cross-section, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum CrossSection {
    /// `height` is measured along the load.
    Rectangle {
        width: f64,
        height: f64,
    },
    Round {
        diameter: f64,
    },
    /// A strip with a beveled upper edge, loaded down: `solid` high on one face, `rise` more on the
    /// other, `thickness` between them.
    Beveled {
        thickness: f64,
        solid: f64,
        rise: f64,
    },
}

impl CrossSection {
    /// In mm².
    pub(crate) fn area(self) -> f64 {
        match self {
            Self::Rectangle { width, height } => width * height,
            Self::Round { diameter } => PI * diameter.powi(2) / 4.0,
            Self::Beveled { thickness, solid, rise } => thickness * (solid + rise / 2.0),
        }
    }

    /// Second moment of area in mm⁴: b h³ / 12, π d⁴ / 64 (Wood Handbook eq. 9-3).
    pub(crate) fn inertia(self) -> f64 {
        match self {
            Self::Rectangle { width, height } => width * height.powi(3) / 12.0,
            Self::Round { diameter } => PI * diameter.powi(4) / 64.0,
            // A rectangle and a triangle on it, about the middle of both.
            Self::Beveled { thickness, solid, rise } => {
                let (low, high) = (thickness * solid, thickness * rise / 2.0);
                let middle = self.lowest();
                let own = thickness * (solid.powi(3) / 12.0 + rise.powi(3) / 36.0);
                let apart = [middle - solid / 2.0, solid + rise / 3.0 - middle];
                own + low * apart[0].powi(2) + high * apart[1].powi(2)
            }
        }
    }

    /// From the lowest fiber to the middle of the area, in mm.
    fn lowest(self) -> f64 {
        match self {
            Self::Rectangle { height, .. } => height / 2.0,
            Self::Round { diameter } => diameter / 2.0,
            Self::Beveled { thickness, solid, rise } => {
                let (low, high) = (thickness * solid, thickness * rise / 2.0);
                (low * solid / 2.0 + high * (solid + rise / 3.0)) / (low + high)
            }
        }
    }

    /// Section modulus in mm³, of the fiber that is furthest from the middle: b h² / 6, π d³ / 32.
    pub(crate) fn modulus(self) -> f64 {
        let lowest = self.lowest();
        self.inertia() / lowest.max(self.height() - lowest)
    }

    /// Area that counts for sag by shear, in mm²: 5/6 b h, 9/40 π d² (Wood Handbook eq. 9-4).
    pub(crate) fn shear_area(self) -> f64 {
        match self {
            Self::Rectangle { .. } | Self::Beveled { .. } => self.area() * 5.0 / 6.0,
            Self::Round { .. } => self.area() * 0.9,
        }
    }

    /// Largest shear stress in N/mm² under `shear` N: 3 V / 2 A (Wood Handbook eq. 9-14), for the
    /// round 4 V / 3 A (elementary mechanics).
    pub(crate) fn shear_stress(self, shear: f64) -> f64 {
        let peak = match self {
            Self::Rectangle { .. } | Self::Beveled { .. } => 1.5,
            Self::Round { .. } => 4.0 / 3.0,
        };
        peak * shear.abs() / self.area()
    }

    /// Bending stress at the outermost fiber in N/mm² under `moment` N mm: M / S (Wood Handbook eq.
    /// 9-13).
    pub(crate) fn bending_stress(self, moment: f64) -> f64 {
        moment.abs() / self.modulus()
    }

    /// Along the load, in mm.
    fn height(self) -> f64 {
        match self {
            Self::Rectangle { height, .. } => height,
            Self::Round { diameter } => diameter,
            Self::Beveled { solid, rise, .. } => solid + rise,
        }
    }

    fn check(self) -> Result<(), Wrong> {
        let (width, height) = match self {
            Self::Rectangle { width, height } => (width, height),
            Self::Round { diameter } => (diameter, diameter),
            Self::Beveled { thickness, solid, .. } => (thickness, solid),
        };
        positive("a section's width", width)?;
        positive("a section's height", height)?;
        Ok(())
    }
}

/// How a beam is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Support {
    /// Clamped at 0, free at its length.
    Cantilever,
    /// Rests on both ends.
    Simple,
}

/// Part of a beam's length with one section: what is left of it beside slots and holes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stretch {
    /// In mm from the beam's 0.
    pub from: f64,
    /// In mm.
    pub to: f64,
    pub section: CrossSection,
}

/// A load at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PointLoad {
    /// In mm from the beam's 0.
    pub at: f64,
    /// In N, down.
    pub force: f64,
}

/// A straight beam under loads that point one way.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Beam {
    pub support: Support,
    /// In mm.
    pub length: f64,
    /// The net sections. Where two overlap, the weaker counts; together they cover the length.
    pub stretches: Vec<Stretch>,
    pub loads: Vec<PointLoad>,
    /// Spread evenly over the whole length, in N.
    pub spread: f64,
}

/// The highest stresses along a beam, in N/mm², and where they are, in mm from its 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Worst {
    pub bending: f64,
    pub bending_at: f64,
    pub shear: f64,
    pub shear_at: f64,
}

impl Beam {
    /// A beam of one section.
    pub(crate) fn uniform(support: Support, length: f64, section: CrossSection) -> Self {
        let stretches = vec![Stretch { from: 0.0, to: length, section }];
        Self { support, length, stretches, loads: Vec::new(), spread: 0.0 }
    }

    /// The same beam with one more load of `force` N `at` mm.
    #[must_use]
    pub(crate) fn with_load(mut self, at: f64, force: f64) -> Self {
        self.loads.push(PointLoad { at, force });
        self
    }

    /// The highest stresses, the worst section found.
    ///
    /// # Errors
    /// When a size is not above 0, a load negative or off the beam, or part of the length has no
    /// section.
    pub(crate) fn worst(&self) -> Result<Worst, Wrong> {
        self.check()?;
        Ok(self.worst_in(&self.pieces(&[])?))
    }

    /// The same of a sound beam cut into `pieces` at every load.
    pub(crate) fn worst_in(&self, pieces: &[BeamPiece]) -> Worst {
        let mut worst = Worst { bending: 0.0, bending_at: 0.0, shear: 0.0, shear_at: 0.0 };
        for &BeamPiece { from, to, section } in pieces {
            let (start, end) = (self.shear(from, After), self.shear(to, Before));
            // The moment peaks where the shear, straight between loads, goes through 0.
            let crossing = from + (to - from) * start / (start - end);
            let peak = Some(crossing).filter(|at| (from..=to).contains(at));
            for at in [from, to].into_iter().chain(peak) {
                let bending = section.bending_stress(self.moment(at));
                if bending > worst.bending {
                    (worst.bending, worst.bending_at) = (bending, at);
                }
            }
            for (at, shear) in [(from, start), (to, end)] {
                let stress = section.shear_stress(shear);
                if stress > worst.shear {
                    (worst.shear, worst.shear_at) = (stress, at);
                }
            }
        }
        worst
    }

    /// How far the beam sags `at` mm.
    ///
    /// # Errors
    /// As [`Beam::worst`] and [`Beam::sag_in`].
    #[cfg(test)]
    pub(crate) fn sag(&self, at: f64, stiffness: f64) -> Result<[f64; 2], Wrong> {
        self.check()?;
        self.sag_in(&self.pieces(&[at])?, at, stiffness)
    }

    /// How far a sound beam, cut into `pieces` at every load and there, sags `at` mm, in mm, by bending and by shear.
    /// `stiffness` is the modulus of elasticity in N/mm²; the shear modulus is taken as a sixteenth of it.
    ///
    /// The sums M m / E I and V v / G A' over the length, m and v being moment and shear of a unit
    /// load there. Both are cubics at most between the joints, so Simpson's rule is exact.
    ///
    /// # Errors
    /// When the place is off the beam or the stiffness not above 0.
    pub(crate) fn sag_in(
        &self,
        pieces: &[BeamPiece],
        at: f64,
        stiffness: f64,
    ) -> Result<[f64; 2], Wrong> {
        positive("the stiffness", stiffness)?;
        self.on_beam("the place of the sag", at)?;
        let unit = Self {
            loads: vec![PointLoad { at, force: 1.0 }],
            spread: 0.0,
            stretches: Vec::new(),
            ..*self
        };
        let [mut bent, mut sheared] = [0.0; 2];
        for &BeamPiece { from, to, section } in pieces {
            let middle = f64::midpoint(from, to);
            let places = [(from, After, 1.0), (middle, After, 4.0), (to, Before, 1.0)];
            for (x, side, weight) in places {
                let share = weight * (to - from) / 6.0;
                bent += share * self.moment(x) * unit.moment(x) / (stiffness * section.inertia());
                let rigidity = stiffness * SHEAR_OF_STIFFNESS * section.shear_area();
                sheared += share * self.shear(x, side) * unit.shear(x, side) / rigidity;
            }
        }
        Ok([bent, sheared])
    }

    /// Moment at `x` in N mm: hogging for a cantilever, sagging for a beam on two ends.
    fn moment(&self, x: f64) -> f64 {
        let (length, spread) = (self.length, self.spread);
        let each = |load: &PointLoad| match self.support {
            Support::Cantilever => load.force * (load.at - x).max(0.0),
            Support::Simple if load.at > x => load.force * (length - load.at) * x / length,
            Support::Simple => load.force * load.at * (length - x) / length,
        };
        let even = match self.support {
            Support::Cantilever => spread / length * (length - x).powi(2) / 2.0,
            Support::Simple => spread / length * x * (length - x) / 2.0,
        };
        self.loads.iter().map(each).sum::<f64>() + even
    }

    /// Shear force at `x` in N, just before or after any load there.
    fn shear(&self, x: f64, side: ShearSide) -> f64 {
        let beyond = |load: &PointLoad| match side {
            Before => load.at >= x - COORDINATE,
            After => load.at > x + COORDINATE,
        };
        let outer: f64 = self.loads.iter().filter(|l| beyond(l)).map(|l| l.force).sum();
        let outer = outer + self.spread * (1.0 - x / self.length);
        match self.support {
            Support::Cantilever => outer,
            Support::Simple => {
                let right: f64 = self.loads.iter().map(|l| l.force * l.at / self.length).sum();
                outer - right - self.spread / 2.0
            }
        }
    }

    /// The length cut at every end of a stretch, every load and the places of `also`, whatever the loads come to.
    ///
    /// # Errors
    /// When part of the length has no section.
    pub(crate) fn pieces(&self, also: &[f64]) -> Result<Vec<BeamPiece>, Wrong> {
        let ends = self.stretches.iter().flat_map(|s| [s.from, s.to]);
        let loads = self.loads.iter().map(|l| l.at);
        let mut cuts: Vec<f64> = ends.chain(loads).chain(also.iter().copied()).collect();
        cuts.extend([0.0, self.length]);
        cuts.retain(|at| (0.0..=self.length).contains(at));
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|b, a| *b - *a <= COORDINATE);
        let pairs = cuts.iter().zip(cuts.iter().skip(1));
        let piece = |(from, to): (&f64, &f64)| {
            let middle = f64::midpoint(*from, *to);
            let covering = self.stretches.iter().filter(|s| s.from <= middle && middle <= s.to);
            let weaker = |a: &CrossSection, b: &CrossSection| a.modulus().total_cmp(&b.modulus());
            let section = covering.map(|s| s.section).min_by(weaker);
            Ok(BeamPiece {
                from: *from,
                to: *to,
                section: section.ok_or(Wrong::NoSection { at: *from })?,
            })
        };
        pairs.map(piece).collect()
    }

    /// Whether all its figures can be.
    ///
    /// # Errors
    /// When a size is not above 0, a load negative or off the beam.
    pub(crate) fn check(&self) -> Result<(), Wrong> {
        positive("the beam's length", self.length)?;
        not_negative("the spread load", self.spread)?;
        for stretch in &self.stretches {
            stretch.section.check()?;
        }
        for load in &self.loads {
            self.on_beam("a load", load.at)?;
            not_negative("a load", load.force)?;
        }
        Ok(())
    }

    fn on_beam(&self, what: &'static str, at: f64) -> Result<(), Wrong> {
        let length = self.length;
        let on = (-COORDINATE..=length + COORDINATE).contains(&at);
        on.then_some(()).ok_or(Wrong::OffBeam { what, at, length })
    }
}

/// Part of the length with one section and no load within.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BeamPiece {
    from: f64,
    to: f64,
    section: CrossSection,
}

/// On which side of a place a shear force is meant.
#[derive(Clone, Copy)]
enum ShearSide {
    Before,
    After,
}
use ShearSide::{After, Before};

/// Bearing stress in N/mm² of `force` N on `area` mm².
///
/// # Errors
/// When the area is not above 0 or the force negative.
pub(super) fn bearing_stress(force: f64, area: f64) -> Result<f64, Wrong> {
    Ok(not_negative("the force", force)? / positive("the area", area)?)
}
