//! The most valuable pieces that fit a bar, each at most so often.
//!
//! Depth first, the best value for its length first, as in Martello and Toth, "Knapsack Problems"
//! (Wiley 1990), chapter 3: turned back where even the best rest by length can't do better. Where
//! only one more piece fits, it is looked up.

use super::meter::Meter;

#[derive(Debug, Clone, Copy)]
pub(super) struct KnapsackItem {
    pub item: usize,
    pub length: i64,
    pub value: f64,
    pub copies: usize,
}

pub(super) struct Packed {
    /// Better and better, each as (item, how often) in order of items; the last is the best found.
    pub makes: Vec<Vec<(usize, usize)>>,
    /// No choice is worth more.
    pub most: f64,
}

/// Nodes before the search is broken off.
const NODES: usize = 2_000_000;

/// What is looked for is worth more than `enough` by at least one part in this many, and so is
/// each better choice than the last.
const FINE: f64 = 1e5;

/// Nothing is packed where nothing is worth more than `enough`.
pub(super) fn pack(
    length: i64,
    mut choices: Vec<KnapsackItem>,
    enough: f64,
    meter: &mut Meter,
) -> Packed {
    choices.retain(|choice| choice.value > 0.0 && choice.copies > 0 && choice.length <= length);
    let rate = |choice: &KnapsackItem| choice.value / choice.length as f64;
    choices.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.item.cmp(&b.item)));
    let mut search = BranchAndBound::new(&choices, length, enough);
    let finished = search.run();
    meter.spend(search.nodes as u64 / 2 + choices.len() as u64);
    let named = |times: &Vec<usize>| {
        let pairs = choices.iter().zip(times).filter(|(_, times)| **times > 0);
        let mut makes: Vec<(usize, usize)> =
            pairs.map(|(choice, &times)| (choice.item, times)).collect();
        makes.sort_unstable();
        makes
    };
    let ceiling = search.ceiling(0, length).ceil();
    let most = if finished { ceiling.min(search.most + search.step) } else { ceiling };
    Packed { makes: search.found.iter().map(named).collect(), most }
}

struct BranchAndBound<'a> {
    choices: &'a [KnapsackItem],
    length: i64,
    /// The shortest piece from each choice on.
    shortest: Vec<i64>,
    last: LastPiece,
    found: Vec<Vec<usize>>,
    most: f64,
    /// By how much a choice has to be better to be looked for; values are whole numbers.
    step: f64,
    nodes: usize,
}

impl<'a> BranchAndBound<'a> {
    fn new(choices: &'a [KnapsackItem], length: i64, enough: f64) -> Self {
        let mut shortest = vec![i64::MAX; choices.len() + 1];
        for (at, choice) in choices.iter().enumerate().rev() {
            shortest[at] = shortest[at + 1].min(choice.length);
        }
        let last = LastPiece::new(choices);
        let step = (enough / FINE).floor().max(1.0);
        Self { choices, length, shortest, last, found: Vec::new(), most: enough, step, nodes: 0 }
    }

    /// The most that `room` can still take from choice `at` on, with the last piece broken.
    fn ceiling(&self, at: usize, mut room: i64) -> f64 {
        let mut value = 0.0;
        for choice in &self.choices[at..] {
            let times = (room / choice.length).min(choice.copies as i64);
            value += times as f64 * choice.value;
            room -= times * choice.length;
            if times < choice.copies as i64 {
                return value + room as f64 * choice.value / choice.length as f64;
            }
        }
        value
    }

    fn offer(&mut self, taken: &[usize], value: f64) {
        if value >= self.most + self.step {
            self.most = value;
            self.found.push(taken.to_vec());
        }
    }

    /// Whether it came to an end.
    fn run(&mut self) -> bool {
        let mut taken = vec![0; self.choices.len()];
        let (mut at, mut room, mut value) = (0, self.length, 0.0);
        loop {
            // Down: as many as go of each choice, while better is possible.
            while room >= self.shortest[at] {
                self.nodes += 1;
                if value + self.ceiling(at, room) < self.most + self.step {
                    break;
                }
                if room - self.shortest[at] < self.shortest[at] {
                    if let Some(last) = self.last.best(at, room) {
                        taken[last] += 1;
                        self.offer(&taken, value + self.choices[last].value);
                        taken[last] -= 1;
                    }
                    break;
                }
                let choice = &self.choices[at];
                taken[at] = (room / choice.length).min(choice.copies as i64) as usize;
                room -= taken[at] as i64 * choice.length;
                value += taken[at] as f64 * choice.value;
                at += 1;
            }
            self.offer(&taken, value);
            // Back: one less of the last choice taken.
            let Some(last) = taken[..at].iter().rposition(|&times| times > 0) else {
                return true;
            };
            if self.nodes >= NODES {
                return false;
            }
            taken[last] -= 1;
            room += self.choices[last].length;
            value -= self.choices[last].value;
            at = last + 1;
        }
    }
}

/// The best single piece for what room there is.
struct LastPiece {
    /// All lengths, rising.
    lengths: Vec<i64>,
    /// For each choice, and each number of lengths that fit: the best choice from there on.
    best: Vec<Option<u32>>,
}

impl LastPiece {
    fn new(choices: &[KnapsackItem]) -> Self {
        let mut lengths: Vec<i64> = choices.iter().map(|choice| choice.length).collect();
        lengths.sort_unstable();
        lengths.dedup();
        let wide = lengths.len() + 1;
        let mut best: Vec<Option<u32>> = vec![None; wide * (choices.len() + 1)];
        for (at, choice) in choices.iter().enumerate().rev() {
            let from = lengths.partition_point(|&length| length < choice.length) + 1;
            for fitting in 0..wide {
                let later = best[(at + 1) * wide + fitting];
                let better = later.is_none_or(|l| choices[l as usize].value < choice.value);
                let here = fitting >= from && better;
                best[at * wide + fitting] = if here { Some(at as u32) } else { later };
            }
        }
        Self { lengths, best }
    }

    fn best(&self, at: usize, room: i64) -> Option<usize> {
        let fitting = self.lengths.partition_point(|&length| length <= room);
        self.best[at * (self.lengths.len() + 1) + fitting].map(|best| best as usize)
    }
}
