use crate::shop::{NdsGravity, Screw};
use crate::strength::{
    LoadDuration, Mode, OneScrew, ScrewGrain, ScrewValues, Wrong, fastener_ratio,
};
use proptest::prelude::*;

use super::{INCH, POUND, near, seeded};

/// A number 10 of 3 in through 3/4 in of G 0.50 into the same.
fn joint() -> OneScrew {
    OneScrew {
        screw: Screw::new(10.0).unwrap(),
        length: 3.0 * INCH,
        thickness: 0.75 * INCH,
        near: NdsGravity(0.50),
        gap: 0.0,
        far: NdsGravity(0.50),
        grain: ScrewGrain::Side,
        duration: LoadDuration::TenYears,
    }
}

/// NDS eq. 12.2-2 and 12.3.1 as worked out elsewhere: 135.375 lb for each inch of thread, here 2 in;
/// 106.55 lb across, mode IIIs; load duration 0.9 (table 2.3.2); end grain 0.67 (12.5.2.2).
#[test]
fn values_of_one_screw() {
    let found = joint().values().unwrap();
    near(found.penetration, 2.25 * INCH, 1e-9);
    near(found.withdrawal.unwrap() / POUND, 2.0 * 135.375, 1e-6);
    near(found.lateral / POUND, 106.55, 0.006);
    assert_eq!(found.mode, Mode::IIIs);
    let stays = OneScrew { duration: LoadDuration::Permanent, ..joint() }.values().unwrap();
    near(stays.lateral / POUND, 0.9 * 106.55, 0.006);
    near(stays.pull().unwrap(), 0.9 * found.pull().unwrap(), 1e-9);
    let end = OneScrew { grain: ScrewGrain::End, ..joint() }.values().unwrap();
    near(end.lateral / POUND, 0.67 * 106.55, 0.006);
    assert_eq!(end.pull(), None);
}

/// A 2 in screw has 1 1/3 in of thread, of which 1 1/4 in are in the far piece.
#[test]
fn only_the_thread_in_the_far_piece_holds() {
    let found = OneScrew { length: 2.0 * INCH, ..joint() }.values().unwrap();
    near(found.withdrawal.unwrap() / POUND, 1.25 * 135.375, 1e-6);
}

/// NDS eq. 12.2-6a by hand: 690 π D_H G² t with a head of 0.38 in and, under its cone of
/// 0.19 / 2 / tan 41°, 0.6407 in of wood: 131.9 lb; less than the thread holds, so it counts.
#[test]
fn the_head_may_give_first() {
    let found = joint().values().unwrap();
    let pounds = 690.0 * std::f64::consts::PI * 0.38 * 0.25 * 0.640_715;
    near(found.pull_through / POUND, pounds, 0.001);
    assert_eq!(found.pull(), Some(found.pull_through));
}

#[test]
fn a_screw_too_short_counts_for_nothing() {
    let short = OneScrew { length: 1.5 * INCH, ..joint() };
    assert!(matches!(short.values(), Err(Wrong::TooShallow { .. })));
    let through_wallboard = OneScrew { length: 2.25 * INCH, gap: 0.5 * INCH, ..joint() };
    assert!(matches!(through_wallboard.values(), Err(Wrong::TooShallow { .. })));
    let thin = OneScrew { thickness: 2.0, ..joint() };
    assert!(matches!(thin.values(), Err(Wrong::NotPositive { .. })));
}

proptest! {
    #![proptest_config(seeded(46))]

    /// Through the whole joint: shorter screws, thinner near pieces of the same screw's depth,
    /// lighter woods, end grain and wallboard never raise what it bears.
    #[test]
    fn less_never_bears_more(
        number in prop::sample::select(vec![6.0, 8.0, 10.0, 12.0]),
        depth in 40.0..70.0, thickness in 12.0..30.0, (near, far) in (0.36..0.7, 0.36..0.7),
        less in 0.8..1.0
    ) {
        let at = |thickness: f64, depth: f64| OneScrew {
            screw: Screw::new(number).unwrap(),
            length: thickness + depth,
            thickness,
            near: NdsGravity(near),
            far: NdsGravity(far),
            ..joint()
        };
        let all = at(thickness, depth);
        let takes = |values: ScrewValues| fastener_ratio(60.0, 80.0, values.pull(), values.lateral).unwrap();
        let best = takes(all.values().unwrap());
        let weaker = [
            at(thickness, depth * less),
            at(thickness * less, depth),
            OneScrew { near: NdsGravity(near * less), ..all },
            OneScrew { far: NdsGravity(far * less), ..all },
            OneScrew { grain: ScrewGrain::End, ..all },
            OneScrew { gap: 5.0, length: all.length + 5.0, ..all },
            OneScrew { duration: LoadDuration::Permanent, ..all },
        ];
        for weaker in weaker {
            let thread_gained = weaker.screw.thread(weaker.length) > all.screw.thread(all.length);
            let worse = takes(weaker.values().unwrap()) >= best * (1.0 - 1e-9);
            prop_assert!(worse || thread_gained, "{weaker:?}");
        }
    }
}
