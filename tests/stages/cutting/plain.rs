//! Two plain ways to fill sheets, as one would without a plan: what a plan has to be better than.
//! Both count sheets only, one size of sheet, no kerf.

use crate::least::{ItemType, PanelProblem};

/// The pieces one by one, in the order `key` gives, largest first. Pieces that may turn lie on
/// their longer side.
fn one_by_one(problem: &PanelProblem, key: impl Fn([i64; 2]) -> i64) -> Vec<([i64; 2], bool)> {
    let sheet = problem.stock[0].size;
    let lying = |item: &ItemType| {
        let [a, b] = item.size;
        let flat = [a.max(b), a.min(b)];
        let fits = flat[0] <= sheet[0] && flat[1] <= sheet[1];
        if item.turns && fits { flat } else { item.size }
    };
    let copies = |item: &ItemType| vec![(lying(item), item.turns); item.demand];
    let mut all: Vec<_> = problem.items.iter().flat_map(copies).collect();
    all.sort_by_key(|&(size, _)| std::cmp::Reverse(key(size)));
    all
}

/// Shelves across the sheet, as high as their first piece; each piece on the first shelf with
/// room, else on a new shelf on the first sheet with room, else on a new sheet.
pub fn shelves(problem: &PanelProblem) -> usize {
    let [wide, high] = problem.stock[0].size;
    let mut shelves: Vec<[i64; 2]> = Vec::new();
    let mut sheets: Vec<i64> = Vec::new();
    for ([w, h], _) in one_by_one(problem, |size| size[1]) {
        if let Some(shelf) = shelves.iter_mut().find(|shelf| shelf[0] >= w && shelf[1] >= h) {
            shelf[0] -= w;
            continue;
        }
        match sheets.iter_mut().find(|left| **left >= h) {
            Some(left) => *left -= h,
            None => sheets.push(high - h),
        }
        shelves.push([wide - w, h]);
    }
    sheets.len()
}

/// Each piece in the smallest left-over it fits, which is then split along its shorter rest.
pub fn best_fit(problem: &PanelProblem) -> usize {
    let mut left: Vec<[i64; 2]> = Vec::new();
    let mut sheets = 0;
    for (size, turns) in one_by_one(problem, |size| size[0] * size[1]) {
        let poses = if turns { vec![size, [size[1], size[0]]] } else { vec![size] };
        let fit =
            |of: &[i64; 2]| poses.iter().copied().find(|size| size[0] <= of[0] && size[1] <= of[1]);
        let best = (0..left.len())
            .filter_map(|at| fit(&left[at]).map(|size| (at, size)))
            .min_by_key(|&(at, _)| left[at][0] * left[at][1]);
        let (at, size) = best.unwrap_or_else(|| {
            sheets += 1;
            left.push(problem.stock[0].size);
            (left.len() - 1, fit(&problem.stock[0].size).unwrap())
        });
        let room = left.swap_remove(at);
        let rest = [room[0] - size[0], room[1] - size[1]];
        let parts = if rest[0] < rest[1] {
            [[rest[0], size[1]], [room[0], rest[1]]]
        } else {
            [[rest[0], room[1]], [size[0], rest[1]]]
        };
        left.extend(parts.iter().filter(|part| part[0] > 0 && part[1] > 0));
    }
    sheets
}
