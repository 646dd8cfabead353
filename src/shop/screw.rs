//! Wood screws by number: diameters, the lengths they are sold in, and the holes they want.
//!
//! Nails of 18 gauge have no place here: they hold parts while the glue cures and are counted for
//! nothing beyond that. Common practice, no source.

use thiserror::Error;

use super::wood::NdsGravity;
use crate::length::{MM_PER_INCH, MPA_PER_PSI};

/// Lengths wood screws are commonly sold in, in inches. Common practice, no source.
const LENGTHS: [f64; 14] =
    [0.5, 0.625, 0.75, 0.875, 1.0, 1.25, 1.5, 1.75, 2.0, 2.25, 2.5, 3.0, 3.5, 4.0];

/// The part of a screw's diameter that its root has (FPL-GTR-190 ch. 8, p. 8-10).
const ROOT_OF_SHANK: f64 = 2.0 / 3.0;

/// Root diameters in inches by number (NDS-2018 table L3, rolled threads).
const ROOTS: [(u8, f64); 7] =
    [(6, 0.113), (7, 0.122), (8, 0.131), (9, 0.142), (10, 0.152), (12, 0.171), (14, 0.196)];

/// Bending yield strength in psi up to a nominal diameter in inches (NDS-2018 appendix table I1).
const BENDING_YIELD: [(f64, f64); 4] =
    [(0.142, 100_000.0), (0.177, 90_000.0), (0.236, 80_000.0), (0.273, 70_000.0)];

/// A flat-head wood screw of one number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Screw {
    number: u8,
}

/// There is no wood screw of this number.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
#[error("there is no wood screw number {0}: use a whole number from 4 to 14")]
pub(crate) struct UnknownScrew(pub f64);

impl Screw {
    /// The screw of a number from 4 to 14.
    ///
    /// # Errors
    /// For any other number.
    pub(crate) fn new(number: f64) -> Result<Self, UnknownScrew> {
        let usual = number.fract() == 0.0 && (4.0..=14.0).contains(&number);
        if usual { Ok(Self { number: number as u8 }) } else { Err(UnknownScrew(number)) }
    }

    /// The usual screw into a stud.
    pub(crate) const TWELVE: Self = Self { number: 12 };

    /// The number it is sold by.
    pub(crate) fn number(self) -> u8 {
        self.number
    }

    /// Shank diameter in mm: 0.060 + 0.013 n inches (ASME B18.6.1).
    pub(crate) fn shank(self) -> f64 {
        (0.060 + 0.013 * f64::from(self.number)) * MM_PER_INCH
    }

    /// Root diameter in mm, for yield in bending: NDS-2018 table L3 (rolled threads), and for the
    /// numbers it leaves out the less that the Wood Handbook gives cut threads, 2/3 of the shank
    /// (FPL-GTR-190 ch. 8, p. 8-10).
    pub(crate) fn root(self) -> f64 {
        let listed = ROOTS.iter().find(|(number, _)| *number == self.number);
        listed.map_or(self.shank() * ROOT_OF_SHANK, |(_, inches)| inches * MM_PER_INCH)
    }

    /// Bending yield strength in N/mm² (NDS-2018 appendix table I1, by nominal diameter).
    pub(crate) fn bending_yield(self) -> f64 {
        let inches = self.shank() / MM_PER_INCH;
        let psi = BENDING_YIELD.iter().find(|(most, _)| inches <= *most).map_or(60_000.0, |b| b.1);
        psi * MPA_PER_PSI
    }

    /// Length of the thread, point included, of a screw `length` mm long, in mm: two thirds, at
    /// least four diameters (NDS-2018 table L3, footnotes), and no more than there is.
    pub(crate) fn thread(self, length: f64) -> f64 {
        (length * 2.0 / 3.0).max(4.0 * self.shank()).min(length)
    }

    /// Length of the tapered point, in mm: two diameters (NDS-2018 table L3, footnotes).
    pub(crate) fn point(self) -> f64 {
        2.0 * self.shank()
    }

    /// Diameter of the pilot to bore for a screw that is both pulled and loaded across, in mm: the
    /// lead hole for withdrawal, which is the smaller, 90 % of the root above a gravity of 0.6 and
    /// 70 % below. In woods up to 0.5 the NDS asks for none; it is bored all the same, so that narrow
    /// pieces don't split.
    ///
    /// NDS-2018 12.1.5.2. The fractions agree with FPL-GTR-190 ch. 8, p. 8-10; the limit of gravity
    /// is from memory.
    pub(crate) fn pilot(self, wood: NdsGravity) -> f64 {
        self.root() * if wood.0 > 0.6 { 0.9 } else { 0.7 }
    }

    /// Least distance from a screw's middle to the edge beside it, in mm, where holes are bored:
    /// 2.5 diameters (NDS-2024 commentary table C12.1.5.7, advice for fasteners under 1/4 in).
    pub(crate) fn edge_distance(self) -> f64 {
        2.5 * self.shank()
    }

    /// Least distances to an end, in mm: toward which the screw is loaded, 10 diameters, and away
    /// from which it is, 5 (same table).
    pub(crate) fn end_distances(self) -> [f64; 2] {
        [10.0 * self.shank(), 5.0 * self.shank()]
    }

    /// Least distance between screws along and across the grain, in mm: 10 and 5 diameters (same
    /// table).
    pub(crate) fn spacing(self) -> [f64; 2] {
        [10.0 * self.shank(), 5.0 * self.shank()]
    }

    /// Diameter of the countersink for the flat head, in mm: twice the shank, which the largest
    /// sharp head of ASME B18.6.1 stays within 3 % of.
    pub(crate) fn head(self) -> f64 {
        2.0 * self.shank()
    }

    /// Depth of an 82° countersink of [`Screw::head`] width, in mm: (head - shank) / 2 / tan 41°
    /// is the cone, the shank's own hole goes on below it.
    pub(crate) fn head_depth(self) -> f64 {
        (self.head() - self.shank()) / 2.0 / 41.0_f64.to_radians().tan()
    }

    /// The longest length sold, in mm, that is no longer than `most`.
    pub(crate) fn length_at_most(self, most: f64) -> Option<f64> {
        let lengths = LENGTHS.iter().map(|inches| inches * MM_PER_INCH);
        lengths.filter(|length| *length <= most + crate::tolerance::COORDINATE).reduce(f64::max)
    }
}

impl Screw {
    /// The shortest length sold, in mm, that is at least `least`.
    pub(crate) fn length_at_least(self, least: f64) -> Option<f64> {
        let lengths = LENGTHS.iter().map(|inches| inches * MM_PER_INCH);
        lengths.filter(|length| *length >= least - crate::tolerance::COORDINATE).reduce(f64::min)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ASME B18.6.1-1981 (R1997) basic diameters.
    #[test]
    fn shank_diameters_are_those_of_the_standard() -> Result<(), UnknownScrew> {
        let table =
            [(4, 0.112), (6, 0.138), (8, 0.164), (9, 0.177), (10, 0.190), (12, 0.216), (14, 0.242)];
        for (number, inches) in table {
            let shank = Screw::new(f64::from(number))?.shank();
            assert!((shank - inches * MM_PER_INCH).abs() < 1e-9, "number {number}");
        }
        Ok(())
    }

    /// FPL-GTR-282 ch. 8 table 8-9 gives the same shanks in mm, to 0.01.
    #[test]
    fn shank_diameters_agree_with_the_wood_handbook() -> Result<(), UnknownScrew> {
        for (number, mm) in [(4.0, 2.84), (6.0, 3.51), (8.0, 4.17), (10.0, 4.83), (12.0, 5.49)] {
            assert!((Screw::new(number)?.shank() - mm).abs() < 0.006, "number {number}");
        }
        Ok(())
    }

    #[test]
    fn odd_numbers_are_refused() {
        for number in [0.0, 3.0, 8.5, 15.0, f64::NAN, -8.0] {
            assert!(Screw::new(number).is_err());
        }
    }

    #[test]
    fn a_length_never_exceeds_the_room() -> Result<(), UnknownScrew> {
        let screw = Screw::new(8.0)?;
        assert_eq!(screw.length_at_most(35.0), Some(1.25 * MM_PER_INCH));
        assert_eq!(screw.length_at_most(12.0), None);
        Ok(())
    }
}
