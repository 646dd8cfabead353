//! Published instances (sources in `instances/README.md` and at the head of each file).

use crate::least::{Budget, solve};

use super::instance::{Instance, read};
use super::replay::replay;

/// A small budget: bounds must hold and plans be sound with any.
const SMALL: Budget = Budget { steps: 4_000_000 };
/// Enough for the tables of large sheets.
const LARGER: Budget = Budget { steps: 24_000_000 };

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
    // One of the two hardest is enough here; the benchmark solves both.
    for instance in read("length").iter().filter(|instance| instance.name != "HARD2") {
        let known = instance.known(false).unwrap();
        let problem = instance.problem(false);
        let answer = solve(&problem, Budget::default()).unwrap();
        replay(&problem, &answer);
        assert_eq!(answer.cost, known.upper, "{}", instance.name);
        assert!(answer.lower <= known.upper, "{}", instance.name);
    }
}
