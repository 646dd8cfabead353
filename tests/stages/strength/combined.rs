use crate::strength::{combined, fastener_ratio};
use proptest::prelude::*;

use super::{POUND, near, seeded};

/// NDS eq. 12.4-1, calculated outside the program: number 10, G 0.50, Z 106.55 lb, W p 135.375 lb.
#[test]
fn the_formula_of_the_nds() {
    let cases = [(0.0, 106.55), (30.0, 112.54), (45.0, 119.25), (60.0, 126.80), (90.0, 135.38)];
    for (angle, pounds) in cases {
        let value = combined(135.375 * POUND, 106.55 * POUND, angle).unwrap();
        near(value / POUND, pounds, 0.006);
    }
}

/// 12.4-1 again as a sum: pull / W p and shear / Z weighted by the direction's sine and cosine.
#[test]
fn the_ratio_is_one_at_the_value() {
    for angle in [0.0_f64, 12.0, 45.0, 77.0, 90.0] {
        let (sin, cos) = angle.to_radians().sin_cos();
        let value = combined(600.0, 470.0, angle).unwrap();
        near(fastener_ratio(value * sin, value * cos, Some(600.0), 470.0).unwrap(), 1.0, 1e-9);
    }
}

#[test]
fn a_pull_on_what_may_not_be_pulled_is_too_much() {
    assert_eq!(fastener_ratio(1.0, 0.0, None, 470.0), Ok(f64::INFINITY));
    assert_eq!(fastener_ratio(0.0, 235.0, None, 470.0), Ok(0.5));
    assert!(fastener_ratio(1.0, 0.0, Some(0.0), 470.0).is_err());
}

proptest! {
    #![proptest_config(seeded(42))]

    #[test]
    fn twice_the_load_takes_twice_as_much(
        pull in 0.0..500.0, shear in 0.1..500.0, w in 50.0..900.0, z in 50.0..900.0
    ) {
        let once = fastener_ratio(pull, shear, Some(w), z).unwrap();
        let twice = fastener_ratio(2.0 * pull, 2.0 * shear, Some(w), z).unwrap();
        prop_assert!((twice / once - 2.0).abs() < 1e-9);
        // Weaker either way never takes less of the strength.
        prop_assert!(fastener_ratio(pull, shear, Some(w * 0.8), z).unwrap() >= once - 1e-12);
        prop_assert!(fastener_ratio(pull, shear, Some(w), z * 0.8).unwrap() >= once - 1e-12);
    }
}
