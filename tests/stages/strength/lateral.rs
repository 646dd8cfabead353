use crate::shop::{NdsGravity, Screw};
use crate::strength::{
    BearingWood, LASTING, LateralJoint, Mode, ScrewGrain, Wrong, Yield, dowel_bearing,
};
use proptest::prelude::*;

use super::{INCH, POUND, PSI, near, seeded};

/// A wood screw of full penetration, 10 D, with both pieces of one gravity.
fn screwed(number: u8, side_inches: f64, gravity: f64) -> Yield {
    let screw = Screw::numbered(f64::from(number)).unwrap();
    let wood = NdsGravity(gravity);
    let side = (side_inches * INCH, wood);
    let joint = LateralJoint::of_screw(screw, side, (10.0 * screw.shank(), wood), 0.0).unwrap();
    joint.yields().unwrap()
}

fn of(yields: &Yield, mode: Mode) -> f64 {
    yields.modes.iter().find(|(m, _)| *m == mode).unwrap().1
}

/// NDS table 12.3.3 and its footnote 2, psi to the nearest 50.
#[test]
fn dowel_bearing_strengths() {
    let rows = [(0.67, 7950), (0.55, 5550), (0.50, 4650), (0.43, 3500), (0.42, 3350), (0.36, 2550)];
    for (gravity, psi) in rows {
        near(dowel_bearing(NdsGravity(gravity)).unwrap() / PSI, f64::from(psi), 1e-6);
    }
}

/// Wood Handbook eq. (8-3): 114.5 G^1.84 MPa, the same equation in metric, here without the steps
/// of 50 psi.
#[test]
fn dowel_bearing_agrees_with_the_wood_handbook() {
    near(114.5 * 0.5_f64.powf(1.84), 31.982, 0.001);
    near(dowel_bearing(NdsGravity(0.50)).unwrap(), 31.982, 25.0 * PSI);
}

/// NDS table 12L, p. 109: side member 1/2 in, G 0.50, lbf.
#[test]
fn printed_values_for_screws() {
    near(screwed(8, 0.5, 0.50).value / POUND, 73.0, 1.0);
    near(screwed(10, 0.5, 0.50).value / POUND, 90.0, 1.0);
}

/// NDS table 12N, p. 111, common nails; bending yield from appendix table I1. The same equations,
/// with other diameters: side members of 3/4, 1 and 1 1/2 in.
#[test]
fn printed_values_for_nails() {
    let rows = [
        (0.113, 0.75, 0.50, 72.0),
        (0.131, 0.75, 0.50, 90.0),
        (0.148, 0.75, 0.50, 105.0),
        (0.162, 0.75, 0.50, 121.0),
        (0.113, 1.0, 0.50, 72.0),
        (0.131, 1.0, 0.50, 97.0),
        (0.148, 1.0, 0.50, 118.0),
        (0.162, 1.0, 0.50, 141.0),
        (0.162, 1.5, 0.42, 120.0),
    ];
    for (inches, side, gravity, pounds) in rows {
        let bearing = dowel_bearing(NdsGravity(gravity)).unwrap();
        let nail = LateralJoint {
            root: inches * INCH,
            bending_yield: if inches <= 0.142 { 100e3 } else { 90e3 } * PSI,
            side: BearingWood { length: side * INCH, bearing },
            main: BearingWood { length: 9.0 * inches * INCH, bearing },
            gap: 0.0,
        };
        near(nail.yields().unwrap().value / POUND, pounds, 1.0);
    }
}

/// AWC Structural Wood Design Solved Example Problems, single shear nail, Douglas fir-larch: 105.10
/// lb, 467.488 N; there the bearing strength is not rounded.
#[test]
fn a_worked_example_of_the_awc() {
    let bearing = 16_600.0 * 0.5_f64.powf(1.84) * PSI;
    let nail = LateralJoint {
        root: 0.148 * INCH,
        bending_yield: 90e3 * PSI,
        side: BearingWood { length: 0.75 * INCH, bearing },
        main: BearingWood { length: (3.0 - 0.75) * INCH, bearing },
        gap: 0.0,
    };
    let found = nail.yields().unwrap();
    near(found.value, 467.488, 0.01);
    assert_eq!(found.mode, Mode::IIIs);
}

/// A worked calculation after NDS-2024 table 12.3.1A, number 10 screw, plywood on Douglas
/// fir-larch: all six modes in N, for both dowel bearing strengths of plywood (NDS-2024 table
/// 12.3.3B).
#[test]
fn six_modes_of_a_worked_example() {
    let published = [
        (3350.0, [2274.04, 740.00, 713.98, 767.25, 386.75, 476.05]),
        (4650.0, [2274.04, 1027.16, 765.52, 816.39, 463.41, 520.19]),
    ];
    for (side, newtons) in published {
        let joint = LateralJoint {
            root: 0.152 * INCH,
            bending_yield: 80e3 * PSI,
            side: BearingWood { length: 18.25625, bearing: side * PSI },
            main: BearingWood { length: 40.41775, bearing: 4650.0 * PSI },
            gap: 0.0,
        };
        let found = joint.yields().unwrap();
        for ((_, value), newtons) in found.modes.iter().zip(newtons) {
            near(*value, newtons, 0.01);
        }
        assert_eq!(found.mode, Mode::IIIs);
    }
}

/// NDS 12.3.1, calculated outside the program: wood screws, side member 3/4 in, all six modes in lbf.
#[test]
fn all_modes_of_three_joints() {
    let order = [Mode::Im, Mode::Is, Mode::II, Mode::IIIm, Mode::IIIs, Mode::IV];
    let rows = [
        (8, 0.50, [408.68, 207.66, 139.09, 146.42, 88.34, 92.13]),
        (10, 0.50, [549.38, 240.95, 184.57, 195.37, 106.55, 116.94]),
        (8, 0.42, [294.43, 149.61, 100.20, 108.27, 68.56, 78.20]),
    ];
    for (number, gravity, pounds) in rows {
        let found = screwed(number, 0.75, gravity);
        for (mode, pounds) in order.into_iter().zip(pounds) {
            near(of(&found, mode) / POUND, pounds, 0.006);
        }
    }
}

/// NDS 12.3.1, calculated outside the program: wood screws, side member 3/4 in, value in lbf and mode.
#[test]
fn a_table_of_three_quarter_side_members() {
    use Mode::{IIIs, IV};
    let numbers = [6, 8, 10, 12, 14];
    let rows = [
        (0.67, [94.5, 120.5, 152.9, 191.7, 202.8], [IV, IV, IV, IIIs, IIIs]),
        (0.55, [78.9, 100.7, 122.4, 144.4, 153.9], [IV, IV, IIIs, IIIs, IIIs]),
        (0.50, [72.3, 88.3, 106.6, 126.5, 135.3], [IV, IIIs, IIIs, IIIs, IIIs]),
        (0.43, [58.5, 70.9, 86.1, 103.3, 111.2], [IIIs; 5]),
        (0.42, [56.5, 68.6, 83.4, 100.2, 108.0], [IIIs; 5]),
        (0.36, [46.0, 56.2, 68.9, 83.6, 90.6], [IIIs; 5]),
    ];
    for (gravity, pounds, modes) in rows {
        for ((number, pounds), mode) in numbers.into_iter().zip(pounds).zip(modes) {
            let found = screwed(number, 0.75, gravity);
            near(found.value / POUND, pounds, 0.06);
            assert_eq!(found.mode, mode, "number {number}, G {gravity}");
        }
    }
}

/// NDS table 12.3.1A as printed, with k1, k2 and k3: another form of the equations, for no gap.
fn nds_form(joint: &LateralJoint) -> [f64; 6] {
    let (d, fyb) = (joint.root, joint.bending_yield);
    let (lm, ls) = (joint.main.length, joint.side.length);
    let (fem, fes) = (joint.main.bearing, joint.side.bearing);
    let (re, rt) = (fem / fes, lm / ls);
    let k1 = ((re + 2.0 * re.powi(2) * (1.0 + rt + rt.powi(2)) + rt.powi(2) * re.powi(3)).sqrt()
        - re * (1.0 + rt))
        / (1.0 + re);
    let bend = |length: f64, share: f64| 2.0 * fyb * share * d * d / (3.0 * fem * length * length);
    let k2 = -1.0 + (2.0 * (1.0 + re) + bend(lm, 1.0 + 2.0 * re)).sqrt();
    let k3 = -1.0 + (2.0 * (1.0 + re) / re + bend(ls, 2.0 + re)).sqrt();
    let rd = if d / INCH <= 0.17 { 2.2 } else { 10.0 * d / INCH + 0.5 };
    [
        d * lm * fem,
        d * ls * fes,
        k1 * d * ls * fes,
        k2 * d * lm * fem / (1.0 + 2.0 * re),
        k3 * d * ls * fem / (2.0 + re),
        d * d * (2.0 * fem * fyb / (3.0 * (1.0 + re))).sqrt(),
    ]
    .map(|load| load / rd)
}

/// Each mode governs somewhere: stiff screws in thin pieces, slender ones in thick.
#[test]
fn each_mode_governs_somewhere() {
    let joint = |root: f64, side: (f64, f64), main: (f64, f64)| LateralJoint {
        root,
        bending_yield: 620.0,
        side: BearingWood { length: side.0, bearing: side.1 },
        main: BearingWood { length: main.0, bearing: main.1 },
        gap: 0.0,
    };
    let cases = [
        (Mode::Im, joint(5.0, (60.0, 50.0), (5.0, 15.0))),
        (Mode::Is, joint(5.0, (5.0, 15.0), (60.0, 50.0))),
        (Mode::II, joint(5.0, (10.0, 32.0), (10.0, 32.0))),
        (Mode::IIIm, joint(4.0, (60.0, 32.0), (15.0, 32.0))),
        (Mode::IIIs, joint(4.0, (15.0, 32.0), (60.0, 32.0))),
        (Mode::IV, joint(3.0, (40.0, 32.0), (40.0, 32.0))),
    ];
    for (mode, joint) in cases {
        let found = joint.yields().unwrap();
        assert_eq!(found.mode, mode);
        let least = nds_form(&joint).into_iter().fold(f64::INFINITY, f64::min);
        near(found.value / least, 1.0, 1e-9);
    }
}

/// Statics of a screw that bends in both pieces across a gap: from hinge to hinge, the hinges'
/// moments carry the load over the gap and through the crushed wood on both sides.
#[test]
fn a_gap_makes_the_arm_longer() {
    let screw = Screw::numbered(10.0).unwrap();
    let (stud, ply) = (NdsGravity(0.42), NdsGravity(0.42));
    let joint = LateralJoint::of_screw(screw, (19.0, ply), (32.0, stud), 12.7).unwrap();
    let load = of(&joint.yields().unwrap(), Mode::IV) * 2.2;
    let hinge = joint.bending_yield * joint.root.powi(3) / 6.0;
    let crushed = |layer: BearingWood| load / (layer.bearing * joint.root);
    let (near_side, far) = (crushed(joint.side), crushed(joint.main));
    near(load * (near_side / 2.0 + 12.7 + far / 2.0) / (2.0 * hinge), 1.0, 1e-9);
    let tight = LateralJoint { gap: 0.0, ..joint };
    let ratio = joint.yields().unwrap().value / tight.yields().unwrap().value;
    assert!((0.3..0.7).contains(&ratio), "{ratio}");
}

/// Sum and moment, about a place `off` before its surface, of what a piece pushes on a screw that
/// turns stiffly in it, when the sum is `load`: one way up to a depth, the other way beyond it.
fn turned(layer: BearingWood, root: f64, load: f64, off: f64) -> f64 {
    let push = layer.bearing * root;
    let depth = (load / push + layer.length) / 2.0;
    let beyond = layer.length - depth;
    push * depth * (off + depth / 2.0) - push * beyond * (off + depth + beyond / 2.0)
}

/// Statics of the modes in which the screw turns, across a gap: in II moments balance between the
/// two pieces; in IIIm and IIIs the moment at the one hinge is the screw's own.
#[test]
fn screws_that_turn_across_a_gap_are_in_balance() {
    let joint = LateralJoint {
        root: 3.9,
        bending_yield: 550.0,
        side: BearingWood { length: 19.0, bearing: 23.0 },
        main: BearingWood { length: 28.0, bearing: 32.0 },
        gap: 12.7,
    };
    let found = joint.yields().unwrap();
    let load = |mode| of(&found, mode) * 2.2;
    let hinge = joint.bending_yield * joint.root.powi(3) / 6.0;
    let (side, main, root) = (joint.side, joint.main, joint.root);

    let p = load(Mode::II);
    near(turned(side, root, p, 0.0) + turned(main, root, p, joint.gap), 0.0, 1e-6 * hinge);
    for (mode, bends, turns) in [(Mode::IIIm, side, main), (Mode::IIIs, main, side)] {
        let p = load(mode);
        let crushed = p / (bends.bearing * root);
        let moment = turned(turns, root, p, joint.gap + crushed) - p * crushed / 2.0;
        near(moment.abs() / hinge, 1.0, 1e-9);
    }
}

/// NDS 12.1.5.6: at least 6 D.
#[test]
fn penetration_rules() {
    let eight = Screw::numbered(8.0).unwrap();
    let wood = NdsGravity(0.5);
    let joint = |p| LateralJoint::of_screw(eight, (19.0, wood), (p, wood), 0.0);
    assert!(matches!(joint(5.9 * eight.shank()), Err(Wrong::TooShallow { .. })));
    assert!(joint(6.0 * eight.shank()).is_ok());
}

/// NDS table 2.3.2, permanent; 12.5.2.2, the end grain factor.
#[test]
fn factors_are_those_of_the_standard() {
    assert_eq!(LASTING, 0.9);
    assert_eq!([ScrewGrain::Side, ScrewGrain::End].map(ScrewGrain::lateral), [1.0, 0.67]);
}

fn joints() -> impl Strategy<Value = LateralJoint> {
    let layer =
        || (6.0..60.0, 10.0..60.0).prop_map(|(length, bearing)| BearingWood { length, bearing });
    (2.5..5.0, 480.0..690.0, layer(), layer(), 0.0..20.0).prop_map(
        |(root, bending_yield, side, main, gap)| LateralJoint {
            root,
            bending_yield,
            side,
            main,
            gap,
        },
    )
}

proptest! {
    #![proptest_config(seeded(43))]

    /// The general equations with no gap are those of the NDS in all modes.
    #[test]
    fn without_a_gap_the_two_forms_agree(joint in joints()) {
        let joint = LateralJoint { gap: 0.0, ..joint };
        let found = joint.yields().unwrap();
        for ((_, value), other) in found.modes.iter().zip(nds_form(&joint)) {
            prop_assert!((value / other - 1.0).abs() < 1e-9, "{value} {other}");
        }
    }

    /// Thinner pieces, softer woods, thinner screws and wider gaps never carry more.
    #[test]
    fn less_never_carries_more(joint in joints(), less in 0.1..1.0) {
        let value = |joint: LateralJoint| joint.yields().unwrap().value;
        let thin = |layer: BearingWood| BearingWood { length: layer.length * less, ..layer };
        let soft = |layer: BearingWood| BearingWood { bearing: layer.bearing * less, ..layer };
        let all = value(joint) * (1.0 + 1e-9);
        let weaker = [
            LateralJoint { side: thin(joint.side), ..joint },
            LateralJoint { main: thin(joint.main), ..joint },
            LateralJoint { side: soft(joint.side), ..joint },
            LateralJoint { main: soft(joint.main), ..joint },
            LateralJoint { bending_yield: joint.bending_yield * less, ..joint },
            LateralJoint { gap: joint.gap + 10.0 * less, ..joint },
        ];
        for weaker in weaker {
            prop_assert!(value(weaker) <= all, "{weaker:?}");
        }
    }
}
