//! What bends a screw over or crushes the wood beside it: single shear.

use super::factor::LEAST_PENETRATION;
use super::wrong::{Wrong, not_negative, positive};
use crate::length::{MM_PER_INCH, MPA_PER_PSI};
use crate::shop::{NdsGravity, Screw};
use crate::tolerance::COORDINATE;

/// The standard gives dowel bearing strengths in steps of this many psi (NDS-2018 table 12.3.3).
const BEARING_STEP: f64 = 50.0;

/// Dowel bearing strength in N/mm² beside fasteners under 1/4 in: 16,600 G^1.84 psi to the nearest
/// 50, for any direction of load (NDS-2018 table 12.3.3, footnote 2).
///
/// # Errors
/// When the gravity is not above 0.
pub(crate) fn dowel_bearing(wood: NdsGravity) -> Result<f64, Wrong> {
    let gravity = positive("the specific gravity", wood.0)?;
    let psi = 16_600.0 * gravity.powf(1.84);
    Ok((psi / BEARING_STEP).round() * BEARING_STEP * MPA_PER_PSI)
}

/// By what yield loads of fasteners under 1/4 in are divided: 2.2 up to 0.17 in, then
/// 10 D + 0.5 (NDS-2018 table 12.3.1B, K_D). `diameter` is the root's, in mm.
fn small_reduction(diameter: f64) -> f64 {
    let inches = diameter / MM_PER_INCH;
    if inches <= 0.17 { 2.2 } else { 10.0 * inches + 0.5 }
}

/// The wood a screw bears on in one of the two pieces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BearingWood {
    /// Length of screw that bears, in mm.
    pub length: f64,
    /// Dowel bearing strength in N/mm².
    pub bearing: f64,
}

/// How a joint gives way (NDS-2018 appendix I): by crushing, turning or bending of the screw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mode {
    /// Far piece crushed.
    Im,
    /// Near piece crushed.
    Is,
    /// The stiff screw turns in both.
    II,
    /// The screw bends once, in the near piece; the far piece is crushed.
    IIIm,
    /// The screw bends once, in the far piece; the near piece is crushed.
    IIIs,
    /// The screw bends in both.
    IV,
}

/// A wood screw through a near (side) piece into a far (main) piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LateralJoint {
    /// Root diameter in mm.
    pub root: f64,
    /// Bending yield strength in N/mm².
    pub bending_yield: f64,
    /// The near piece, under the head.
    pub side: BearingWood,
    /// The far piece, in which the thread bites.
    pub main: BearingWood,
    /// What lies between the two and bears nothing, as drywall, in mm: it is counted as air, so
    /// that the screw bends on a longer arm.
    pub gap: f64,
}

/// What one fastener bears before duration and grain are counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Yield {
    /// Reference lateral design value in N: the least of [`Yield::modes`].
    pub value: f64,
    /// The mode that governs.
    pub mode: Mode,
    /// The value of each mode, in N.
    pub modes: [(Mode, f64); 6],
}

impl LateralJoint {
    /// A joint by a wood screw. `side` is the near piece's thickness and `main` how deep the screw
    /// goes into the far piece, point included, both in mm and with the piece's gravity; `gap` as in
    /// [`LateralJoint::gap`]. The tapered point bears half (NDS-2018 12.3.5.3: the length less E/2),
    /// so the far length is the depth less one diameter.
    ///
    /// # Errors
    /// [`Wrong::TooShallow`] below 6 diameters (NDS-2018 12.1.5.6), or when a figure is no size.
    pub(crate) fn of_screw(
        screw: Screw,
        side: (f64, NdsGravity),
        main: (f64, NdsGravity),
        gap: f64,
    ) -> Result<Self, Wrong> {
        let (thickness, near) = side;
        let (penetration, far) = main;
        let least = LEAST_PENETRATION * screw.shank();
        if positive("the penetration", penetration)? < least - COORDINATE {
            return Err(Wrong::TooShallow { penetration, least });
        }
        Ok(Self {
            root: screw.root(),
            bending_yield: screw.bending_yield(),
            side: BearingWood { length: thickness, bearing: dowel_bearing(near)? },
            main: BearingWood {
                length: penetration - screw.point() / 2.0,
                bearing: dowel_bearing(far)?,
            },
            gap,
        })
    }

    /// The six yield loads of single shear, each divided by the factor K_D.
    ///
    /// NDS-2018 table 12.3.1A where there is no gap; with one, the general dowel equations of AWC
    /// Technical Report 12 (from memory), which for no gap are the same. For the modes in which
    /// the screw turns or bends they solve A P² + B P + C = 0.
    ///
    /// # Errors
    /// When a size or strength is not above 0, or the gap is negative.
    pub(crate) fn yields(&self) -> Result<Yield, Wrong> {
        let root = positive("the root diameter", self.root)?;
        let gap = not_negative("the gap", self.gap)?;
        let moment =
            positive("the bending yield strength", self.bending_yield)? * root.powi(3) / 6.0;
        let (near, far) = (self.side.length, self.main.length);
        let s = positive("the near bearing strength", self.side.bearing)? * root;
        let m = positive("the far bearing strength", self.main.bearing)? * root;
        positive("the near length", near)?;
        positive("the far length", far)?;
        let (turn_s, turn_m) = (s * near.powi(2) / 4.0, m * far.powi(2) / 4.0);
        let crushed = |a, b, c: f64| (f64::sqrt(b * b + 4.0 * a * c) - b) / (2.0 * a);
        let loads = [
            (Mode::Im, m * far),
            (Mode::Is, s * near),
            (Mode::II, crushed(0.25 / s + 0.25 / m, near / 2.0 + gap + far / 2.0, turn_s + turn_m)),
            (Mode::IIIm, crushed(0.5 / s + 0.25 / m, gap + far / 2.0, moment + turn_m)),
            (Mode::IIIs, crushed(0.25 / s + 0.5 / m, near / 2.0 + gap, turn_s + moment)),
            (Mode::IV, crushed(0.5 / s + 0.5 / m, gap, 2.0 * moment)),
        ];
        let modes = loads.map(|(mode, load)| (mode, load / small_reduction(root)));
        let least =
            modes.iter().fold(modes[0], |least, next| if next.1 < least.1 { *next } else { least });
        Ok(Yield { value: least.1, mode: least.0, modes })
    }
}
