//! A second solver of a holder's balance, in space: which pushes hold it is asked of a linear program (`good_lp` with
//! `microlp`, crates.io), for holders of all styles under random loads, whole and in part.

use good_lp::{
    Expression, Solution, SolverModel, Variable, constraint, microlp, variable, variables,
};
use proptest::test_runner::{Config, RngSeed, TestRunner};

use super::made;
use super::sweep::{asked, file as random};
use crate::carry::{Assessment, Grounds, LoadQuestion, assess};
use crate::holder::{Holder, Model};
use crate::length::STANDARD_GRAVITY;
use crate::shop::Shop;
use crate::style::{Library, Space};

/// A force down at a place: x right, y up, z out, in mm; in N.
type Down = (Space, f64);

/// A holder on its cleat as a body in space, told from its parts alone.
struct Hung {
    /// Ends of the cleat along the wall; heights of its lower and upper edge and of the wall's push at the foot.
    ends: [f64; 2],
    low: f64,
    top: f64,
    foot: f64,
    thickness: f64,
    /// In radians.
    bevel: f64,
}

/// A place where something pushes, and which way a unit of it pushes.
struct Push {
    at: Space,
    way: Space,
}

impl Hung {
    fn of(holder: &Holder, shop: &Shop) -> Option<Self> {
        let (cleat, bearing) = holder.carriers.iter().find_map(|carrier| match carrier.model {
            Model::Hook { cleat, bearing, kept_by: None, .. } => {
                Some((&holder.parts[cleat], bearing))
            }
            _ => None,
        })?;
        let (low, high) = cleat.places.first()?.bounds();
        let bevel = cleat.bevel.map_or(shop.cleat.bevel, |bevel| bevel.angle).to_radians();
        let foot = bearing.min(low[1]);
        let thickness = cleat.stock.thickness;
        Some(Self { ends: [low[0], high[0]], low: low[1], top: high[1], foot, thickness, bevel })
    }

    /// Square to the bevel, along it toward the wall, and outward from the wall.
    fn pushes(&self) -> (Vec<Push>, Vec<Push>, Vec<Push>) {
        let (sin, cos) = self.bevel.sin_cos();
        let rise = self.thickness * sin / cos;
        let edges = [[self.low, 0.0], [self.low + rise, self.thickness]];
        let bevel: Vec<Space> =
            self.ends.iter().flat_map(|x| edges.map(|[y, z]| [*x, y, z])).collect();
        let at = |way: Space| bevel.iter().map(move |at| Push { at: *at, way }).collect();
        let heights = [self.low, self.top, self.foot];
        let wall = self.ends.iter().flat_map(|x| heights.map(|y| [*x, y, 0.0]));
        let out = wall.map(|at| Push { at, way: [0.0, 0.0, 1.0] }).collect();
        (at([0.0, cos, -sin]), at([0.0, -sin, -cos]), out)
    }

    /// The least of what `asked` gives for the pushes square to the bevel and along it, over all that hold the loads with
    /// so much friction; `None` where none do.
    fn least(&self, loads: &[Down], friction: f64, asked: impl Fn(&Push) -> f64) -> Option<f64> {
        let (square, along, out) = self.pushes();
        let mut all = variables!();
        let pressed: Vec<Variable> = square.iter().map(|_| all.add(variable().min(0.0))).collect();
        let rubbed: Vec<Variable> = along.iter().map(|_| all.add(variable())).collect();
        let walled: Vec<Variable> = out.iter().map(|_| all.add(variable().min(0.0))).collect();
        let every: Vec<(&Push, Variable)> = square
            .iter()
            .chain(&along)
            .chain(&out)
            .zip(pressed.iter().chain(&rubbed).chain(&walled).copied())
            .collect();
        let sum = |of: &dyn Fn(&Push) -> f64| {
            every.iter().fold(Expression::from(0.0), |sum, (push, force)| sum + of(push) * *force)
        };
        let weight: f64 = loads.iter().map(|(_, down)| down).sum();
        // About the lower edge of the hook at its left end, so that figures stay small.
        let about = [self.ends[0], self.low, 0.0];
        let turn = |at: Space, way: Space, [a, b]: [usize; 2]| {
            ((at[a] - about[a]) * way[b] - (at[b] - about[b]) * way[a]) / 100.0
        };
        let mut balance = vec![(sum(&|push| push.way[1]), 1.0), (sum(&|push| push.way[2]), 0.0)];
        for axes in [[0, 1], [1, 2], [2, 0]] {
            let loaded = loads.iter().map(|(at, down)| turn(*at, [0.0, -down / weight, 0.0], axes));
            balance.push((sum(&|push| turn(push.at, push.way, axes)), -loaded.sum::<f64>()));
        }
        let bevel = every.iter().take(square.len() + along.len());
        let objective =
            bevel.fold(Expression::from(0.0), |sum, (push, force)| sum + asked(push) * *force);
        let mut model = all.minimise(objective.clone()).using(microlp);
        for (sum, is) in balance {
            model = model.with(constraint!(sum == is));
        }
        for (pressed, rubbed) in pressed.iter().zip(&rubbed) {
            model = model.with(constraint!(*rubbed <= friction * *pressed));
            model = model.with(constraint!(*rubbed >= -friction * *pressed));
        }
        let solved = model.solve().ok()?;
        Some(solved.eval(objective) * weight)
    }
}

/// Tools, each as heavy as the others, at their places; the wood piece by piece.
fn loads(holder: &Holder, live: f64) -> (Vec<Down>, Vec<Down>) {
    let mass: f64 = holder.weights.iter().map(|weight| weight.mass).sum();
    let each = mass / holder.tools.len() as f64 * live * STANDARD_GRAVITY;
    let mut tools: Vec<Down> = holder.tools.iter().map(|tool| (tool.at, each)).collect();
    tools.sort_by(|a, b| b.0[2].total_cmp(&a.0[2]));
    let wood = holder.parts.iter().flat_map(|part| {
        let each = part.mass() / part.quantity().max(1) as f64 * STANDARD_GRAVITY;
        let middle = crate::carry::centers(part);
        middle.map(move |at| (at, each)).collect::<Vec<Down>>()
    });
    (tools, wood.collect())
}

/// The outermost tools, one, two and so on, with the wood; then all where the style says that they act together.
fn in_part(holder: &Holder, hung: &Hung, live: f64) -> Vec<Vec<Down>> {
    let (tools, wood) = loads(holder, live);
    let told = holder
        .weights
        .iter()
        .map(|weight| ([hung.ends[0], 0.0, weight.out], weight.mass * live * STANDARD_GRAVITY));
    let told: Vec<Down> = told.collect();
    let outermost = (0..=tools.len()).map(|count| [&tools[..count], &wood[..]].concat());
    outermost.chain([[&told[..], &wood[..]].concat()]).collect()
}

fn reach(loads: &[Down]) -> f64 {
    let weight: f64 = loads.iter().map(|(_, down)| down).sum();
    loads.iter().map(|(at, down)| at[2] * down).sum::<f64>() / weight
}

/// How often each style is tried.
const CASES: u32 = 40;

#[test]
fn a_linear_program_comes_to_the_same_balance() {
    let library = Library::built_in();
    let (mut looked, mut compared) = (0, 0);
    for name in library.names() {
        let style = library.style(name).unwrap().unwrap();
        let config = Config {
            cases: CASES,
            failure_persistence: None,
            rng_seed: RngSeed::Fixed(151),
            ..Config::default()
        };
        let (seen, pulls) = (std::cell::Cell::new(0), std::cell::Cell::new(0));
        let ran = TestRunner::new(config).run(&asked(&style), |(measures, choices, shop)| {
            let holder = made(&random(&style, &shop, &measures, &choices), &shop);
            let hung = Hung::of(&holder, &shop).filter(|_| !holder.tools.is_empty());
            if let (true, Some(hung)) = (super::stops(&holder).is_empty(), hung) {
                let carried = assess(&holder, &shop);
                seen.set(seen.get() + 1);
                stays(&holder, &hung, &carried);
                pulls.set(pulls.get() + usize::from(pulled(&holder, &shop, &hung, &carried)));
            }
            Ok(())
        });
        ran.unwrap_or_else(|failure| panic!("{name}: {failure}"));
        looked += seen.get();
        compared += pulls.get();
    }
    assert!(looked > 100 && compared > 60, "{looked} {compared}");
}

/// Each part of the loads stays on the cleat with some friction where its reach is within what the check says, and
/// only then; so does the left half alone and the right half.
fn stays(holder: &Holder, hung: &Hung, carried: &Assessment) {
    let line = carried.checks.iter().find(|check| check.id.question == LoadQuestion::Staying);
    let Some(line) = line else { return };
    let Grounds::Reach { alone, dry, .. } = line.grounds else { panic!("{line:?}") };
    let (tools, wood) = loads(holder, carried.live);
    let mut sideways = tools.clone();
    sideways.sort_by(|a, b| a.0[0].total_cmp(&b.0[0]));
    let half = sideways.len().div_ceil(2);
    let sets =
        [&tools[..], &tools[..1], &tools[..half], &sideways[..half], &sideways[half / 2..], &[]];
    let mut farthest = 0.0_f64;
    for set in sets {
        let all = [set, &wood[..]].concat();
        let reach = reach(&all);
        farthest = farthest.max(reach);
        for (friction, most) in [(0.0, alone), (0.12, line.can), (0.4, dry)] {
            if (reach / most - 1.0).abs() > 1e-3 {
                let holds = hung.least(&all, friction, |_| 0.0).is_some();
                assert_eq!(holds, reach < most, "{friction} {reach} {most} {}", holder.style);
            }
        }
    }
    // What the line says is no less than any of these.
    assert!(line.asked >= farthest * (1.0 - 1e-9), "{} {farthest}", line.asked);
}

/// The pull in the screws of the wall cleat, where the bevels fit, lies between the least and the most that any pushes in
/// balance ask, and where they fit worst is the most. `false` where friction holds it, and all is told by [`stays`].
fn pulled(holder: &Holder, shop: &Shop, hung: &Hung, carried: &Assessment) -> bool {
    let line = carried.checks.iter().find(|check| check.id.question == LoadQuestion::Studs);
    let Some((Grounds::OfCleat { each, worst_pull, .. }, true)) =
        line.map(|line| (line.grounds.clone(), shop.wall.masonry.is_none()))
    else {
        return false;
    };
    let [foot, height] = shop.wall_cleat_under(hung.low);
    let turning = |push: &Push| {
        let [_, y, z] = push.at;
        -(z * -push.way[1] - (y - foot) * -push.way[2])
    };
    // Each stud has its share of all that hangs, and each of its screws its own.
    let fits = |all: &[Down]| {
        let weight: f64 = all.iter().map(|(_, down)| down).sum();
        let lever = height - foot;
        let range = |sign: f64| hung.least(all, 0.0, |push| sign * turning(push)).map(|l| sign * l);
        let (Some(least), Some(most)) = (range(1.0), range(-1.0)) else { return false };
        let out = weight * hung.bevel.tan();
        let [least, most] = [least, most].map(|turning| (turning / lever).max(out));
        // Pull over side load is the same for each screw as for all.
        let (pull, worst) = (each.pull / each.across * weight, worst_pull / each.across * weight);
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-5;
        near(worst, most) && pull >= least * (1.0 - 1e-6) && pull <= most * (1.0 + 1e-6)
    };
    let sets = [1.0, carried.live].map(|live| in_part(holder, hung, live)).concat();
    let held = |all: &Vec<Down>| hung.least(all, 0.0, |_| 0.0).is_some();
    if !sets.iter().all(held) {
        return false;
    }
    assert!(sets.iter().any(|all| fits(all)), "{}: {line:?}", holder.style);
    true
}
