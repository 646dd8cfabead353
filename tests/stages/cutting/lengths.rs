//! Bars, boards and dowels.

use crate::cutting::{Bar, Budget, Length, LengthProblem, solve_lengths};

use super::replay::replay_lengths;

const SMALL: Budget = Budget { steps: 4_000_000 };

fn pieces(of: &[(i64, usize)]) -> Vec<Length> {
    of.iter().map(|&(length, demand)| Length { length, demand }).collect()
}

#[test]
fn the_kerf_counts_between_pieces_only() {
    // Four pieces and three kerfs are 1000 long.
    let mut problem = LengthProblem {
        stock: vec![Bar { length: 1000, quantity: None, cost: 5 }],
        pieces: pieces(&[(247, 8)]),
        kerf: 4,
    };
    let answer = solve_lengths(&problem, SMALL).unwrap();
    replay_lengths(&problem, &answer);
    assert_eq!((answer.cost, answer.bars, answer.proved), (10, 2, true));
    problem.kerf = 5;
    let answer = solve_lengths(&problem, SMALL).unwrap();
    replay_lengths(&problem, &answer);
    assert_eq!((answer.bars, answer.proved), (3, true));
}

#[test]
fn offcuts_first_then_the_cheapest_mix() {
    let problem = LengthProblem {
        stock: vec![
            Bar { length: 700, quantity: Some(1), cost: 0 },
            Bar { length: 2400, quantity: None, cost: 11 },
            Bar { length: 3000, quantity: None, cost: 13 },
        ],
        pieces: pieces(&[(690, 1), (1190, 2), (1490, 2)]),
        kerf: 4,
    };
    let answer = solve_lengths(&problem, SMALL).unwrap();
    replay_lengths(&problem, &answer);
    // One of each bar: 690 off the offcut, 2 x 1190 off the 2400, 2 x 1490 off the 3000.
    assert_eq!((answer.cost, answer.bars), (24, 3));
}

#[test]
fn too_long_and_too_little() {
    let problem = LengthProblem {
        stock: vec![Bar { length: 1000, quantity: Some(1), cost: 3 }],
        pieces: pieces(&[(1001, 1), (400, 5)]),
        kerf: 2,
    };
    let answer = solve_lengths(&problem, SMALL).unwrap();
    replay_lengths(&problem, &answer);
    assert_eq!((answer.unmet, answer.cost), (vec![1, 3], 3));
}

#[test]
fn many_of_few_kinds() {
    let problem = LengthProblem {
        stock: vec![Bar { length: 2_400_000, quantity: None, cost: 1 }],
        pieces: pieces(&[(311_017, 40_000), (523_111, 9_000), (97_003, 77_000)]),
        kerf: 3_175,
    };
    let answer = solve_lengths(&problem, SMALL).unwrap();
    replay_lengths(&problem, &answer);
    assert_eq!(answer.unmet, [0, 0, 0]);
    assert!(answer.cost <= answer.lower + 2, "{} for {}", answer.cost, answer.lower);
}
