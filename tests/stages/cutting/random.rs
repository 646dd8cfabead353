//! Small problems thrown at random: whatever is asked, the plan must be sound.

use crate::least::{Budget, ItemType, PanelProblem, StockSize, solve};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};

use super::replay::replay;

fn side() -> impl Strategy<Value = i64> {
    1..60i64
}

fn item() -> impl Strategy<Value = ItemType> {
    ([side(), side()], any::<bool>(), 0..9usize).prop_map(|(size, turns, demand)| ItemType {
        size,
        turns,
        demand,
    })
}

fn stock() -> impl Strategy<Value = StockSize> {
    ([20..80i64, 20..80i64], prop::option::of(0..4usize), 0..30i64)
        .prop_map(|(size, quantity, cost)| StockSize { size, quantity, cost })
}

fn problem() -> impl Strategy<Value = PanelProblem> {
    (prop::collection::vec(stock(), 1..4), prop::collection::vec(item(), 0..8), 0..5i64)
        .prop_map(|(stock, items, kerf)| PanelProblem { stock, items, kerf })
}

proptest! {
    #![proptest_config(Config {
        cases: 150,
        rng_seed: RngSeed::Fixed(5),
        failure_persistence: None,
        ..Config::default()
    })]

    #[test]
    fn plans_are_sound(problem in problem()) {
        let answer = solve(&problem, Budget { steps: 200_000 }).unwrap();
        replay(&problem, &answer);
        // A longer look costs no more where nothing is left unmade, and never less than the bound.
        let longer = solve(&problem, Budget { steps: 800_000 }).unwrap();
        replay(&problem, &longer);
        if answer.unmet == longer.unmet && longer.unmet.iter().all(|&unmet| unmet == 0) {
            prop_assert!(answer.lower <= longer.cost);
            prop_assert!(longer.lower <= answer.cost);
        }
    }
}
