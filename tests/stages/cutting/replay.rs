//! Saws a plan again, cut by cut, and counts what comes of it. Knows nothing of the solver but the
//! form of its answers.

use crate::least::{Answer, CutWay, ItemType, Panel, PanelProblem};

/// How many pieces of each item come from `panel`, sawn from a sheet of `size`.
fn saw(panel: &Panel, size: [i64; 2], items: &[ItemType], kerf: i64) -> Vec<usize> {
    let mut made = vec![0; items.len()];
    let mut heap = vec![(panel, size)];
    while let Some((panel, size)) = heap.pop() {
        match panel {
            Panel::Remainder => {}
            Panel::Piece { item, turned } => {
                let [a, b] = items[item.0].size;
                assert!(!turned || items[item.0].turns, "item {} may not turn", item.0);
                let wanted = if *turned { [b, a] } else { [a, b] };
                assert_eq!(size, wanted, "item {} comes out the wrong size", item.0);
                made[item.0] += 1;
            }
            Panel::Sawn { way, at, first, second } => {
                let axis = match way {
                    CutWay::Across => 0,
                    CutWay::Along => 1,
                };
                assert!(*at > 0 && *at < size[axis], "a cut at {at} beside a panel of {size:?}");
                let (mut one, mut two) = (size, size);
                one[axis] = *at;
                // The blade may run out over the edge: then nothing is left behind it.
                two[axis] = (size[axis] - at - kerf).max(0);
                heap.push((first, one));
                heap.push((second, two));
            }
        }
    }
    made
}

/// Holds `answer` against `problem`: every piece made exactly once or told as unmet, no panel used
/// that is not there, cost and count right, no claim above what it cost.
pub fn replay(problem: &PanelProblem, answer: &Answer) {
    let mut made = answer.unmet.clone();
    let (mut cost, mut sheets) = (0, 0);
    let mut used = vec![0; problem.stock.len()];
    for layout in &answer.layouts {
        let stock = &problem.stock[layout.stock.0];
        let from_one = saw(&layout.panel, stock.size, &problem.items, problem.kerf);
        assert!(layout.times > 0 && from_one.iter().sum::<usize>() > 0, "a panel sawn for nothing");
        for (made, from_one) in made.iter_mut().zip(from_one) {
            *made += from_one * layout.times;
        }
        cost += stock.cost * layout.times as i64;
        sheets += layout.times;
        used[layout.stock.0] += layout.times;
    }
    let asked: Vec<usize> = problem.items.iter().map(|item| item.demand).collect();
    assert_eq!(made, asked);
    assert_eq!((cost, sheets), (answer.cost, answer.sheets));
    for (used, stock) in used.iter().zip(&problem.stock) {
        assert!(stock.quantity.is_none_or(|quantity| *used <= quantity), "{used} of {stock:?}");
    }
    assert!(answer.lower <= answer.cost);
    assert!(!answer.proved || answer.lower == answer.cost);
}
