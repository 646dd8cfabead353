//! The pieces of one stock: what is to be sawn from it and how it is laid out.

use std::collections::BTreeMap;

use super::bevel::{self, Sort, Strip};
use super::blank::Piece;
use super::cut::Rules;
use super::grow::{self, Growth};
use super::search::{Panels, Question, unmet};
use super::supply::Supply;
use super::{Answer, Budget, Item, Problem, Stock, Unfit, micrometres, solve};
use crate::shop::{Shop, StockKind, StockRow};

/// What a blank becomes: one piece, or a strip for the tilted blade.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sawn {
    /// Index of the piece.
    Piece(usize),
    /// Index of the strip.
    Strip(usize),
}

/// One stock with all that is sawn from it.
pub(super) struct Group<'s> {
    pub row: &'s StockRow,
    pub supply: Supply,
    pub problem: Problem,
    pub growth: Vec<Growth>,
    /// For each item, what its blanks become; the first is given out first.
    pub members: Vec<Vec<Sawn>>,
    pub strips: Vec<Strip>,
    /// How many strips other stock has before these.
    pub strips_before: usize,
    /// Pieces that no panel of the stock is large enough for.
    pub too_large: Vec<usize>,
}

/// How a group is laid out.
pub(super) struct Laid {
    /// No plan costs less, however cleat strips are paired.
    pub lower: i64,
    /// By an answer that looks at waste alone.
    pub plain: Panels,
    /// As it is sawn.
    pub panels: Panels,
    /// Why there is no answer.
    pub unfit: Option<Unfit>,
}

impl<'s> Group<'s> {
    /// Of `pieces`, those of the stock `index` that `wanted` lets through; `strips_before` is how
    /// many strips other stock has.
    pub fn new(
        pieces: &[Piece],
        shop: &'s Shop,
        index: usize,
        supply: Supply,
        strips_before: usize,
        wanted: &dyn Fn(&Piece) -> bool,
    ) -> Option<Self> {
        let row = shop.stock.get(index)?;
        let kerf = micrometres(shop.kerf);
        let problem = Problem { stock: supply.stock.clone(), items: Vec::new(), kerf };
        let mut group = Self {
            row,
            supply,
            problem,
            growth: Vec::new(),
            members: Vec::new(),
            strips: Vec::new(),
            strips_before,
            too_large: Vec::new(),
        };
        let mut kinds: BTreeMap<Kind, Vec<Sawn>> = BTreeMap::new();
        let mut bevelled: BTreeMap<(i64, i64), Vec<(i64, usize)>> = BTreeMap::new();
        for (i, piece) in pieces.iter().enumerate().filter(|(_, piece)| wanted(piece)) {
            let Some(blank) = piece.blank.filter(|blank| blank.stock == Some(index)) else {
                continue;
            };
            if !group.has_size_for(blank.size, blank.turns) {
                group.too_large.push(i);
            } else if let Some(angle) = blank.bevel {
                let [length, width] = blank.size;
                bevelled.entry((width, angle)).or_default().push((length, i));
            } else {
                let growth = match blank.shaped {
                    [false, false] => Growth::None,
                    shaped => Growth::Shaped(shaped),
                };
                let kind = (blank.size, blank.turns, growth);
                kinds.entry(kind).or_default().push(Sawn::Piece(i));
            }
        }
        group.add_strips(bevelled, row.thickness, &mut kinds);
        // Largest first, so that items have an order that does not hang on how they are counted.
        for ((size, turns, growth), members) in kinds.into_iter().rev() {
            group.problem.items.push(Item { size, turns, demand: members.len() });
            group.growth.push(growth);
            group.members.push(members);
        }
        Some(group)
    }

    fn add_strips(
        &mut self,
        bevelled: BTreeMap<(i64, i64), Vec<(i64, usize)>>,
        thickness: f64,
        kinds: &mut BTreeMap<Kind, Vec<Sawn>>,
    ) {
        let kerf = self.problem.kerf;
        for ((width, angle), pieces) in bevelled {
            let wide = self.sizes().filter(|size| size[1] >= width);
            let longest = wide.map(|size| size[0]).max().unwrap_or_default();
            let sort = Sort::new(width, angle, thickness, kerf);
            let fits = |size: [i64; 2]| self.has_size_for(size, false);
            for strip in bevel::strips(&pieces, sort, longest, &fits) {
                let sawn = Sawn::Strip(self.strips_before + self.strips.len());
                kinds.entry((strip.size, false, Growth::Longer)).or_default().push(sawn);
                self.strips.push(strip);
            }
        }
    }

    /// Sizes that the stock comes in, whether at hand or to be bought.
    fn sizes(&self) -> impl Iterator<Item = [i64; 2]> {
        let bought = self.supply.bought(self.row).into_iter().map(|stock| stock.size);
        self.problem.stock.iter().map(|stock| stock.size).chain(bought)
    }

    fn has_size_for(&self, size: [i64; 2], turns: bool) -> bool {
        let holds = |panel: [i64; 2], [a, b]: [i64; 2]| a <= panel[0] && b <= panel[1];
        self.sizes().any(|panel| holds(panel, size) || turns && holds(panel, [size[1], size[0]]))
    }

    pub fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// How many blanks it comes to.
    pub fn pieces(&self) -> u64 {
        self.members.iter().map(|members| members.len() as u64).sum()
    }

    pub fn is_dowel(&self) -> bool {
        self.row.kind == StockKind::Dowel
    }

    /// Lays it out twice: for least waste, and as it is best to saw.
    pub fn lay(&self, shop: &Shop, rules: &Rules, steps: u64) -> Laid {
        let solved = solve(&self.problem, Budget { steps: steps / 2 });
        let unfit = solved.as_ref().err().cloned();
        let answer = solved.unwrap_or_else(|_| nothing(&self.problem));
        let question = Question {
            problem: &self.problem,
            sizes: &grow::sizes(&self.problem.items, &self.growth, &self.problem.stock),
            rules,
            saw: &shop.saw,
            is_dowel: self.is_dowel(),
        };
        let plain = question.panels(&answer);
        let panels = question.best(plain.clone(), steps / 2);
        let lower = self.lower(&answer, steps / 4);
        Laid { lower, plain, panels, unfit }
    }

    /// How many new panels of the stock make what `panels` have no room for.
    pub fn to_buy(&self, panels: &Panels, steps: u64) -> usize {
        let unmet = unmet(&self.problem, panels);
        let items = self.problem.items.iter().zip(unmet);
        let items: Vec<Item> = items.map(|(item, demand)| Item { demand, ..*item }).collect();
        if items.iter().all(|item| item.demand == 0) {
            return 0;
        }
        let stock: Vec<Stock> = self.supply.bought(self.row);
        let problem = Problem { stock, items, kerf: self.problem.kerf };
        solve(&problem, Budget { steps }).map_or(0, |answer| answer.sheets)
    }

    /// What no plan costs less than. What is proved of `answer` holds for cleat strips as they are
    /// paired; where there are any, it is proved anew for their pieces one by one.
    fn lower(&self, answer: &Answer, steps: u64) -> i64 {
        if self.strips.is_empty() {
            return answer.lower;
        }
        let lower = solve(&self.by_piece(), Budget { steps }).map_or(0, |answer| answer.lower);
        lower.min(answer.lower)
    }

    /// The problem with each piece of a cleat strip by itself, half as wide as a pair: whichever
    /// way strips are paired, their pieces could be sawn so from the same wood.
    fn by_piece(&self) -> Problem {
        let kerf = self.problem.kerf;
        let mut items = Vec::new();
        for (item, members) in self.problem.items.iter().zip(&self.members) {
            let square = members.iter().filter(|sawn| matches!(sawn, Sawn::Piece(_))).count();
            items.push(Item { demand: square, ..*item });
        }
        items.retain(|item| item.demand > 0);
        let mut cleats: BTreeMap<[i64; 2], usize> = BTreeMap::new();
        for strip in &self.strips {
            let width = strip.width.min((strip.double - kerf) / 2);
            for (length, _) in strip.bars.iter().flat_map(|bar| &bar.pieces) {
                *cleats.entry([*length, width]).or_default() += 1;
            }
        }
        items.extend(cleats.into_iter().map(|(size, demand)| Item { size, turns: false, demand }));
        Problem { stock: self.problem.stock.clone(), items, kerf }
    }

    /// The pieces that a blank becomes.
    pub fn pieces_of(&self, sawn: Sawn) -> Vec<usize> {
        match sawn {
            Sawn::Piece(piece) => vec![piece],
            Sawn::Strip(strip) => {
                let strip = strip.checked_sub(self.strips_before);
                let strip = strip.and_then(|strip| self.strips.get(strip));
                let bars = strip.into_iter().flat_map(|strip| &strip.bars);
                bars.flat_map(|bar| bar.pieces.iter().map(|(_, piece)| *piece)).collect()
            }
        }
    }

    /// How many of `panels` are new, not offcuts.
    pub fn new_ones(&self, panels: &Panels) -> usize {
        panels.iter().filter(|(stock, _)| !self.supply.is_offcut(*stock)).count()
    }

    /// What `panels` have no room for.
    pub fn missing(&self, panels: &Panels) -> Vec<Sawn> {
        let unmet = unmet(&self.problem, panels);
        let members = self.members.iter().zip(unmet);
        members
            .flat_map(|(all, unmet)| all.iter().skip(all.len().saturating_sub(unmet)).copied())
            .collect()
    }
}

/// The answer that makes nothing.
fn nothing(problem: &Problem) -> Answer {
    Answer {
        layouts: Vec::new(),
        unmet: problem.items.iter().map(|item| item.demand).collect(),
        cost: 0,
        sheets: 0,
        lower: 0,
        proved: false,
    }
}

/// Size, whether it turns, how it may grow.
type Kind = ([i64; 2], bool, Growth);
