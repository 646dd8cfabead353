use crate::shop::{NdsGravity, Screw};
use crate::strength::{ScrewGrain, Wrong, nds_withdrawal};
use proptest::prelude::*;

use super::{INCH, POUND, near, seeded};

/// Pounds per inch of thread.
fn per_inch(gravity: f64, inches: f64) -> f64 {
    let value = nds_withdrawal(NdsGravity(gravity), ScrewGrain::Side, inches * INCH, INCH).unwrap();
    value.unwrap() / POUND
}

/// NDS table 12.2B, p. 78. Some cells are cut off rather than rounded: within 1.
#[test]
fn printed_values_of_the_nds() {
    let rows = [
        (10, 0.50, 135.0),
        (14, 0.50, 172.0),
        (8, 0.42, 82.0),
        (14, 0.42, 121.0),
        (14, 0.55, 208.0),
    ];
    for (number, gravity, printed) in rows {
        let shank = Screw::numbered(f64::from(number)).unwrap().shank() / INCH;
        near(per_inch(gravity, shank), printed, 1.0);
    }
}

/// NDS eq. 12.2-2, calculated outside the program and rounded.
#[test]
fn a_table_of_the_equation() {
    let inches = [0.138, 0.164, 0.190, 0.216, 0.242];
    let rows = [
        (0.73, [210.0, 249.0, 289.0, 328.0, 368.0]),
        (0.67, [177.0, 210.0, 243.0, 276.0, 310.0]),
        (0.55, [119.0, 141.0, 164.0, 186.0, 209.0]),
        (0.50, [98.0, 117.0, 135.0, 154.0, 172.0]),
        (0.43, [73.0, 86.0, 100.0, 114.0, 128.0]),
        (0.42, [69.0, 82.0, 96.0, 109.0, 122.0]),
        (0.36, [51.0, 61.0, 70.0, 80.0, 89.0]),
    ];
    for (gravity, values) in rows {
        for (inches, value) in inches.into_iter().zip(values) {
            near(per_inch(gravity, inches), value, 0.51);
        }
    }
}

/// An engineering reference page: number 10, G 0.45, 109 lb/in with the fraction dropped.
#[test]
fn a_worked_example() {
    assert_eq!(per_inch(0.45, 0.190).floor(), 109.0);
}

/// NDS 12.2.2.2: no withdrawal loads in end grain.
#[test]
fn end_grain_has_no_value() {
    assert_eq!(nds_withdrawal(NdsGravity(0.5), ScrewGrain::End, 4.0, 25.0), Ok(None));
}

#[test]
fn no_sizes_are_refused() {
    let wood = NdsGravity(0.5);
    let value = |shank, thread| nds_withdrawal(wood, ScrewGrain::Side, shank, thread);
    assert!(matches!(value(0.0, 20.0), Err(Wrong::NotPositive { .. })));
    assert!(matches!(value(f64::NAN, 20.0), Err(Wrong::NotPositive { .. })));
    assert!(matches!(value(4.0, -1.0), Err(Wrong::Negative { .. })));
    assert!(nds_withdrawal(NdsGravity(f64::INFINITY), ScrewGrain::Side, 4.0, 20.0).is_err());
}

proptest! {
    #![proptest_config(seeded(41))]

    /// Less thread, thinner screws and lighter woods never hold more.
    #[test]
    fn less_never_holds_more(
        (g, shank, thread) in (0.31..0.73, 2.8..6.2, 5.0..60.0), less in 0.1..1.0
    ) {
        let hold = |g, shank, thread| {
            nds_withdrawal(NdsGravity(g), ScrewGrain::Side, shank, thread).unwrap().unwrap()
        };
        let all: f64 = hold(g, shank, thread);
        for weaker in [hold(g * less, shank, thread), hold(g, shank * less, thread), hold(g, shank, thread * less)] {
            prop_assert!(weaker <= all);
        }
        prop_assert!((hold(g, shank, 2.0 * thread) / all - 2.0).abs() < 1e-9);
    }
}
