//! What a shop may ask: offcuts first, too little stock, pieces too large, a great many parts.

use crate::least::{Budget, ItemType, OutOfRange, PanelProblem, StockSize, solve};

use super::replay::replay;

const SMALL: Budget = Budget { steps: 4_000_000 };
const SHEET: [i64; 2] = [2_438_400, 1_219_200];

fn bought(size: [i64; 2], cost: i64) -> StockSize {
    StockSize { size, quantity: None, cost }
}

fn piece(w: i64, h: i64, demand: usize) -> ItemType {
    ItemType { size: [w, h], turns: true, demand }
}

#[test]
fn a_piece_as_large_as_the_sheet_takes_no_cut() {
    let problem = PanelProblem {
        stock: vec![bought([1000, 500], 7)],
        items: vec![piece(500, 1000, 3)],
        kerf: 3,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.cost, answer.sheets, answer.lower, answer.proved), (21, 3, 21, true));
    assert_eq!(answer.layouts.len(), 1, "the same panel three times is one layout");
}

#[test]
fn the_kerf_decides() {
    // Two halves of a sheet fit it only where the saw takes nothing.
    let with = |kerf| PanelProblem {
        stock: vec![bought([1000, 500], 1)],
        items: vec![ItemType { size: [500, 500], turns: false, demand: 2 }],
        kerf,
    };
    for (kerf, sheets) in [(0, 1), (1, 2)] {
        let problem = with(kerf);
        let answer = solve(&problem, SMALL).unwrap();
        replay(&problem, &answer);
        assert_eq!(answer.sheets, sheets);
        assert!(answer.proved);
    }
}

#[test]
fn grain_decides() {
    let with = |turns| PanelProblem {
        stock: vec![bought([1000, 300], 1)],
        items: vec![ItemType { size: [300, 900], turns, demand: 1 }],
        kerf: 0,
    };
    let unmet = |turns| solve(&with(turns), SMALL).unwrap().unmet;
    assert_eq!((unmet(true), unmet(false)), (vec![0], vec![1]));
}

#[test]
fn offcuts_come_first_and_cost_nothing() {
    let problem = PanelProblem {
        stock: vec![
            bought([1000, 1000], 40),
            StockSize { size: [600, 300], quantity: Some(2), cost: 0 },
        ],
        items: vec![piece(290, 590, 2), piece(900, 900, 1)],
        kerf: 4,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.cost, answer.sheets, answer.proved), (40, 3, true));
}

#[test]
fn the_dearer_sheet_is_taken_where_it_is_cheaper() {
    // Four of these go on the large sheet for 10, one on the small one for 4.
    let problem = PanelProblem {
        stock: vec![bought([500, 500], 4), bought([1000, 1000], 10)],
        items: vec![piece(500, 500, 5)],
        kerf: 0,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.cost, answer.proved), (14, true));
}

#[test]
fn what_no_stock_is_large_enough_for_is_told_and_the_rest_is_made() {
    let problem = PanelProblem {
        stock: vec![bought(SHEET, 1)],
        items: vec![piece(3_000_000, 100_000, 2), piece(400_000, 300_000, 4)],
        kerf: 3_175,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.unmet, answer.sheets, answer.proved), (vec![2, 0], 1, true));
}

#[test]
fn short_stock_makes_what_it_can() {
    let problem = PanelProblem {
        stock: vec![StockSize { size: [1000, 1000], quantity: Some(1), cost: 9 }],
        items: vec![piece(500, 500, 7)],
        kerf: 0,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!((answer.unmet, answer.cost, answer.proved), (vec![3], 9, false));
}

#[test]
fn nothing_asked_costs_nothing() {
    let problem = PanelProblem { stock: Vec::new(), items: Vec::new(), kerf: 0 };
    let answer = solve(&problem, SMALL).unwrap();
    assert_eq!((answer.cost, answer.sheets, answer.proved), (0, 0, true));
    let problem = PanelProblem { stock: Vec::new(), items: vec![piece(5, 5, 2)], kerf: 0 };
    assert_eq!(solve(&problem, SMALL).unwrap().unmet, [2]);
}

#[test]
fn a_piece_of_no_size_is_an_error() {
    let problem =
        PanelProblem { stock: vec![bought(SHEET, 1)], items: vec![piece(0, 5, 1)], kerf: 0 };
    assert_eq!(solve(&problem, SMALL), Err(OutOfRange::Size { size: 0 }));
}

/// 500 parts of 40 kinds, in sizes no grid would give.
fn five_hundred() -> PanelProblem {
    let kind = |at: i64| {
        let w = 60_000 + (at * 7_919_317) % 740_000;
        let h = 45_000 + (at * 3_571_019) % 390_000;
        let demand = 5 + (at as usize * 7) % 16;
        ItemType { size: [w, h], turns: at % 3 != 0, demand }
    };
    let mut items: Vec<ItemType> = (1..=40).map(kind).collect();
    let asked: usize = items.iter().map(|item| item.demand).sum();
    items[0].demand += 500 - asked.min(500);
    PanelProblem { stock: vec![bought(SHEET, 1)], items, kerf: 3_175 }
}

#[test]
fn five_hundred_parts_take_little_more_than_their_area() {
    let problem = five_hundred();
    let answer = solve(&problem, Budget { steps: 60_000_000 }).unwrap();
    replay(&problem, &answer);
    // Less than one part in twelve above what the areas alone ask for.
    assert!(answer.cost * 12 <= answer.lower * 13, "{} for {}", answer.cost, answer.lower);
}

#[test]
fn the_same_again() {
    let problem = five_hundred();
    let budget = Budget { steps: 3_000_000 };
    assert_eq!(solve(&problem, budget), solve(&problem, budget));
}

#[test]
fn demands_in_the_tens_of_thousands() {
    // Slats for which a thousand and more go on one sheet, and a few thousand panels.
    let problem = PanelProblem {
        stock: vec![bought(SHEET, 1)],
        items: vec![piece(40_000, 20_000, 90_000), piece(604_800, 403_200, 5_000)],
        kerf: 3_175,
    };
    let answer = solve(&problem, SMALL).unwrap();
    replay(&problem, &answer);
    assert_eq!(answer.unmet, [0, 0]);
    assert!(answer.cost * 10 <= answer.lower * 11, "{} for {}", answer.cost, answer.lower);
}

/// Slats so thin that the coarse measure of a sheet makes nothing of them: 203 beside each other,
/// four rows of them, which a person can count; no bound may be above that.
#[test]
fn thin_slats_are_counted() {
    const KINDS: i64 = 58;
    let slat = |at: i64| ItemType { size: [12_000, 290_001 + 251 * at], turns: false, demand: 14 };
    let items: Vec<ItemType> = (0..KINDS).map(slat).collect();
    let across = SHEET[0] / 12_000;
    let rows = SHEET[1] / items.iter().map(|item| item.size[1]).max().unwrap();
    let asked: i64 = items.iter().map(|item| item.demand as i64).sum();
    assert_eq!((across, rows), (203, 4));
    assert!(asked <= across * rows, "one sheet is enough");
    for steps in [4_000_000, 60_000_000, 400_000_000] {
        let problem = PanelProblem { stock: vec![bought(SHEET, 1)], items: items.clone(), kerf: 0 };
        let answer = solve(&problem, Budget { steps }).unwrap();
        replay(&problem, &answer);
        assert!(answer.lower <= 1, "{} with {steps} steps", answer.lower);
    }
}
