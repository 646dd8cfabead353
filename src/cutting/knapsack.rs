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
    /// (item, how often), in order of items.
    pub makes: Vec<(usize, usize)>,
    pub worth: f64,
    /// No choice is worth more.
    pub most: f64,
}

/// Looks before the search is broken off, and the bound at the beginning has to do.
const LOOKS: usize = 3_000_000;

pub(super) fn pack(length: i64, mut choices: Vec<Choice>, purse: &mut Purse) -> Packed {
    choices.retain(|choice| choice.worth > 0.0 && choice.copies > 0 && choice.length <= length);
    let rate = |choice: &Choice| choice.worth / choice.length as f64;
    choices.sort_by(|a, b| rate(b).total_cmp(&rate(a)).then(a.item.cmp(&b.item)));
    let mut search = Search::new(&choices, length);
    search.run();
    purse.spend(search.looks as u64 / 2 + choices.len() as u64);
    let mut makes: Vec<(usize, usize)> = choices
        .iter()
        .zip(&search.best)
        .filter(|(_, times)| **times > 0)
        .map(|(choice, &times)| (choice.item, times))
        .collect();
    makes.sort_unstable();
    let most = if search.looks < LOOKS { search.most } else { search.ceiling(0, length).floor() };
    Packed { makes, worth: search.most, most }
}

struct Search<'a> {
    choices: &'a [Choice],
    length: i64,
    /// The shortest piece from each choice on.
    shortest: Vec<i64>,
    best: Vec<usize>,
    most: f64,
    looks: usize,
}

impl<'a> Search<'a> {
    fn new(choices: &'a [Choice], length: i64) -> Self {
        let mut shortest = vec![i64::MAX; choices.len() + 1];
        for (at, choice) in choices.iter().enumerate().rev() {
            shortest[at] = shortest[at + 1].min(choice.length);
        }
        Self { choices, length, shortest, best: vec![0; choices.len()], most: 0.0, looks: 0 }
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

    fn run(&mut self) {
        let mut taken = vec![0; self.choices.len()];
        let (mut at, mut room, mut worth) = (0, self.length, 0.0);
        loop {
            // Down: as many as go of each choice, while better is possible.
            while room >= self.shortest[at] && self.looks < LOOKS {
                self.looks += 1;
                // Worths are whole, so better is better by one.
                if worth + self.ceiling(at, room) < self.most + 1.0 {
                    break;
                }
                let choice = &self.choices[at];
                taken[at] = (room / choice.length).min(choice.copies as i64) as usize;
                room -= taken[at] as i64 * choice.length;
                worth += taken[at] as f64 * choice.worth;
                at += 1;
            }
            if worth > self.most {
                self.most = worth;
                self.best.copy_from_slice(&taken);
            }
            // Back: one less of the last choice taken.
            let Some(last) = taken[..at].iter().rposition(|&times| times > 0) else { return };
            if self.looks >= LOOKS {
                return;
            }
            taken[last] -= 1;
            room += self.choices[last].length;
            worth -= self.choices[last].worth;
            at = last + 1;
        }
    }
}
