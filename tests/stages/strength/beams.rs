use crate::strength::{Beam, CrossSection, Stretch, Support, Wrong};
use proptest::prelude::*;

use super::{INCH, POUND, PSI, near, seeded};
use Support::{Cantilever, Simple};

const BOARD: CrossSection = CrossSection::Rectangle { width: 60.0, height: 18.0 };

/// The same beam with `force` N spread over its length.
fn spread(beam: Beam, force: f64) -> Beam {
    Beam { spread: beam.spread + force, ..beam }
}

/// k_b and k_s of a beam under 1 N in all, from its sag: sag = k_b W L³ / E I + k_s W L / G A'.
fn coefficients(beam: &Beam, at: f64) -> [f64; 2] {
    let stiffness = 10_000.0;
    let [bent, sheared] = beam.sag(at, stiffness).unwrap();
    let section = beam.stretches[0].section;
    let shear_modulus = stiffness / 16.0;
    [
        bent * stiffness * section.inertia() / beam.length.powi(3),
        sheared * shear_modulus * section.shear_area() / beam.length,
    ]
}

/// Wood Handbook table 9-1 (the cases with clamped ends both sides have no use here).
#[test]
fn coefficients_of_the_wood_handbook() {
    let simple = || Beam::uniform(Simple, 240.0, BOARD);
    let arm = || Beam::uniform(Cantilever, 240.0, BOARD);
    let quarters = || simple().with_load(60.0, 0.5).with_load(180.0, 0.5);
    let rows = [
        (spread(simple(), 1.0), 120.0, 5.0 / 384.0, 1.0 / 8.0),
        (simple().with_load(120.0, 1.0), 120.0, 1.0 / 48.0, 1.0 / 4.0),
        (quarters(), 120.0, 11.0 / 768.0, 1.0 / 8.0),
        (quarters(), 60.0, 1.0 / 96.0, 1.0 / 8.0),
        (spread(arm(), 1.0), 240.0, 1.0 / 8.0, 1.0 / 2.0),
        (arm().with_load(240.0, 1.0), 240.0, 1.0 / 3.0, 1.0),
    ];
    for (beam, at, kb, ks) in rows {
        let [bent, sheared] = coefficients(&beam, at);
        near(bent, kb, 1e-12);
        near(sheared, ks, 1e-12);
    }
}

/// Wood Handbook eq. (9-3) and (9-4) for a round section, (9-13) by elementary mechanics.
#[test]
fn round_sections() {
    use std::f64::consts::PI;
    let peg = CrossSection::Round { diameter: 20.0 };
    near(peg.inertia(), PI * 20.0_f64.powi(4) / 64.0, 1e-9);
    near(peg.shear_area(), 9.0 / 40.0 * PI * 400.0, 1e-9);
    near(peg.modulus(), PI * 8000.0 / 32.0, 1e-9);
    near(peg.shear_stress(314.159_265), 4.0 / 3.0, 1e-6);
}

/// Wood Handbook eq. (9-2) and elementary mechanics, calculated outside the program.
#[test]
fn a_cantilever_in_inches() {
    let section = CrossSection::Rectangle { width: 0.75 * INCH, height: 3.0 * INCH };
    let beam = Beam::uniform(Cantilever, 12.0 * INCH, section).with_load(12.0 * INCH, 10.0 * POUND);
    near(section.inertia() / INCH.powi(4), 1.6875, 1e-9);
    near(section.modulus() / INCH.powi(3), 1.125, 1e-9);
    let [bent, sheared] = beam.sag(12.0 * INCH, 1.58e6 * PSI).unwrap();
    near(bent / INCH, 0.002_160_34, 1e-8);
    near(sheared / INCH, 0.000_648_10, 1e-8);
    let worst = beam.worst().unwrap();
    near(worst.bending / PSI, 106.6667, 1e-4);
    near(worst.shear / PSI, 6.6667, 1e-4);
    assert_eq!(worst.bending_at, 0.0);
}

#[test]
fn a_span_in_inches() {
    let section = CrossSection::Rectangle { width: 1.5 * INCH, height: 3.5 * INCH };
    let beam = Beam::uniform(Simple, 36.0 * INCH, section).with_load(18.0 * INCH, 100.0 * POUND);
    let [bent, sheared] = beam.sag(18.0 * INCH, 1.95e6 * PSI).unwrap();
    near(bent / INCH, 0.009_300_74, 1e-8);
    near(sheared / INCH, 0.001_687_91, 1e-8);
    let worst = beam.worst().unwrap();
    near(worst.bending / PSI, 293.8776, 1e-4);
    near(worst.shear / PSI, 14.2857, 1e-4);
    near(worst.bending_at, 18.0 * INCH, 1e-9);
}

#[test]
fn beams_in_millimeters() {
    let shelf = CrossSection::Rectangle { width: 100.0, height: 18.0 };
    let arm = spread(Beam::uniform(Cantilever, 200.0, shelf), 50.0);
    near(shelf.inertia(), 48_600.0, 1e-9);
    let [bent, sheared] = arm.sag(200.0, 10_300.0).unwrap();
    near(bent, 0.099_884_13, 1e-8);
    near(sheared, 0.005_177_99, 1e-8);
    near(arm.worst().unwrap().bending, 0.925_926, 1e-6);

    let rail = CrossSection::Rectangle { width: 60.0, height: 19.0 };
    let span = spread(Beam::uniform(Simple, 600.0, rail), 200.0);
    let [bent, sheared] = span.sag(300.0, 12_600.0).unwrap();
    near(bent, 1.301_730_78, 1e-8);
    near(sheared, 0.020_050_13, 1e-8);
    let worst = span.worst().unwrap();
    near(worst.bending, 4.155_125, 1e-6);
    near(worst.bending_at, 300.0, 1e-9);
}

/// A slot halfway out takes half the width: the stress there by hand is 2 × M / S.
#[test]
fn wood_lost_to_a_slot_is_found() {
    let narrow = CrossSection::Rectangle { width: 20.0, height: 18.0 };
    let mut beam = Beam::uniform(Cantilever, 200.0, BOARD).with_load(200.0, 30.0);
    beam.stretches.push(Stretch { from: 100.0, to: 150.0, section: narrow });
    let worst = beam.worst().unwrap();
    near(worst.bending, 30.0 * 100.0 / (20.0 * 18.0 * 18.0 / 6.0), 1e-9);
    assert_eq!(worst.bending_at, 100.0);
    near(worst.shear, 1.5 * 30.0 / (20.0 * 18.0), 1e-9);
    // Sag by hand: the arm's own, and what 50 mm of a third of the section add.
    let (e, i) = (10_000.0, BOARD.inertia());
    let lost =
        (100.0_f64.powi(3) - 50.0_f64.powi(3)) / 3.0 * 30.0 / e * (1.0 / (i / 3.0) - 1.0 / i);
    let whole = 30.0 * 200.0_f64.powi(3) / (3.0 * e * i);
    near(beam.sag(200.0, e).unwrap()[0], whole + lost, 1e-9);
}

#[test]
fn beams_that_say_too_little_or_too_much_are_refused() {
    let beam = Beam::uniform(Cantilever, 200.0, BOARD);
    let off = beam.clone().with_load(201.0, 5.0);
    assert!(matches!(off.worst(), Err(Wrong::OffBeam { .. })));
    assert!(matches!(beam.clone().with_load(20.0, -5.0).worst(), Err(Wrong::Negative { .. })));
    let bare = Beam { stretches: vec![Stretch { from: 0.0, to: 90.0, section: BOARD }], ..beam };
    assert!(matches!(bare.worst(), Err(Wrong::NoSection { .. })));
    let flat = CrossSection::Rectangle { width: 0.0, height: 18.0 };
    assert!(Beam::uniform(Simple, 100.0, flat).worst().is_err());
    assert!(Beam::uniform(Simple, f64::NAN, BOARD).worst().is_err());
}

fn loads() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.0..1.0, 0.1..80.0), 1..5)
}

proptest! {
    #![proptest_config(seeded(44))]

    /// Twice the load: twice the stress and the sag. Thinner, narrower and longer: never less.
    #[test]
    fn stress_follows_load_and_size(
        loads in loads(), even in 0.0..50.0, length in 40.0..600.0, simple in any::<bool>(),
        (width, height) in (10.0..200.0, 6.0..60.0), less in 0.3..1.0
    ) {
        let support = if simple { Simple } else { Cantilever };
        let beam = |times: f64, length: f64, width: f64, height: f64| {
            let bare = Beam::uniform(support, length, CrossSection::Rectangle { width, height });
            let loaded = spread(bare, even * times);
            loads.iter().fold(loaded, |b, (at, n)| b.with_load(at * length, n * times))
        };
        let once = beam(1.0, length, width, height);
        let twice = beam(2.0, length, width, height).worst().unwrap();
        let worst = once.worst().unwrap();
        prop_assert!((twice.bending / worst.bending - 2.0).abs() < 1e-9);
        prop_assert!((twice.shear / worst.shear - 2.0).abs() < 1e-9);
        let sag = |beam: &Beam| beam.sag(beam.length / 2.0, 9_000.0).unwrap().iter().sum::<f64>();
        prop_assert!((sag(&beam(2.0, length, width, height)) / sag(&once) - 2.0).abs() < 1e-9);
        for weaker in [
            beam(1.0, length, width, height * less),
            beam(1.0, length, width * less, height),
            beam(1.0, length / less, width, height),
        ] {
            let other = weaker.worst().unwrap();
            prop_assert!(other.bending >= worst.bending * (1.0 - 1e-9));
            prop_assert!(other.shear >= worst.shear * (1.0 - 1e-9));
            prop_assert!(sag(&weaker) >= sag(&once) * (1.0 - 1e-9));
        }
    }

    /// No place along the beam has more stress than the worst: moments by hand at 200 places.
    #[test]
    fn nothing_is_worse_than_the_worst(loads in loads(), even in 0.0..50.0) {
        let length = 300.0;
        let bare = spread(Beam::uniform(Simple, length, BOARD), even);
        let beam = loads.iter().fold(bare, |b, (at, n)| b.with_load(at * length, *n));
        let worst = beam.worst().unwrap().bending;
        let left: f64 = loads.iter().map(|(at, n)| n * (1.0 - at)).sum::<f64>() + even / 2.0;
        let mut most = 0.0_f64;
        for i in 0..=200 {
            let x = length * f64::from(i) / 200.0;
            let off: f64 = loads.iter().map(|(at, n)| n * (x - at * length).max(0.0)).sum();
            let moment = left * x - off - even / length * x * x / 2.0;
            most = most.max(moment / BOARD.modulus());
        }
        prop_assert!(most <= worst + 1e-9);
        prop_assert!(most >= 0.98 * worst);
    }
}

/// A beveled strip against the same area cut into thin slices, each a rectangle about the common
/// middle.
#[test]
fn a_beveled_strip_as_slices() {
    let (thickness, solid, rise) = (18.0, 25.0, 18.0);
    let section = CrossSection::Beveled { thickness, solid, rise };
    let slices = 200_000;
    let high = |i: usize| {
        let y = (i as f64 + 0.5) * (solid + rise) / slices as f64;
        let wide = if y < solid { thickness } else { thickness * (solid + rise - y) / rise };
        (y, wide * (solid + rise) / slices as f64)
    };
    let area: f64 = (0..slices).map(|i| high(i).1).sum();
    let middle = (0..slices).map(|i| high(i).0 * high(i).1).sum::<f64>() / area;
    let inertia: f64 = (0..slices).map(|i| (high(i).0 - middle).powi(2) * high(i).1).sum();
    near(section.area(), area, 1e-3);
    assert!((section.inertia() / inertia - 1.0).abs() < 1e-6);
    assert!((section.modulus() / (inertia / (solid + rise - middle)) - 1.0).abs() < 1e-6);
    // Without a rise it is a rectangle.
    let flat = CrossSection::Beveled { thickness, solid, rise: 0.0 };
    near(
        flat.modulus(),
        CrossSection::Rectangle { width: thickness, height: solid }.modulus(),
        1e-9,
    );
}
