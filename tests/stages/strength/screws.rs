use crate::shop::{NdsGravity, Screw};

use super::{INCH, PSI, near};

fn screw(number: u8) -> Screw {
    Screw::numbered(f64::from(number)).unwrap()
}

/// ASME B18.6.1-1981 (R1997) basic diameters.
#[test]
fn shanks_are_those_of_the_standard() {
    let table = [
        (4, 0.112),
        (5, 0.125),
        (6, 0.138),
        (7, 0.151),
        (8, 0.164),
        (9, 0.177),
        (10, 0.190),
        (12, 0.216),
        (14, 0.242),
    ];
    for (number, inches) in table {
        near(screw(number).shank(), inches * INCH, 1e-9);
    }
}

/// FPL-GTR-282 table 8-9, in mm.
#[test]
fn shanks_agree_with_the_wood_handbook() {
    let gauge = [4, 5, 6, 7, 8, 9, 10, 11, 12, 14];
    let mm = [2.84, 3.18, 3.51, 3.84, 4.17, 4.50, 4.83, 5.16, 5.49, 6.15];
    for (number, mm) in gauge.into_iter().zip(mm) {
        near(screw(number).shank(), mm, 0.0051);
    }
}

/// NDS table L3, rolled threads.
#[test]
fn roots_are_those_of_the_nds() {
    let table =
        [(6, 0.113), (7, 0.122), (8, 0.131), (9, 0.142), (10, 0.152), (12, 0.171), (14, 0.196)];
    for (number, inches) in table {
        near(screw(number).root(), inches * INCH, 1e-9);
    }
}

/// Where the NDS lists none the root is the Wood Handbook's two thirds, below any listed share.
#[test]
fn roots_not_listed_are_careful() {
    for number in [4, 5, 11, 13] {
        assert!(screw(number).root() / screw(number).shank() < 0.171 / 0.216);
    }
}

/// The flat heads of ASME B18.6.1, 82 degrees, as printed for cutting screws of equal head; the
/// page read is not the wood screw table. Our countersink is twice the shank.
#[test]
fn heads_lie_between_the_least_and_the_sharp_head_of_the_table() {
    let number = [4, 5, 6, 7, 8, 9, 10, 12, 14];
    let sharp = [0.225, 0.252, 0.279, 0.305, 0.332, 0.358, 0.385, 0.438, 0.491];
    let least = [0.195, 0.220, 0.244, 0.268, 0.292, 0.316, 0.340, 0.389, 0.437];
    for ((number, sharp), least) in number.into_iter().zip(sharp).zip(least) {
        let head = screw(number).head() / INCH;
        assert!(least <= head && head <= sharp, "number {number}: {head}");
        assert!(head > 0.97 * sharp, "number {number}");
    }
}

/// NDS appendix table I1, by nominal diameter.
#[test]
fn bending_yield_goes_by_diameter() {
    for (number, psi) in [
        (4, 100e3),
        (6, 100e3),
        (7, 90e3),
        (8, 90e3),
        (9, 90e3),
        (10, 80e3),
        (12, 80e3),
        (14, 70e3),
    ] {
        near(screw(number).bending_yield(), psi * PSI, 1e-6);
    }
}

/// NDS table L3, footnotes: thread the greater of 4 D and 2 L / 3, point 2 D.
#[test]
fn thread_and_point() {
    let eight = screw(8);
    near(eight.thread(1.5 * INCH), INCH, 1e-9);
    near(eight.thread(0.75 * INCH), 4.0 * 0.164 * INCH, 1e-9);
    near(eight.thread(0.5 * INCH), 0.5 * INCH, 1e-9);
    near(eight.point(), 0.328 * INCH, 1e-9);
}

/// The same footnotes: #8 x 1 1/2 in has thread from 0.5 in under the head on. Through 3/4 in all of that beyond counts;
/// where the wood ends at 1.0 in, no more than lies in it.
#[test]
fn thread_counts_where_it_lies_in_wood() {
    let within = |from: f64, to: f64| screw(8).thread_within(1.5 * INCH, [from * INCH, to * INCH]);
    // Half of a point of two shanks is left out where the tip is in the wood.
    near(within(0.75, f64::INFINITY), (0.75 - 0.164) * INCH, 1e-9);
    near(within(0.25, f64::INFINITY), (1.0 - 0.164) * INCH, 1e-9);
    near(within(0.75, 1.0), 0.25 * INCH, 1e-9);
    near(within(1.6, f64::INFINITY), 0.0, 1e-9);
}

/// FPL-GTR-190 ch. 8 p. 8-10: 70 % of the root in softwood, 90 % in hardwood, for withdrawal. NDS
/// 12.1.5.2 puts the limit by gravity (from memory).
#[test]
fn pilots_follow_the_wood() {
    let root = 0.152 * INCH;
    for (gravity, share) in [(0.73, 0.9), (0.68, 0.9), (0.60, 0.7), (0.50, 0.7), (0.42, 0.7)] {
        near(screw(10).pilot(NdsGravity(gravity)), share * root, 1e-9);
    }
}
