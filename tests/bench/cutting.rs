//! How many sheets the solver takes, beside what is known and beside two plain ways, and how long:
//! `cargo bench --bench cutting`, with names of sets after `--` for some of them only.

// A benchmark that can't go on is to stop there; it is there to print.
#![allow(clippy::unwrap_used, clippy::print_stdout, missing_docs, unreachable_pub)]

#[path = "../stages/cutting/instance.rs"]
mod instance;
#[path = "../stages/cutting/plain.rs"]
mod plain;

use std::time::Instant;

// The readers of the instances, shared with the tests in the crate, find it at the root.
use cleatwright::least;
use cleatwright::least::{Budget, solve};
use instance::{Instance, read};
use rayon::prelude::*;

const SHEETS: [&str; 13] = [
    "class01",
    "class02",
    "class03",
    "class04",
    "class05",
    "class06",
    "class07",
    "class08",
    "class09",
    "class10",
    "furniture",
    "mixed-demand",
    "gcut-demand",
];

fn main() {
    let wanted: Vec<String> =
        std::env::args().skip(1).filter(|arg| !arg.starts_with('-')).collect();
    let wants = |set: &str| wanted.is_empty() || wanted.iter().any(|name| name == set);
    println!("{:36}  known best     plain ways    ours", "");
    println!(
        "{:14} {:6} {:>14} {:>5} {:>6} {:>7} {:>8} {:>5} {:>6} {:>6} {:>6}",
        "set",
        "pieces",
        "instances",
        "lower",
        "upper",
        "shelves",
        "best fit",
        "sheets",
        "excess",
        "proved",
        "s each"
    );
    for set in SHEETS.into_iter().filter(|set| wants(set)) {
        for turns in [false, true] {
            sheets(set, turns);
        }
    }
    if wants("length") {
        lengths();
    }
}

/// One row of the table: sums over a set.
#[derive(Default)]
struct Sum {
    lower: i64,
    upper: i64,
    shelves: usize,
    best_fit: usize,
    ours: i64,
    proved: usize,
    seconds: f64,
}

fn sheets(set: &str, turns: bool) {
    let instances: Vec<Instance> =
        read(set).into_iter().filter(|instance| instance.known(turns).is_some()).collect();
    let one = |instance: &Instance| {
        let known = instance.known(turns).unwrap();
        let problem = instance.problem(turns);
        let start = Instant::now();
        let answer = solve(&problem, Budget::default()).unwrap();
        let seconds = start.elapsed().as_secs_f64();
        assert!(answer.lower <= known.upper, "{}: {} is no bound", instance.name, answer.lower);
        assert!(answer.cost >= known.lower, "{}: {} can't be", instance.name, answer.cost);
        Sum {
            lower: known.lower,
            upper: known.upper,
            shelves: plain::shelves(&problem),
            best_fit: plain::best_fit(&problem),
            ours: answer.cost,
            proved: usize::from(answer.proved),
            seconds,
        }
    };
    row(set, turns, &instances.par_iter().map(one).collect::<Vec<_>>());
}

fn row(set: &str, turns: bool, each: &[Sum]) {
    let sum = |of: fn(&Sum) -> i64| each.iter().map(of).sum::<i64>();
    let (ours, upper) = (sum(|s| s.ours), sum(|s| s.upper));
    println!(
        "{set:14} {:6} {:>14} {:>5} {upper:>6} {:>7} {:>8} {ours:>5} {:>+6.2} {:>6} {:>6.2}",
        if turns { "turned" } else { "fixed" },
        each.len(),
        sum(|s| s.lower),
        sum(|s| s.shelves as i64),
        sum(|s| s.best_fit as i64),
        (ours - upper) as f64 * 100.0 / upper as f64,
        sum(|s| s.proved as i64),
        each.iter().map(|s| s.seconds).sum::<f64>() / each.len() as f64,
    );
}

fn lengths() {
    let one = |instance: &Instance| {
        let known = instance.known(false).unwrap();
        let start = Instant::now();
        let answer = solve(&instance.problem(false), Budget::default()).unwrap();
        let seconds = start.elapsed().as_secs_f64();
        let proved = usize::from(answer.proved);
        let (lower, upper) = (known.lower, known.upper);
        Sum { lower, upper, ours: answer.cost, proved, seconds, ..Sum::default() }
    };
    row("length", false, &read("length").par_iter().map(one).collect::<Vec<_>>());
}
