use crate::shop::NdsGravity;
use crate::strength::pull_through;

use super::{INCH, POUND, near};

/// NDS table 12.2F, p. 82 (the last may be worked out rather than printed).
#[test]
fn printed_values_of_the_nds() {
    let rows = [
        (0.50, 0.234, 0.3125, 40.0),
        (0.50, 0.312, 1.0, 132.0),
        (0.42, 0.500, 1.5, 239.0),
        (0.50, 0.312, 0.75, 127.0),
    ];
    for (gravity, head, thickness, pounds) in rows {
        let value = pull_through(NdsGravity(gravity), head * INCH, thickness * INCH).unwrap();
        near(value / POUND, pounds, 0.51);
    }
}

#[test]
fn thinner_wood_holds_a_head_less_until_it_is_thick_enough() {
    let value = |thickness| pull_through(NdsGravity(0.42), 8.0, thickness).unwrap();
    assert!(value(9.0) < value(19.0));
    assert_eq!(value(20.0), value(40.0));
    assert!(pull_through(NdsGravity(0.42), 8.0, 0.0).is_err());
}
