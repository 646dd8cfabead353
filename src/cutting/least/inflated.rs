//! The kerf taken into the sizes, once, so that nothing after it has to think of saws.
//!
//! A piece inflated by one kerf each way, on a panel inflated likewise, needs no kerf between pieces:
//! pieces `a` and `b` fit a panel `w` side by side when `a + k + b <= w`, which is
//! `(a + k) + (b + k) <= w + k`.

use super::{CutWay, ItemType, Panel, PanelProblem, StockSize};

/// A problem whose sizes carry the kerf.
#[derive(Clone)]
pub(super) struct Inflated {
    pub stock: Vec<StockSize>,
    pub items: Vec<ItemType>,
    pub kerf: i64,
}

impl Inflated {
    pub(super) fn new(problem: &PanelProblem) -> Self {
        let inflate = |size: [i64; 2]| size.map(|side| side + problem.kerf);
        Self {
            stock: problem
                .stock
                .iter()
                .map(|s| StockSize { size: inflate(s.size), ..*s })
                .collect(),
            items: problem.items.iter().map(|i| ItemType { size: inflate(i.size), ..*i }).collect(),
            kerf: problem.kerf,
        }
    }

    /// Asks no more for pieces that no panel is large enough for; how many of each item.
    pub(super) fn leave_out_unfit(&mut self) -> Vec<usize> {
        let stock = &self.stock;
        let unfit = |item: &mut ItemType| {
            let fits = stock.iter().any(|stock| item.fits(stock.size));
            if fits { 0 } else { std::mem::take(&mut item.demand) }
        };
        self.items.iter_mut().map(unfit).collect()
    }

    /// Whether pieces can only lie behind one another along the first axis: none is turned, and two
    /// beside each other are wider than any panel.
    pub(super) fn is_one_dimensional(&self) -> bool {
        let widest = self.stock.iter().map(|stock| stock.size[1]).max().unwrap_or_default();
        let turns = |item: &ItemType| {
            let turned = item.poses().find(|(_, turned)| *turned);
            turned.is_some_and(|(size, _)| self.stock.iter().any(|stock| within(size, stock.size)))
        };
        let mut asked = self.items.iter().filter(|item| item.demand > 0);
        asked.all(|item| 2 * item.size[1] > widest && !turns(item))
    }

    /// How many pieces are asked for.
    pub(super) fn pieces(&self) -> usize {
        self.items.iter().map(|item| item.demand).sum()
    }
}

impl StockSize {
    /// What it costs for its size.
    pub(super) fn rate(&self) -> f64 {
        self.cost as f64 / (self.size[0] as f64 * self.size[1] as f64)
    }
}

impl ItemType {
    /// The sizes it may take on a panel: one, or two where turning makes a difference.
    pub(super) fn poses(&self) -> impl Iterator<Item = ([i64; 2], bool)> + use<> {
        let [a, b] = self.size;
        let turned = (self.turns && a != b).then_some(([b, a], true));
        std::iter::once((self.size, false)).chain(turned)
    }

    pub(super) fn fits(&self, size: [i64; 2]) -> bool {
        self.poses().any(|(pose, _)| within(pose, size))
    }

    pub(super) fn area(&self) -> i64 {
        self.size[0] * self.size[1]
    }
}

/// Whether something of `size` fits on a panel of size `on`.
pub(super) fn within(size: [i64; 2], on: [i64; 2]) -> bool {
    size[0] <= on[0] && size[1] <= on[1]
}

/// More parts than this in a row are sawn in halves first, so that the tree stays shallow.
const ROW: usize = 24;

/// A panel `size` large (inflated) sawn into `parts` side by side along `axis`, each with what
/// becomes of it; the rest is left over.
pub(super) fn row(axis: usize, size: i64, parts: Vec<(i64, Panel)>, kerf: i64) -> Panel {
    let rest = size - parts.iter().map(|(wide, _)| wide).sum::<i64>();
    let way = if axis == 0 { CutWay::Across } else { CutWay::Along };
    join(way, parts, rest > 0, kerf).1
}

/// How wide `parts` are together and how they come apart; `open` where something is left after.
fn join(way: CutWay, mut parts: Vec<(i64, Panel)>, open: bool, kerf: i64) -> (i64, Panel) {
    let sawn = |(wide, first): (i64, Panel), (rest, second): (i64, Panel)| {
        let (first, second) = (Box::new(first), Box::new(second));
        (wide + rest, Panel::Sawn { way, at: wide - kerf, first, second })
    };
    if parts.len() > ROW {
        let second = parts.split_off(parts.len() / 2);
        return sawn(join(way, parts, false, kerf), join(way, second, open, kerf));
    }
    let mut after = if open { Some((0, Panel::Remainder)) } else { parts.pop() };
    while let Some(part) = parts.pop() {
        after = Some(match after {
            Some(after) => sawn(part, after),
            None => part,
        });
    }
    after.unwrap_or((0, Panel::Remainder))
}

/// A piece of `item`, of inflated size `piece`, sawn from the corner of a panel `size` large.
pub(super) fn cut_out(
    item: usize,
    piece: [i64; 2],
    turned: bool,
    size: [i64; 2],
    kerf: i64,
) -> Panel {
    let strip = row(1, size[1], vec![(piece[1], Panel::piece(item, turned))], kerf);
    row(0, size[0], vec![(piece[0], strip)], kerf)
}
