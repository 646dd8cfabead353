//! The plan that is best to saw among those that cost least.

use std::collections::HashMap;

use rayon::prelude::*;

use super::super::least::{PanelProblem, StockIndex};
use super::super::work::DispatchRule;
use super::merit::{Judge, Merit};
use super::panels::Panels;
use super::strategy::Strategy;
use super::strip_packer::pack;
use crate::random::Rng;

/// What laying one piece comes to, and what ordering its cuts, in steps of a budget; as measured.
const STEPS_TO_LAY: u64 = 150;
const STEPS_TO_ORDER: u64 = 450;

/// How many neighbors are tried in vain before a round ends: so many for each piece, and at most so many. Few pieces are
/// soon laid in every way that there is.
const PATIENCE: [usize; 2] = [9, 700];

/// How many rounds in vain end the search.
const ROUNDS: u32 = 8;

/// How many pieces are kept in mind on panels that were judged.
const IN_MIND: usize = 200_000;

/// How far from the best a round that goes on from it begins, in neighbors.
const KICKS: usize = 3;

/// What the two searches begin their random numbers with.
const SEEDS: [u64; 2] = [7, 12];

/// How many tries back "a while ago" is.
const MEMORY: usize = 40;

/// What is asked of one stock.
pub(super) struct PlanSearch<'q> {
    pub judge: Judge<'q>,
    /// Sizes that each item may be sawn at, the least first.
    pub sizes: &'q [Vec<[i64; 2]>],
}

impl PlanSearch<'_> {
    /// The best of `plain`, as it is, and of as many strip plans as `steps` last in each of two
    /// searches side by side, none of which takes more stock. The same steps give the same plan.
    pub(super) fn best(&self, plain: Panels, steps: u64) -> Panels {
        let bounded = self.bounded(&plain);
        let given = Scored { merit: self.judge.merit(&plain), panels: plain };
        let searched = SEEDS.into_par_iter().map(|seed| {
            let walk = Walk {
                search: self,
                bounded: &bounded,
                most_missing: given.merit.missing,
                rng: Rng::new(seed),
                steps,
                known: HashMap::new(),
            };
            walk.best(given.clone())
        });
        let found: Vec<Scored> = searched.collect();
        let first = found.into_iter().min_by_key(|scored| scored.merit);
        first.unwrap_or(given).panels
    }

    /// The problem with no more stock than `plain` takes, so that a plan never costs more.
    fn bounded(&self, plain: &Panels) -> PanelProblem {
        let mut bounded = self.judge.problem.clone();
        for (at, stock) in bounded.stock.iter_mut().enumerate().filter(|(_, s)| s.cost > 0) {
            let used = plain.iter().filter(|panel| panel.stock == StockIndex(at));
            stock.quantity = Some(used.count());
        }
        bounded
    }
}

/// Panels and how good they are.
#[derive(Debug, Clone)]
struct Scored {
    merit: Merit,
    panels: Panels,
}

/// The best so far, and the strategy that led to it.
struct Best {
    scored: Scored,
    /// `None` while what was given is the best.
    strategy: Option<Strategy>,
}

impl Best {
    fn offer(&mut self, scored: Scored, strategy: &Strategy) {
        if scored.merit < self.scored.merit {
            *self = Self { scored, strategy: Some(strategy.clone()) };
        }
    }
}

/// One search, with its own random numbers and steps.
struct Walk<'w> {
    search: &'w PlanSearch<'w>,
    bounded: &'w PanelProblem,
    /// What misses more than this is not worked out further.
    most_missing: i128,
    rng: Rng,
    steps: u64,
    /// Panels that were judged: other strategies often come to the same.
    known: HashMap<(Panels, DispatchRule), Merit>,
}

impl Walk<'_> {
    /// Rounds of small changes, until many in vain; each begins near the best so far, every fourth
    /// afresh.
    fn best(mut self, given: Scored) -> Scored {
        let mut best = Best { scored: given, strategy: None };
        let (mut round, mut idle) = (0_u64, 0);
        let pieces = self.bounded.pieces();
        let patience = (PATIENCE[0] * pieces).min(PATIENCE[1]);
        while self.steps > 0 && pieces > 0 && idle < ROUNDS {
            let before = best.scored.merit;
            let start = self.start(&best, round);
            self.round(start, patience, &mut best);
            round += 1;
            idle = if best.scored.merit < before { 0 } else { idle + 1 };
        }
        best.scored
    }

    fn start(&mut self, best: &Best, round: u64) -> Strategy {
        let sizes = self.search.sizes;
        match &best.strategy {
            Some(liked) if !round.is_multiple_of(4) => (0..KICKS)
                .fold(liked.clone(), |strategy, _| strategy.neighbor(sizes, &mut self.rng)),
            _ => Strategy::random(sizes, round, &mut self.rng),
        }
    }

    /// Goes on to what is no worse than what it had a while ago (Burke and Bykov's late
    /// acceptance), until it has long found nothing better.
    fn round(&mut self, mut strategy: Strategy, patience: usize, best: &mut Best) {
        let start = self.try_out(&strategy);
        let mut current = start.merit;
        best.offer(start, &strategy);
        let mut late = [current; MEMORY];
        let (mut since, mut turn) = (0, 0);
        while since < patience && self.steps > 0 {
            turn += 1;
            let Some(threshold) = late.get_mut(turn % MEMORY) else { break };
            let near = strategy.neighbor(self.search.sizes, &mut self.rng);
            let found = self.try_out(&near);
            since = if found.merit < current { 0 } else { since + 1 };
            if found.merit <= current.max(*threshold) {
                (current, strategy) = (found.merit, near);
                best.offer(found, &strategy);
            }
            *threshold = current;
        }
    }

    /// Lays out by a strategy.
    fn try_out(&mut self, strategy: &Strategy) -> Scored {
        let pieces = self.bounded.pieces() as u64;
        let panels = pack(self.bounded, strategy);
        self.steps = self.steps.saturating_sub(pieces * STEPS_TO_LAY);
        let sawn = (panels, strategy.rule);
        if let Some(merit) = self.known.get(&sawn) {
            return Scored { merit: *merit, panels: sawn.0 };
        }
        let panels = sawn.0;
        let missing = self.search.judge.missing(&panels);
        let merit = if missing > self.most_missing {
            Merit::unknown(missing)
        } else {
            self.steps = self.steps.saturating_sub(pieces * STEPS_TO_ORDER);
            self.search.judge.merit_by(strategy.rule, &panels)
        };
        if self.known.len() * pieces as usize > IN_MIND {
            self.known.clear();
        }
        self.known.insert((panels.clone(), strategy.rule), merit);
        Scored { merit, panels }
    }
}
