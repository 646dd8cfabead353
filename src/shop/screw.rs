//! Wood screws, by number or by their thread in mm: diameters, the lengths they are sold in, and the
//! holes they want.
//!
//! Nails of 18 gauge have no place here: they hold parts while the glue cures and are counted for
//! nothing beyond that. Common practice, no source.

use std::fmt;

use thiserror::Error;

use super::wood::NdsGravity;
use crate::length::{MM_PER_INCH, MPA_PER_PSI, Units};

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

/// Screws sold by their thread in mm, flat heads: thread, core and head, all in mm. From memory: the
/// lower ones of those that European technical assessments give for screws of that size.
const METRIC: [[f64; 3]; 8] = [
    [2.5, 1.6, 5.0],
    [3.0, 1.9, 6.0],
    [3.5, 2.1, 7.0],
    [4.0, 2.5, 8.0],
    [4.5, 2.7, 9.0],
    [5.0, 3.1, 10.0],
    [6.0, 3.8, 12.0],
    [8.0, 5.2, 14.5],
];

/// Lengths those are commonly sold in, in mm. Common practice, no source.
const METRIC_LENGTHS: [f64; 16] = [
    12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 120.0,
    140.0,
];

/// What of its length a metric screw has threaded, from memory; EN 14592 asks for 4 diameters at least.
const METRIC_THREAD: f64 = 0.6;

/// The numbers sold in shops.
const NUMBERS: std::ops::RangeInclusive<f64> = 4.0..=14.0;

/// A flat-head wood screw of one thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Screw(SoldBy);

/// What a screw's thickness is sold by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum SoldBy {
    Number(u8),
    /// A row of [`METRIC`].
    Thread(usize),
}

/// There is no such screw.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub(crate) enum UnknownScrew {
    #[error("there is no wood screw number {0}: use a whole number from 4 to 14")]
    Number(f64),
    #[error("there is no wood screw {0} mm thick: use one of {list}", list = threads())]
    Thread(f64),
}

/// The thicknesses in mm that are sold, in words.
fn threads() -> String {
    METRIC.map(|[thread, ..]| thread.to_string()).join(", ") + " mm"
}

impl Screw {
    /// The screw of a number from 4 to 14.
    ///
    /// # Errors
    /// For any other number.
    pub(crate) fn numbered(number: f64) -> Result<Self, UnknownScrew> {
        let usual = number.fract() == 0.0 && NUMBERS.contains(&number);
        if usual {
            Ok(Self(SoldBy::Number(number as u8)))
        } else {
            Err(UnknownScrew::Number(number))
        }
    }

    /// The screw whose thread is `mm` thick.
    ///
    /// # Errors
    /// Where none is sold.
    pub(crate) fn threaded(mm: f64) -> Result<Self, UnknownScrew> {
        let found = METRIC.iter().position(|[thread, ..]| (thread - mm).abs() < 1e-9);
        found.map(|row| Self(SoldBy::Thread(row))).ok_or(UnknownScrew::Thread(mm))
    }

    /// The usual screw into a stud.
    pub(crate) const TWELVE: Self = Self(SoldBy::Number(12));

    /// The next thicker one that is sold in most shops.
    pub(crate) fn thicker(self) -> Option<Self> {
        match self.0 {
            SoldBy::Number(number) => Self::numbered(f64::from(number) + 2.0).ok(),
            SoldBy::Thread(row) => {
                (row + 1 < METRIC.len()).then_some(Self(SoldBy::Thread(row + 1)))
            }
        }
    }

    /// The next thinner one that is sold in most shops.
    pub(crate) fn thinner(self) -> Option<Self> {
        match self.0 {
            SoldBy::Number(number) => Self::numbered(f64::from(number) - 2.0).ok(),
            SoldBy::Thread(row) => row.checked_sub(1).map(|row| Self(SoldBy::Thread(row))),
        }
    }

    /// Whether it is sold by a number and in inches.
    pub(crate) fn by_number(self) -> bool {
        matches!(self.0, SoldBy::Number(_))
    }

    /// The diameter it is named by, in mm: of a number the shank's, 0.060 + 0.013 n inches
    /// (ASME B18.6.1); of a metric screw the thread's, which EN 14592 calls nominal.
    pub(crate) fn shank(self) -> f64 {
        match self.0 {
            SoldBy::Number(number) => (0.060 + 0.013 * f64::from(number)) * MM_PER_INCH,
            SoldBy::Thread(row) => METRIC[row][0],
        }
    }

    /// Root diameter in mm, for yield in bending: NDS-2018 table L3 (rolled threads), and for the
    /// numbers it leaves out the less that the Wood Handbook gives cut threads, 2/3 of the shank
    /// (FPL-GTR-190 ch. 8, p. 8-10). Of a metric screw its core.
    pub(crate) fn root(self) -> f64 {
        match self.0 {
            SoldBy::Number(number) => {
                let listed = ROOTS.iter().find(|(known, _)| *known == number);
                listed.map_or(self.shank() * ROOT_OF_SHANK, |(_, inches)| inches * MM_PER_INCH)
            }
            SoldBy::Thread(row) => METRIC[row][1],
        }
    }

    /// Bending yield strength in N/mm² (NDS-2018 appendix table I1, by nominal diameter). Taken for
    /// metric screws too: on their core it comes to less than the moment of EN 1995-1-1 (8.14).
    pub(crate) fn bending_yield(self) -> f64 {
        let inches = self.shank() / MM_PER_INCH;
        let psi = BENDING_YIELD.iter().find(|(most, _)| inches <= *most).map_or(60_000.0, |b| b.1);
        psi * MPA_PER_PSI
    }

    /// Length of the thread, point included, of a screw `length` mm long, in mm: two thirds, at
    /// least four diameters (NDS-2018 table L3, footnotes), and no more than there is; of a metric
    /// screw [`METRIC_THREAD`].
    pub(crate) fn thread(self, length: f64) -> f64 {
        let part = if self.by_number() { 2.0 / 3.0 } else { METRIC_THREAD };
        (length * part).max(4.0 * self.shank()).min(length)
    }

    /// Thread of a screw `length` mm long that lies between two places along it, in mm from its head; of its tapered
    /// point half counts, as where it bears across the screw (NDS-2018 12.3.5.3).
    pub(crate) fn thread_within(self, length: f64, [from, to]: [f64; 2]) -> f64 {
        let begins = length - self.thread(length);
        ((length - self.point() / 2.0).min(to) - begins.max(from)).max(0.0)
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
    /// Of a metric screw 77 % of the core: 70 % of its smooth shank (EN 1995-1-1 10.4.5(2)), which is 1.1 cores
    /// thick (8.7.1(3)), both from memory.
    ///
    /// NDS-2018 12.1.5.2. The fractions agree with FPL-GTR-190 ch. 8, p. 8-10; the limit of gravity
    /// is from memory.
    pub(crate) fn pilot(self, wood: NdsGravity) -> f64 {
        let soft = if self.by_number() { 0.7 } else { 0.77 };
        self.root() * if wood.0 > 0.6 { 0.9 } else { soft }
    }

    /// Diameter of the countersink for the flat head, in mm: of a number twice the shank, which the
    /// largest sharp head of ASME B18.6.1 stays within 3 % of.
    pub(crate) fn head(self) -> f64 {
        match self.0 {
            SoldBy::Number(_) => 2.0 * self.shank(),
            SoldBy::Thread(row) => METRIC[row][2],
        }
    }

    /// Angle of the head's cone, in degrees: 82 of a number (ASME B18.6.1), 90 of a metric screw (from
    /// memory).
    pub(crate) fn head_angle(self) -> f64 {
        if self.by_number() { 82.0 } else { 90.0 }
    }

    /// Depth of a countersink of [`Screw::head`] width, in mm: (head - shank) / 2 / tan of half its
    /// angle is the cone, the shank's own hole goes on below it.
    pub(crate) fn head_depth(self) -> f64 {
        (self.head() - self.shank()) / 2.0 / (self.head_angle() / 2.0).to_radians().tan()
    }

    /// The length that is sold nearest to `mm`.
    pub(crate) fn sold_near(self, mm: f64) -> f64 {
        let off = |length: &f64| (length - mm).abs();
        self.lengths().into_iter().min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or(mm)
    }

    /// Lengths that are sold, in mm, the shortest first.
    pub(crate) fn lengths(self) -> Vec<f64> {
        match self.0 {
            SoldBy::Number(_) => LENGTHS.iter().map(|inches| inches * MM_PER_INCH).collect(),
            SoldBy::Thread(_) => METRIC_LENGTHS.to_vec(),
        }
    }
}

/// A wood screw of one thickness and length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SizedScrew {
    pub screw: Screw,
    /// In mm.
    pub length: f64,
}

impl fmt::Display for SizedScrew {
    /// As in a store: `#8 × 1 1/4 in`, `4 × 40 mm`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { screw, length } = *self;
        if screw.by_number() {
            return write!(f, "{screw} × {}", Units::Inches.length(length));
        }
        let mm = Units::Millimeters;
        write!(f, "{} × {}", mm.bare_length(screw.shank()), mm.length(length))
    }
}

impl fmt::Display for Screw {
    /// `#8`, `4.5 mm`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            SoldBy::Number(number) => write!(f, "#{number}"),
            SoldBy::Thread(_) => f.write_str(&Units::Millimeters.length(self.shank())),
        }
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
            let shank = Screw::numbered(f64::from(number))?.shank();
            assert!((shank - inches * MM_PER_INCH).abs() < 1e-9, "number {number}");
        }
        Ok(())
    }

    /// FPL-GTR-282 ch. 8 table 8-9 gives the same shanks in mm, to 0.01.
    #[test]
    fn shank_diameters_agree_with_the_wood_handbook() -> Result<(), UnknownScrew> {
        for (number, mm) in [(4.0, 2.84), (6.0, 3.51), (8.0, 4.17), (10.0, 4.83), (12.0, 5.49)] {
            assert!((Screw::numbered(number)?.shank() - mm).abs() < 0.006, "number {number}");
        }
        Ok(())
    }

    #[test]
    fn odd_numbers_are_refused() {
        for number in [0.0, 3.0, 8.5, 15.0, f64::NAN, -8.0] {
            assert!(Screw::numbered(number).is_err());
        }
    }

    /// EN 14592 (from memory): the core has 60 to 90 % of the thread, which is 2.4 to 24 mm thick, and
    /// the thread is 4 diameters long at least.
    #[test]
    fn metric_screws_are_what_their_standard_asks() -> Result<(), UnknownScrew> {
        for [thread, core, head] in METRIC {
            let screw = Screw::threaded(thread)?;
            assert!((2.4..=24.0).contains(&thread) && (0.6..=0.9).contains(&(core / thread)));
            assert!(head > 1.7 * thread && head <= 2.0 * thread, "{thread}");
            for length in screw.lengths().into_iter().filter(|length| *length >= 4.0 * thread) {
                assert!(screw.thread(length) >= 4.0 * thread && screw.thread(length) <= length);
            }
        }
        Ok(())
    }

    /// EN 1995-1-1 (8.14) with 1.1 times the core (8.7.1(3)) and a tensile strength of 600 N/mm², the
    /// least of nails; in `reference/handbook.toml` as eurocode5.embedment, whose example is tried too.
    #[test]
    fn metric_screws_yield_no_later_than_their_code_says() -> Result<(), UnknownScrew> {
        let moment = |diameter: f64| 0.3 * 600.0 * diameter.powf(2.6);
        assert!((moment(4.0) - 6616.5).abs() < 0.1);
        for [thread, core, _] in METRIC {
            let screw = Screw::threaded(thread)?;
            let ours = screw.bending_yield() * screw.root().powi(3) / 6.0;
            assert!(ours <= moment(1.1 * core), "{thread}: {ours} N mm");
        }
        Ok(())
    }

    #[test]
    fn a_screw_is_called_what_it_is_sold_as() -> Result<(), UnknownScrew> {
        assert_eq!(Screw::threaded(4.5)?.to_string(), "4.5 mm");
        assert_eq!(
            SizedScrew { screw: Screw::threaded(4.0)?, length: 40.0 }.to_string(),
            "4 × 40 mm"
        );
        let eight = SizedScrew { screw: Screw::numbered(8.0)?, length: 1.25 * MM_PER_INCH };
        assert_eq!(eight.to_string(), "#8 × 1 1/4 in");
        assert_eq!(Screw::threaded(4.0)?.thicker(), Screw::threaded(4.5).ok());
        assert_eq!(Screw::threaded(8.0)?.thicker(), None);
        assert_eq!(Screw::threaded(4.0)?.thinner(), Screw::threaded(3.5).ok());
        assert_eq!(Screw::numbered(8.0)?.thinner(), Screw::numbered(6.0).ok());
        assert_eq!(Screw::numbered(4.0)?.thinner(), None);
        assert!(Screw::threaded(7.0).is_err());
        Ok(())
    }
}
