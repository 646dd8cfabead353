//! How easily tools are taken down, against the published equation and tables.

use crate::wall::{Coupling, Lift, Person, SITTING_REACH};

const LB: f64 = 0.453_592_37;

fn lift([h, v, d, a]: [f64; 4], frequency: f64, coupling: Coupling) -> f64 {
    let [horizontal, vertical, travel] = [h, v, d];
    Lift { horizontal, vertical, travel, asymmetry: a, frequency, coupling }.limit() / LB
}

/// DHHS (NIOSH) Publication 94-110, section 3: examples 1 to 4, origin and destination. Their limits come from
/// multipliers of two decimals: 0.4 lb of slack. Inputs of examples 1 to 3 and part of 4: from memory.
#[test]
fn the_manuals_examples() {
    use Coupling::{Fair, Poor};
    let examples = [
        ([23.0, 15.0, 49.0, 0.0], 1.0, Fair, 16.3),
        ([23.0, 64.0, 49.0, 0.0], 1.0, Fair, 14.5),
        ([20.0, 27.0, 33.0, 0.0], 1.0, Poor, 19.6),
        ([10.0, 60.0, 33.0, 0.0], 1.0, Poor, 31.1),
        ([18.0, 15.0, 21.0, 45.0], 1.0, Fair, 18.9),
        ([10.0, 22.0, 37.0, 0.0], 0.88, Fair, 34.9),
        ([20.0, 59.0, 37.0, 0.0], 0.88, Fair, 15.2),
    ];
    for (figures, frequency, coupling, published) in examples {
        let limit = lift(figures, frequency, coupling);
        assert!((limit - published).abs() < 0.4, "{figures:?}: {limit} lb, published {published}");
    }
}

/// The same section's limits: beyond them a multiplier is 0; at the best place the load constant is left.
#[test]
fn beyond_the_equation_nothing_is_recommended() {
    assert!((lift([10.0, 30.0, 10.0, 0.0], 1.0, Coupling::Good) - 51.0).abs() < 1e-9);
    assert_eq!(lift([25.5, 30.0, 10.0, 0.0], 1.0, Coupling::Good), 0.0);
    assert_eq!(lift([10.0, 70.5, 10.0, 0.0], 1.0, Coupling::Good), 0.0);
    assert_eq!(lift([10.0, 30.0, 10.0, 136.0], 1.0, Coupling::Good), 0.0);
}

/// Section 1.3.1.1: a load 12 in deep at 40 in, hands 14 in out; at 6 in, 16 in.
#[test]
fn how_far_out_hands_are() {
    let [high, low] = [40.0, 6.0].map(|at| Lift::off_the_wall(at * 25.4, 12.0 * 25.4));
    assert!((high.horizontal - 14.0).abs() < 1e-9 && (high.travel - 10.0).abs() < 1e-9);
    assert!((low.horizontal - 16.0).abs() < 1e-9);
}

/// 50th percentiles of ANSUR II (Potvin et al. 2021, table 3), women and men; 25 mm for shoes (Pheasant, Bodyspace):
/// within 2 cm of what follows from body height.
#[test]
fn heights_by_body_height() {
    for (stature, knuckle, elbow, shoulder, reach) in
        [(1630.0, 730.0, 1020.0, 1330.0, 1960.0), (1760.0, 780.0, 1100.0, 1440.0, 2140.0)]
    {
        let person = Person::of_height(stature);
        let pairs = [
            (person.knuckle, knuckle),
            (person.elbow, elbow),
            (person.shoulder, shoulder),
            (person.reach, reach),
        ];
        for (height, published) in pairs {
            assert!((height - 25.0 - published).abs() < 20.0, "{height} for {published}");
        }
    }
    let middle = Person::default();
    assert!((Person::of_reach(middle.reach).shoulder - middle.shoulder).abs() < 1e-6);
}

/// 2010 ADA Standards 308.2.1 and 308.3.1: 15 in (380 mm) to 48 in (1220 mm).
#[test]
fn people_who_sit_reach() {
    assert_eq!(SITTING_REACH, [380.0, 1220.0]);
}
