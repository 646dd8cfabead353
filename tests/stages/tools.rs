//! Tools on their holders: solids by hand-worked figures and at random, and what each reading off a tool changes.

mod failures;
mod readings;

use proptest::prelude::*;

use crate::kernel::prism::Prism;

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} and {b}");
}

#[test]
fn blocks_share_what_the_lesser_side_of_their_overlap_is() {
    let one = Prism::block([0.0; 3], [10.0, 20.0, 30.0]).unwrap();
    let other = Prism::block([8.0, 5.0, 5.0], [18.0, 15.0, 15.0]).unwrap();
    near(one.shared(&other), 2.0);
    near(other.shared(&one), 2.0);
    near(one.shared(&other.moved([2.0, 0.0, 0.0])), 0.0);
    near(one.shared(&other.moved([30.0, 0.0, 0.0])), 0.0);
}

#[test]
fn a_rod_goes_into_a_block_as_deep_as_it_reaches_past_its_face() {
    let block = Prism::block([0.0; 3], [10.0; 3]).unwrap();
    // Along each axis, its middle 3 mm off a face, its radius 4 mm: 1 mm of it is inside.
    for axis in 0..3 {
        let [mut from, mut to] = [[5.0, 5.0, 5.0]; 2];
        (from[axis], to[axis]) = (-20.0, 20.0);
        let beside = (axis + 1) % 3;
        (from[beside], to[beside]) = (13.0, 13.0);
        let rod = Prism::rod(from, to, 8.0).unwrap();
        near(block.shared(&rod), 1.0);
        near(rod.shared(&block), 1.0);
    }
    assert_eq!(Prism::rod([0.0; 3], [1.0, 1.0, 0.0], 8.0), None);
    assert_eq!(Prism::rod([0.0; 3], [0.0, 0.0, 9.0], 0.0), None);
}

#[test]
fn a_block_that_leans_keeps_its_size_about_its_line() {
    let block = Prism::block([0.0, 0.0, 0.0], [10.0, 40.0, 30.0]).unwrap();
    let (low, high) = block.turned([0.0, 0.0], 90.0).bounds();
    // What lay out is up, what was up lies back.
    for (found, wanted) in low.into_iter().chain(high).zip([0.0, 0.0, -40.0, 10.0, 30.0, 0.0]) {
        near(found, wanted);
    }
    let corner = block.turned([0.0, 0.0], 30.0).bounds().1;
    near(corner[1], 40.0 * 30_f64.to_radians().cos() + 30.0 * 0.5);
}

/// Corners of a level block, whole millimeters.
fn corners() -> impl Strategy<Value = ([f64; 3], [f64; 3])> {
    let place = || prop::array::uniform3(-40..40_i32);
    let size = prop::array::uniform3(1..40_i32);
    (place(), size).prop_map(|(low, size)| {
        let low = low.map(f64::from);
        (low, std::array::from_fn(|axis| low[axis] + f64::from(size[axis])))
    })
}

proptest! {
    #[test]
    fn moved_apart_by_what_they_share_blocks_touch(
        (low, high) in corners(),
        (near, far) in corners(),
    ) {
        let (one, other) = (Prism::block(low, high).unwrap(), Prism::block(near, far).unwrap());
        let shared = one.shared(&other);
        let overlap = |axis: usize| (high[axis] - near[axis]).min(far[axis] - low[axis]);
        let least = (0..3).map(overlap).fold(f64::INFINITY, f64::min).max(0.0);
        prop_assert!((shared - least).abs() < 1e-9);
    }

    #[test]
    fn what_a_block_passes_is_the_block_around_both_its_places(
        (low, high) in corners(),
        axis in 0..3_usize,
        by in -50..50_i32,
    ) {
        let mut shift = [0.0; 3];
        shift[axis] = f64::from(by);
        let block = Prism::block(low, high).unwrap();
        let (least, most) = block.swept(shift).bounds();
        for i in 0..3 {
            prop_assert_eq!(least[i], low[i].min(low[i] + shift[i]));
            prop_assert_eq!(most[i], high[i].max(high[i] + shift[i]));
        }
        prop_assert!((block.swept(shift).shared(&block) - block.shared(&block)).abs() < 1e-9);
    }
}
