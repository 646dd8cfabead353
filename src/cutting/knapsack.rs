//! The most valuable pieces that fit a bar, each at most so often.
//!
//! Depth first, the best value for its length first, as in Martello and Toth, "Knapsack Problems"
//! (Wiley 1990), chapter 3: turned back where even the best rest by length can't do better.

use super::budget::Purse;

#[derive(Debug, Clone, Copy)]
pub(super) struct Choice {
    pub item: usize,
    pub length: i64,
    pub worth: f64,
    pub copies: usize,
}

pub(super) struct Packed {
    /// Better and better, each as (item, how often) in order of items; the last is the best found.
    pub makes: Vec<Vec<(usize, usize)>>,
    /// No choice is worth more.
    pub most: f64,
}

/// Looks before the search is broken off where nothing is found, and where something is.
const LOOKS: usize = 4_000_000;
const LOOKS_WITH_LUCK: usize = 50_000;

/// What is looked for is worth more than `enough` by at least one part in this many, and so is
/// each better choice than the last.
const FINE: f64 = 1e5;

/// Nothing is packed where nothing is worth more than `enough`.
pub(super) fn pack(
    length: i64,
    mut choices: Vec<Choice>,
    enough: f64,
    purse: &mut Purse,
) -> Packed {
    choices.retain(|choice| choice.worth > 0.0 && choice.copies > 0 && choice.length <= length);
    let rate = |choice: &Choice| choice.worth / choice.length as f64;
    choices.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.item.cmp(&b.item)));
    let mut search = Search::new(&choices, length, enough);
    let finished = search.run();
    purse.spend(search.looks as u64 / 2 + choices.len() as u64);
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

struct Search<'a> {
    choices: &'a [Choice],
    length: i64,
    /// The shortest piece from each choice on.
    shortest: Vec<i64>,
    found: Vec<Vec<usize>>,
    most: f64,
    /// By how much a choice has to be better to be looked for; worths are whole numbers.
    step: f64,
    looks: usize,
}

impl<'a> Search<'a> {
    fn new(choices: &'a [Choice], length: i64, enough: f64) -> Self {
        let mut shortest = vec![i64::MAX; choices.len() + 1];
        for (at, choice) in choices.iter().enumerate().rev() {
            shortest[at] = shortest[at + 1].min(choice.length);
        }
        let step = (enough / FINE).floor().max(1.0);
        Self { choices, length, shortest, found: Vec::new(), most: enough, step, looks: 0 }
    }

    /// The most that `room` can still take from choice `at` on, with the last piece broken.
    fn ceiling(&self, at: usize, mut room: i64) -> f64 {
        let mut worth = 0.0;
        for choice in &self.choices[at..] {
            let times = (room / choice.length).min(choice.copies as i64);
            worth += times as f64 * choice.worth;
            room -= times * choice.length;
            if times < choice.copies as i64 {
                return worth + room as f64 * choice.worth / choice.length as f64;
            }
        }
        worth
    }

    /// Whether it came to an end.
    fn run(&mut self) -> bool {
        let mut taken = vec![0; self.choices.len()];
        let (mut at, mut room, mut worth) = (0, self.length, 0.0);
        loop {
            // Down: as many as go of each choice, while better is possible.
            while room >= self.shortest[at] {
                self.looks += 1;
                if worth + self.ceiling(at, room) < self.most + self.step {
                    break;
                }
                let choice = &self.choices[at];
                taken[at] = (room / choice.length).min(choice.copies as i64) as usize;
                room -= taken[at] as i64 * choice.length;
                worth += taken[at] as f64 * choice.worth;
                at += 1;
            }
            if worth >= self.most + self.step {
                self.most = worth;
                self.found.push(taken.clone());
            }
            // Back: one less of the last choice taken.
            let Some(last) = taken[..at].iter().rposition(|&times| times > 0) else {
                return true;
            };
            let looks = if self.found.is_empty() { LOOKS } else { LOOKS_WITH_LUCK };
            if self.looks >= looks {
                return false;
            }
            taken[last] -= 1;
            room += self.choices[last].length;
            worth -= self.choices[last].worth;
            at = last + 1;
        }
    }
}
