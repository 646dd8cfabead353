//! Sheets cut up at random, and put together again.

use crate::least::{Budget, ItemType, PanelProblem, StockSize, solve};

use super::replay::replay;

/// An eight by four foot sheet, in micrometers.
const SHEET: [i64; 2] = [2_438_400, 1_219_200];
const KERF: i64 = 3_175;
/// No piece is narrower: two inches.
const NARROWEST: i64 = 50_800;

/// Thrown numbers (Numerical Recipes' quick generator): the same in each run.
struct Throw(u64);

impl Throw {
    fn below(&mut self, end: i64) -> i64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % end as u64) as i64
    }
}

/// `sheets` sheets cut into `each` pieces by cuts right across, a kerf lost with each.
fn cut_up(sheets: usize, each: usize, turns: bool, seed: u64) -> PanelProblem {
    let mut throw = Throw(seed);
    let mut items = Vec::new();
    for _ in 0..sheets {
        let mut pieces = vec![SHEET];
        while pieces.len() < each {
            let largest =
                (0..pieces.len()).max_by_key(|&at| pieces[at][0] * pieces[at][1]).unwrap();
            let thrown = throw.below(pieces.len() as i64) as usize;
            let at = if throw.below(2) == 0 { largest } else { thrown };
            let piece = pieces[at];
            let axis = usize::from(throw.below(piece[0] + piece[1]) >= piece[0]);
            let free = piece[axis] - KERF - 2 * NARROWEST;
            if free <= 0 {
                continue;
            }
            let first = NARROWEST + throw.below(free + 1);
            pieces[at][axis] = first;
            let mut rest = piece;
            rest[axis] = piece[axis] - first - KERF;
            pieces.push(rest);
        }
        items.extend(pieces.into_iter().map(|[a, b]| {
            let size = if turns && throw.below(2) == 0 { [b, a] } else { [a, b] };
            ItemType { size, turns, demand: 1 }
        }));
    }
    // Shuffled: in the order of their areas, which says nothing of where they were.
    items.sort_by_key(|item| item.size[0] * item.size[1]);
    PanelProblem {
        stock: vec![StockSize { size: SHEET, quantity: None, cost: 1 }],
        items,
        kerf: KERF,
    }
}

fn comes_back(sheets: usize, each: usize, turns: bool, seed: u64) -> bool {
    let problem = cut_up(sheets, each, turns, seed);
    let answer = solve(&problem, Budget::default()).unwrap();
    replay(&problem, &answer);
    assert!(answer.lower <= sheets as i64);
    answer.sheets == sheets
}

#[test]
fn a_sheet_cut_up_comes_back() {
    for (each, seed) in [(10, 1), (10, 2), (12, 3), (15, 4)] {
        for turns in [false, true] {
            assert!(comes_back(1, each, turns, seed), "{each} pieces, turns {turns}, seed {seed}");
        }
    }
}
