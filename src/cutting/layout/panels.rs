//! Panels in use and what lies on them.

use super::super::index::SheetIndex;
use super::super::least::{Answer, PanelProblem, StockIndex};
use super::super::work::{Fate, Root, Slab, WorkName};

/// Panels in use.
pub(crate) type Panels = Vec<LaidPanel>;

/// A panel with what becomes of it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(crate) struct LaidPanel {
    pub stock: StockIndex,
    pub slab: Slab,
}

impl LaidPanel {
    /// Share of it that becomes blanks, from 0 to 1.
    pub(crate) fn filling(&self) -> f64 {
        fn area(slab: &Slab) -> f64 {
            match slab.fate {
                Fate::Blank { .. } => slab.size[0] as f64 * slab.size[1] as f64,
                Fate::Remainder | Fate::Sliced { .. } => slab.slices().iter().map(area).sum(),
            }
        }
        area(&self.slab) / (self.slab.size[0] as f64 * self.slab.size[1] as f64)
    }
}

/// The panels of an answer.
pub(super) fn of_answer(problem: &PanelProblem, answer: &Answer) -> Panels {
    let mut panels = Panels::new();
    for layout in &answer.layouts {
        let Some(stock) = layout.stock.of(problem) else { continue };
        let slab = Slab::from_panel(&layout.panel, stock.size, problem.kerf);
        let panel = LaidPanel { stock: layout.stock, slab };
        panels.extend(std::iter::repeat_n(panel, layout.times));
    }
    panels
}

/// Panels as the order of work begins with them, numbered as they come.
pub(super) fn roots<'p>(panels: &'p Panels) -> Vec<Root<&'p Slab>> {
    let root = |(at, panel): (usize, &'p LaidPanel)| Root {
        sheet: SheetIndex(at),
        name: WorkName::Sheet(SheetIndex(at)),
        at: [0, 0],
        slab: &panel.slab,
    };
    panels.iter().enumerate().map(root).collect()
}

/// How many blanks of each item are on none of `panels`.
pub(super) fn unmet(problem: &PanelProblem, panels: &Panels) -> Vec<usize> {
    let mut unmet: Vec<usize> = problem.items.iter().map(|item| item.demand).collect();
    for panel in panels {
        panel.slab.each_item(&mut |item| {
            if let Some(count) = unmet.get_mut(item.0) {
                *count = count.saturating_sub(1);
            }
        });
    }
    unmet
}

/// What `panels` cost.
pub(super) fn cost(problem: &PanelProblem, panels: &Panels) -> i64 {
    let stock = panels.iter().filter_map(|panel| panel.stock.of(problem));
    stock.map(|stock| stock.cost).sum()
}
