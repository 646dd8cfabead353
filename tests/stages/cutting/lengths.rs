//! Bars, boards and dowels: pieces that can only lie behind one another.

use crate::least::{Budget, ItemType, PanelProblem, StockSize, solve};

use super::replay::replay;

const SMALL: Budget = Budget { steps: 4_000_000 };

/// Length and demand of pieces 60 wide: two of them lie side by side on no bar.
fn pieces(of: &[(i64, usize)]) -> Vec<ItemType> {
    let piece = |&(length, demand)| ItemType { size: [length, 60], turns: false, demand };
    of.iter().map(piece).collect()
}

fn bar(length: i64, quantity: Option<usize>, cost: i64) -> StockSize {
    StockSize { size: [length, 100], quantity, cost }
}

#[test]
fn the_kerf_counts_between_pieces_only() {
    // Four pieces and three kerfs are 1000 long.
    let mut problem =
        PanelProblem { stock: vec![bar(1000, None, 5)], items: pieces(&[(247, 8)]), kerf: 4 };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.cost, answer.sheets, answer.proved), (10, 2, true));
    problem.kerf = 5;
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.sheets, answer.proved), (3, true));
}

#[test]
fn offcuts_first_then_the_cheapest_mix() {
    let problem = PanelProblem {
        stock: vec![bar(700, Some(1), 0), bar(2400, None, 11), bar(3000, None, 13)],
        items: pieces(&[(690, 1), (1190, 2), (1490, 2)]),
        kerf: 4,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    // One of each bar: 690 off the offcut, 2 x 1190 off the 2400, 2 x 1490 off the 3000.
    assert_eq!((answer.cost, answer.sheets), (24, 3));
}

#[test]
fn too_long_and_too_little() {
    let problem = PanelProblem {
        stock: vec![bar(1000, Some(1), 3)],
        items: pieces(&[(1001, 1), (400, 5)]),
        kerf: 2,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.unmet, answer.cost), (vec![1, 3], 3));
}

/// A narrow offcut takes narrow pieces only.
#[test]
fn a_wide_piece_is_not_laid_on_a_narrow_bar() {
    let narrow = StockSize { size: [1000, 70], quantity: Some(1), cost: 0 };
    let wide = ItemType { size: [900, 90], turns: false, demand: 2 };
    let mut items = pieces(&[(480, 5)]);
    items.push(wide);
    let problem = PanelProblem { stock: vec![narrow, bar(1000, None, 7)], items, kerf: 3 };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    // Two of 480 on the offcut, three on two bars, a bar for each wide one.
    assert_eq!((answer.cost, answer.sheets, answer.proved), (28, 5, true));
}

#[test]
fn many_of_few_kinds() {
    let problem = PanelProblem {
        stock: vec![bar(2_400_000, None, 1)],
        items: pieces(&[(311_017, 40_000), (523_111, 9_000), (97_003, 77_000)]),
        kerf: 3_175,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!(answer.unmet, [0, 0, 0]);
    assert!(answer.cost <= answer.lower + 2, "{} for {}", answer.cost, answer.lower);
}
