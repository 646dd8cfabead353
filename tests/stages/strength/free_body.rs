//! A holder on its cleats, against two other solutions: formulas by hand for the cases that have
//! one, and for all others a linear system of every three contacts, solved with `nalgebra` (crates
//! .io) about another point, of which those without a pulling contact are kept.

use crate::strength::{Contacts, Hook, Load, Unrest, farthest, rest};
use nalgebra::{Matrix3, Vector3};
use proptest::prelude::*;

use super::{near, seeded};

const HOOK: Hook = Hook { low: 150.0, top: 188.0, thickness: 19.0, bevel: 45.0 };

fn weight(z: f64, down: f64) -> Load {
    Load { y: 100.0, z, down, out: 0.0 }
}

/// A contact's place and the direction it pushes in, as (z, y).
struct Contact {
    at: [f64; 2],
    way: [f64; 2],
}

fn contacts(hook: Hook, bearing: f64) -> [Contact; 5] {
    let (sin, cos) = hook.bevel.to_radians().sin_cos();
    let rise = hook.thickness * sin / cos;
    let (square, out) = ([-sin, cos], [1.0, 0.0]);
    [
        Contact { at: [0.0, hook.low], way: square },
        Contact { at: [hook.thickness, hook.low + rise], way: square },
        Contact { at: [0.0, hook.low], way: out },
        Contact { at: [0.0, hook.top], way: out },
        Contact { at: [0.0, bearing], way: out },
    ]
}

/// Force and moment about z = 70, y = -30, a point of no meaning.
fn effect(at: [f64; 2], force: [f64; 2]) -> Vector3<f64> {
    let moment = (at[0] - 70.0) * force[1] - (at[1] + 30.0) * force[0];
    Vector3::new(force[0], force[1], moment)
}

/// Every set of three contacts that holds the loads without one that pulls.
fn solutions(hook: Hook, bearing: f64, loads: &[Load]) -> Vec<[f64; 5]> {
    let all = contacts(hook, bearing);
    let asked: Vector3<f64> = loads
        .iter()
        .map(|l| effect([l.z, l.y], [l.out, -l.down]))
        .fold(Vector3::zeros(), |a, b| a - b);
    let mut found = Vec::new();
    for a in 0..5 {
        for b in a + 1..5 {
            for c in b + 1..5 {
                let columns = [a, b, c].map(|i| effect(all[i].at, all[i].way));
                let Some(pushes) = Matrix3::from_columns(&columns).lu().solve(&asked) else {
                    continue;
                };
                if pushes.iter().all(|push| push.is_finite() && *push >= -1e-9) {
                    let mut set = [0.0; 5];
                    for (place, push) in [a, b, c].into_iter().zip(pushes.iter()) {
                        set[place] = *push;
                    }
                    found.push(set);
                }
            }
        }
    }
    found
}

fn listed(c: &Contacts) -> [f64; 5] {
    [c.bevel_inner, c.bevel_outer, c.hook_low, c.hook_top, c.bearing]
}

/// By hand: all weight on the bevel, W / cos b square to it and W tan b toward the wall; the most
/// the spacer strip can be pressed is (M + (top - low) W tan b) / (top - bearing).
#[test]
fn a_holder_by_hand() {
    let bearing = 20.0;
    for degrees in [15.0_f64, 30.0, 45.0, 60.0] {
        let hook = Hook { bevel: degrees, ..HOOK };
        let tan = degrees.to_radians().tan();
        let found = rest(hook, bearing, 0.0, &[weight(30.0, 100.0)]).unwrap();
        near(found.thrust, 100.0 / degrees.to_radians().cos(), 1e-9);
        near(found.wall_pull(), 100.0 * tan, 1e-9);
        let most = (100.0 * 30.0 + 38.0 * 100.0 * tan) / 168.0;
        near(found.bearing(), most.min(100.0 * tan), 1e-9);
        let outer = 19.0 / degrees.to_radians().cos().powi(2);
        near(
            farthest(hook, bearing, 0.0, &[weight(30.0, 100.0)]).unwrap(),
            outer + 130.0 * tan,
            1e-9,
        );
        near(-found.most(|c| -c.bearing), ((30.0 - outer) * 100.0 / 130.0).max(0.0), 1e-9);
    }
}

/// A steeper saw tilt draws the hook in harder: what falls off a 15 degree bevel stays on one of 45.
#[test]
fn a_flat_bevel_lets_go_sooner() {
    let hook = Hook { bevel: 15.0, ..HOOK };
    let out = [weight(90.0, 60.0)];
    assert!(rest(HOOK, 20.0, 0.0, &out).is_ok());
    let Err(Unrest::TurnsOff { reach, most }) = rest(hook, 20.0, 0.0, &out) else {
        panic!("stays")
    };
    near(reach, 90.0, 1e-9);
    let tan = 15.0_f64.to_radians().tan();
    near(most, 19.0 * (1.0 + tan * tan) + 130.0 * tan, 1e-9);
}

/// A pull outward of more than W tan b lifts the hook, wherever it acts.
#[test]
fn a_pull_outward_lifts_the_hook() {
    let pull = |out| [weight(30.0, 50.0), Load { y: 150.0, z: 60.0, down: 0.0, out }];
    assert!(rest(HOOK, 20.0, 0.0, &pull(49.0)).is_ok());
    let Err(Unrest::PulledOff { out, most }) = rest(HOOK, 20.0, 0.0, &pull(51.0)) else {
        panic!("stays")
    };
    near(out, 51.0, 1e-9);
    near(most, 50.0, 1e-9);
}

/// By hand, the holder's weight on the bevel's outer edge: the wall cleat turns about its foot 40
/// below, its screws 20 above that: (W t + W tan b (40 + t tan b)) / 20.
#[test]
fn the_wall_cleat_is_pried_from_the_wall() {
    let found = rest(HOOK, 20.0, 0.0, &[weight(60.0, 100.0)]).unwrap();
    near(found.wall_screws(110.0, 130.0).unwrap(), (1900.0 + 100.0 * 59.0) / 20.0, 1e-9);
    // Screws high up are drawn no less than the whole pull.
    assert!(found.wall_screws(-5000.0, 140.0).unwrap() >= found.wall_pull());
    assert!(found.wall_screws(130.0, 130.0).is_err());
}

/// By hand, the thrust at the bevel's inner edge and the wall pushing at the hook's upper edge and
/// the bearing only, which balances at B = (100 65 + 38 100) / 168: the cleat, 38 high, turns about
/// its upper edge on the holder's back, its screws 10 below that. With the wall pushing at the
/// lower edge instead of the upper (B = L = 50) they would be drawn less.
#[test]
fn the_holder_cleat_is_pried_from_the_holder() {
    let found = rest(HOOK, 20.0, 0.0, &[weight(65.0, 100.0)]).unwrap();
    near(found.bearing(), (6500.0 + 3800.0) / 168.0, 1e-9);
    near(found.hook_screws(178.0).unwrap(), 100.0 * (19.0 + 38.0) / 10.0, 1e-9);
    // Screws far below the edge are drawn no less than the whole pull.
    near(found.hook_screws(-5000.0).unwrap(), found.pull(), 1e-9);
    assert!(found.hook_screws(188.0).is_err());
}

/// With no spacer strip only the bevel's own depth holds: t / cos² b.
#[test]
fn a_hook_alone_holds_little() {
    near(farthest(HOOK, HOOK.low, 0.0, &[weight(30.0, 100.0)]).unwrap(), 38.0, 1e-9);
    assert!(rest(HOOK, HOOK.low, 0.0, &[weight(39.0, 100.0)]).is_err());
}

/// By hand: 100 N at 45 degrees are 141.4 N square to a bevel 26.87 mm long, on half of it.
#[test]
fn the_bevel_is_pressed() {
    let found = rest(HOOK, 20.0, 0.0, &[weight(30.0, 100.0)]).unwrap();
    near(found.bevel_stress(300.0).unwrap(), 141.421_356 / (300.0 * 26.870_058 / 2.0), 1e-7);
    assert!(found.bevel_stress(0.0).is_err());
}

#[test]
fn figures_beyond_all_numbers_are_refused() {
    let hook = Hook { bevel: 89.999_999_999, ..HOOK };
    assert!(rest(hook, 20.0, 0.0, &[weight(30.0, 1e300)]).is_err());
    assert!(rest(HOOK, -1e308, 0.0, &[weight(30.0, 1e300)]).is_err());
}

#[test]
fn nonsense_is_refused() {
    let load = [weight(30.0, 50.0)];
    let hooks = [
        Hook { top: 150.0, ..HOOK },
        Hook { thickness: 0.0, ..HOOK },
        Hook { bevel: 0.0, ..HOOK },
        Hook { bevel: 90.0, ..HOOK },
        Hook { low: f64::NAN, ..HOOK },
    ];
    for hook in hooks {
        assert!(rest(hook, 20.0, 0.0, &load).is_err(), "{hook:?}");
    }
    assert!(matches!(rest(HOOK, 160.0, 0.0, &load), Err(Unrest::WrongSide { .. })));
    assert!(rest(HOOK, 20.0, 0.0, &[]).is_err());
    assert!(rest(HOOK, 20.0, 0.0, &[weight(f64::NAN, 50.0)]).is_err());
    assert!(rest(HOOK, 20.0, 0.0, &[weight(30.0, f64::INFINITY)]).is_err());
}

fn holders() -> impl Strategy<Value = (Hook, f64, Vec<Load>)> {
    let hook = (0.0..400.0, 25.0..90.0, 9.0..30.0, 15.0..60.0).prop_map(
        |(low, width, thickness, bevel)| Hook { low, top: low + width, thickness, bevel },
    );
    let load = (-50.0..300.0, -10.0..250.0, 0.5..120.0, prop_oneof![Just(0.0), 0.0..20.0])
        .prop_map(|(y, z, down, out)| Load { y, z, down, out });
    (hook, 1.0..350.0, prop::collection::vec(load, 1..5))
        .prop_map(|(hook, arm, loads)| (hook, hook.low - arm, loads))
}

proptest! {
    #![proptest_config(seeded(45))]

    /// The same range for every contact as the linear systems, and a holder comes off just when
    /// no system has a solution.
    #[test]
    fn the_linear_systems_say_the_same((hook, bearing, loads) in holders()) {
        let other = solutions(hook, bearing, &loads);
        match rest(hook, bearing, 0.0, &loads) {
            Ok(found) => {
                prop_assert!(!other.is_empty());
                for i in 0..5 {
                    let of = other.iter().map(|set| set[i]);
                    let (least, most) = of.fold((f64::INFINITY, 0.0_f64), |(l, m), x| (l.min(x), m.max(x)));
                    let scale = 1e-6 * found.thrust;
                    prop_assert!((found.most(|c| listed(c)[i]) - most).abs() < scale, "{i}");
                    prop_assert!((-found.most(|c| -listed(c)[i]) - least).abs() < scale, "{i}");
                }
            }
            Err(Unrest::Wrong(_) | Unrest::WrongSide { .. }) => prop_assert!(false, "refused"),
            Err(_) => prop_assert!(other.is_empty(), "{other:?}"),
        }
    }

    /// Prying, from the places and ways of the linear systems: what turns each cleat about its edge
    /// is met by its screws.
    #[test]
    fn screws_meet_what_turns_the_cleats(
        (hook, bearing, loads) in holders(), (below, up) in (5.0..80.0, 0.1..0.9)
    ) {
        let Ok(found) = rest(hook, bearing, 0.0, &loads) else { return Ok(()) };
        let all = contacts(hook, bearing);
        let turn = |about: [f64; 2], contact: &Contact, force: f64| {
            force * ((contact.at[0] - about[0]) * contact.way[1] - (contact.at[1] - about[1]) * contact.way[0])
        };
        let (foot, lever) = (hook.low - below, below * up);
        let edge = [hook.thickness, hook.top];
        let drop = (hook.top - hook.low) * up;
        let (mut wall, mut own) = (found.wall_pull(), found.pull());
        for set in solutions(hook, bearing, &loads) {
            // The wall cleat feels the opposite of what the holder feels.
            let turning: f64 = (0..2).map(|i| turn([0.0, foot], &all[i], -set[i])).sum();
            wall = wall.max(-turning / lever);
            let turning: f64 = (0..4).map(|i| turn(edge, &all[i], set[i])).sum();
            own = own.max(-turning / drop);
        }
        prop_assert!((found.wall_screws(foot, foot + lever).unwrap() / wall - 1.0).abs() < 1e-6);
        prop_assert!((found.hook_screws(hook.top - drop).unwrap() / own - 1.0).abs() < 1e-6);
    }

    /// Twice the loads: twice every push. A longer lever and a load further in: never more.
    #[test]
    fn pushes_follow_the_loads((hook, bearing, loads) in holders()) {
        let scaled = |times: f64, inward: f64| -> Vec<Load> {
            let by = |l: &Load| Load { z: l.z.max(0.0) * inward, down: l.down * times, out: 0.0, y: l.y };
            loads.iter().map(by).collect()
        };
        let Ok(once) = rest(hook, bearing, 0.0, &scaled(1.0, 1.0)) else { return Ok(()) };
        let twice = rest(hook, bearing, 0.0, &scaled(2.0, 1.0)).unwrap();
        prop_assert!((twice.bearing() - 2.0 * once.bearing()).abs() < 1e-6 * once.thrust);
        prop_assert!((twice.wall_pull() / once.wall_pull() - 2.0).abs() < 1e-9);
        let further_in = rest(hook, bearing, 0.0, &scaled(1.0, 0.8)).unwrap();
        prop_assert!(further_in.bearing() <= once.bearing() + 1e-6 * once.thrust);
        let taller = rest(hook, bearing - 40.0, 0.0, &scaled(1.0, 1.0)).unwrap();
        prop_assert!(taller.bearing() <= once.bearing() + 1e-6 * once.thrust);
    }
}

/// The pushes of a well-fitted cleat, by hand: with the thrust in the middle of the bevel the
/// spacer strip, 130 below, meets what of 100 N at 60 mm the middle does not.
#[test]
fn a_flush_cleat_by_hand() {
    let found = rest(HOOK, 20.0, 0.0, &[weight(60.0, 100.0)]).unwrap();
    let flush = found.flush();
    near(flush.bevel_inner, flush.bevel_outer, 1e-9);
    near(flush.bearing, (6000.0 - 100.0 * 19.0) / 130.0, 1e-9);
    near(flush.hook_low, 100.0 - flush.bearing, 1e-9);
    // Far out the bearing takes all the push, and the thrust moves to the room.
    let flush = rest(HOOK, 20.0, 0.0, &[weight(160.0, 100.0)]).unwrap().flush();
    near(flush.bearing, 100.0, 1e-9);
    let cos = 45.0_f64.to_radians().cos();
    near(flush.bevel_outer * 19.0 / cos, 16000.0 - 13000.0, 1e-6);
}

proptest! {
    #![proptest_config(seeded(46))]

    /// It is one of the balances: never more than the largest over all of them, nothing pulls,
    /// and forces and moments come to nothing.
    #[test]
    fn a_flush_cleat_is_at_rest(
        z in 1.0..200.0_f64, down in 1.0..900.0_f64, degrees in 15.0..60.0_f64, bearing in -300.0..140.0_f64,
    ) {
        let hook = Hook { bevel: degrees, ..HOOK };
        let Ok(found) = rest(hook, bearing, 0.0, &[weight(z, down)]) else { return Ok(()) };
        let c = found.flush();
        prop_assert!(listed(&c).iter().all(|push| *push >= -1e-9), "{c:?}");
        let (sin, cos) = degrees.to_radians().sin_cos();
        let thrust = c.bevel_inner + c.bevel_outer;
        prop_assert!((thrust * cos - down).abs() < 1e-6 * down);
        prop_assert!((c.hook_low + c.hook_top + c.bearing - thrust * sin).abs() < 1e-6 * down);
        let turning = c.bevel_outer * hook.thickness / cos + c.bearing * (hook.low - bearing)
            - c.hook_top * (hook.top - hook.low);
        prop_assert!((turning - down * z).abs() < 1e-6 * down * z.max(1.0), "{c:?}");
        let (foot, screws) = (hook.low - 30.0, hook.low - 10.0);
        prop_assert!(
            found.wall_screws_at(&c, foot, screws).unwrap()
                <= found.wall_screws(foot, screws).unwrap() * (1.0 + 1e-9)
        );
        let own = hook.top - 12.0;
        prop_assert!(
            found.hook_screws_at(&c, own).unwrap() <= found.hook_screws(own).unwrap() * (1.0 + 1e-9)
        );
    }
}

/// What friction adds, by hand: 45°, 20 mm thick, the spacer strip 100 mm below. With 0.12 (6.843°, computed from
/// the coefficient: handbook table friction.slip_angle) the thrust leans 51.843° from plumb.
#[test]
fn friction_holds_further_out_as_by_hand() {
    let hook = Hook { low: 120.0, top: 180.0, thickness: 20.0, bevel: 45.0 };
    let load = [weight(100.0, 50.0)];
    let far = |friction| farthest(hook, 20.0, friction, &load).unwrap();
    near(far(0.0), 20.0 * 2.0 + 100.0, 1e-9);
    let tangent = 51.8428_f64.to_radians().tan();
    near(far(0.12), 20.0 * (1.0 + tangent) + 100.0 * tangent, 2e-3);
    assert!(far(0.4) > far(0.12) && far(1.0).is_infinite());
    // Further out than a smooth cleat holds: at rest by friction, or not at all.
    let out = [weight(far(0.12) - 1.0, 50.0)];
    assert!(rest(hook, 20.0, 0.0, &out).is_err() && rest(hook, 20.0, 0.11, &out).is_err());
    let found = rest(hook, 20.0, 0.12, &out).unwrap();
    // Sums of forces and moments, with the friction that was called on.
    let at = found.flush();
    let lean = (50.0 / found.thrust).acos();
    assert!(lean.to_degrees() > 45.0 && (lean - 45_f64.to_radians()).tan() < 0.12);
    near(at.bearing + at.hook_low + at.hook_top, found.thrust * lean.sin(), 1e-6);
    near(at.bevel_inner + at.bevel_outer, found.thrust, 1e-9);
    // The thrust at the bevel's outer edge: 20 mm out and 20 mm up.
    let turned = at.bevel_outer * (lean.cos() * 20.0 + lean.sin() * 20.0) + at.bearing * 100.0;
    near(turned, 50.0 * (far(0.12) - 1.0), 1e-3);
}

/// A section across each cleat at the height of its screws, by statics: what pushes on it beyond the screws, turned
/// about the section's middle, over every set of pushes that another solution finds in balance.
#[test]
fn cleats_are_bent_across_their_grain_by_what_lies_beyond_their_screws() {
    for (z, bearing, lower, upper) in
        [(40.0, 20.0, 140.0, 180.0), (120.0, 20.0, 128.0, 172.0), (25.0, 140.0, 145.0, 185.0)]
    {
        let loads = [weight(z, 200.0)];
        let at = rest(HOOK, bearing, 0.0, &loads).unwrap();
        let (places, found) = (contacts(HOOK, bearing), solutions(HOOK, bearing, &loads));
        let most = |height: f64, pushing: usize, sign: f64| {
            let turned = |set: &[f64; 5]| {
                let each = places.iter().zip(set).take(pushing).map(|(place, push)| {
                    let [out, up] = [place.at[0] - HOOK.thickness / 2.0, place.at[1] - height];
                    push * (out * place.way[1] - up * place.way[0])
                });
                sign * each.sum::<f64>()
            };
            found.iter().map(turned).fold(0.0, f64::max)
        };
        assert!(!found.is_empty());
        // The bevel and the wall push on the holder cleat, its bevel alone, the other way, on the wall cleat.
        near(at.hook_bending(upper), most(upper, 3, -1.0), 1e-6);
        near(at.wall_bending(lower), most(lower, 2, 1.0), 1e-6);
        assert!(at.hook_bending(upper) + at.wall_bending(lower) > 0.0);
    }
}
