//! Published instances (sources in `instances/README.md` and at the head of each file).

use crate::cutting::{Budget, best_value, solve, solve_lengths};

use super::instance::{Instance, read};
use super::replay::{replay, replay_lengths, saw};

/// A small budget: bounds must hold and plans be sound with any.
const SMALL: Budget = Budget { steps: 4_000_000 };
/// Enough for the tables of large sheets.
const LARGER: Budget = Budget { steps: 60_000_000 };

/// Solves each instance, saws its plan again, and holds the bounds against what is known. The sums
/// of sheets taken and of the best known.
fn sums(instances: &[Instance], turns: bool, budget: Budget) -> (i64, i64) {
    let mut sums = (0, 0);
    for instance in instances {
        let Some(known) = instance.known(turns) else { continue };
        let problem = instance.problem(turns);
        let answer = solve(&problem, budget).unwrap();
        replay(&problem, &answer);
        assert_eq!(answer.unmet.iter().sum::<usize>(), 0, "{}", instance.name);
        assert!(answer.cost >= known.lower, "{}: {} sheets can't be", instance.name, answer.cost);
        assert!(answer.lower <= known.upper, "{}: {} is no bound", instance.name, answer.lower);
        sums.0 += answer.cost;
        sums.1 += known.upper;
    }
    sums
}

/// Within `percent` of the best known, summed.
fn near(set: &str, take: usize, percent: i64, budget: Budget) {
    let instances = read(set);
    for turns in [false, true] {
        let (ours, known) = sums(&instances[..take.min(instances.len())], turns, budget);
        assert!(ours * 100 <= known * (100 + percent), "{set} {turns}: {ours} for {known}");
    }
}

#[test]
fn small_classes() {
    // One of each size of instance; the benchmark goes through all of them.
    for class in 1..=10 {
        near(&format!("class{class:02}"), 6, 4, SMALL);
    }
}

#[test]
fn furniture() {
    near("furniture", 8, 4, LARGER);
}

#[test]
fn older_instances_with_demands() {
    near("mixed-demand", 15, 4, LARGER);
}

#[test]
fn large_demands() {
    near("gcut-demand", 6, 1, LARGER);
}

#[test]
fn all_lengths_are_optimal() {
    for instance in read("length") {
        let known = instance.known(false).unwrap();
        let problem = instance.lengths();
        let answer = solve_lengths(&problem, Budget::default()).unwrap();
        replay_lengths(&problem, &answer);
        assert_eq!(answer.cost, known.upper, "{}", instance.name);
        assert!(answer.lower <= known.upper, "{}", instance.name);
    }
}

/// The value `panel` yields, sawn again.
fn yielded(instance: &Instance, turns: bool, panel: &crate::cutting::Panel) -> i64 {
    let mut problem = instance.problem(turns);
    problem.items.iter_mut().for_each(|item| item.demand = 0);
    let made = saw(panel, instance.size(), &problem.items, 0);
    for (made, item) in made.iter().zip(&instance.items) {
        assert!(item[2] == 0 || *made <= item[2] as usize, "{made} of {item:?}");
    }
    made.iter().zip(&instance.items).map(|(made, item)| *made as i64 * item[3]).sum()
}

fn values(set: &str, percent: i64, budget: Budget) {
    for instance in read(set) {
        for turns in [false, true] {
            let Some(known) = instance.known(turns) else { continue };
            let pieces = instance.valued(turns);
            let best = best_value(instance.size(), &pieces, 0, budget).unwrap();
            assert_eq!(yielded(&instance, turns, &best.panel), best.value, "{}", instance.name);
            assert!(best.value <= known.upper, "{}: {} can't be", instance.name, best.value);
            assert!(best.upper >= known.lower, "{}: {} is no bound", instance.name, best.upper);
            assert!(best.value * 100 >= known.lower * (100 - percent), "{}", instance.name);
        }
    }
}

#[test]
fn patterns_without_limit_are_optimal() {
    values("gcut", 0, Budget::default());
    values("value-unlimited", 0, Budget::default());
}

#[test]
fn patterns_with_limits() {
    values("gcut-once", 10, LARGER);
    values("value", 10, LARGER);
    values("value-fhz", 10, LARGER);
    values("value-atp", 10, LARGER);
}
