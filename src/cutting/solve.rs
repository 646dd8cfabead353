//! Fewest and cheapest panels for the pieces wanted: best fit into what is free, each panel split
//! by straight cuts, and a bound from areas.

use super::{Item, Panel, Problem, Way};

/// How much may be tried, in steps, so that the same budget gives the same answer. A step is about
/// one look at one place, a few nanoseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    pub steps: u64,
}

impl Default for Budget {
    /// About two seconds on one core of an ordinary machine.
    fn default() -> Self {
        Self { steps: 200_000_000 }
    }
}

/// A figure that can't be reckoned with.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unfit {
    #[error("a size of {size} is not above 0")]
    Size { size: i64 },
}

/// What is sawn from what.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    pub layouts: Vec<Layout>,
    /// Of each item, how many pieces there is no room for.
    pub unmet: Vec<usize>,
    pub cost: i64,
    /// Panels in use, offcuts too.
    pub sheets: usize,
    /// No answer that makes every piece costs less.
    pub lower: i64,
    /// Whether `cost` is the least there is.
    pub proved: bool,
}

/// One way to saw a panel of a stock, and how many panels are sawn so.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    pub stock: usize,
    pub times: usize,
    pub panel: Panel,
}

/// Lays pieces out, the largest first, each where it leaves the least room beside it.
///
/// # Errors
/// [`Unfit`] for a figure out of bounds.
pub fn solve(problem: &Problem, _budget: Budget) -> Result<Answer, Unfit> {
    let sizes = problem.items.iter().flat_map(|item| item.size);
    if let Some(size) = sizes.into_iter().find(|size| *size <= 0) {
        return Err(Unfit::Size { size });
    }
    let mut bench = Bench { problem, panels: Vec::new() };
    let mut unmet = vec![0; problem.items.len()];
    for (item, wanted) in by_size(&problem.items) {
        for _ in 0..wanted.demand {
            if !bench.place(item, wanted)
                && let Some(count) = unmet.get_mut(item)
            {
                *count += 1;
            }
        }
    }
    let costs = bench.panels.iter().filter_map(|p| Some(problem.stock.get(p.stock)?.cost));
    let (cost, lower) = (costs.sum(), lower(problem));
    let layouts: Vec<Layout> = bench
        .panels
        .into_iter()
        .map(|p| Layout { stock: p.stock, times: 1, panel: p.root.into_panel() })
        .collect();
    let proved = cost == lower && unmet.iter().all(|count| *count == 0);
    Ok(Answer { sheets: layouts.len(), layouts, unmet, cost, lower, proved })
}

fn by_size(items: &[Item]) -> Vec<(usize, &Item)> {
    let mut order: Vec<(usize, &Item)> = items.iter().enumerate().collect();
    order.sort_by_key(|(_, item)| std::cmp::Reverse((item.size[0].max(item.size[1]), item.size)));
    order
}

/// What the pieces cost at least, by their area alone, once all that is free is used up.
fn lower(problem: &Problem) -> i64 {
    let area = |size: [i64; 2]| i128::from(size[0]) * i128::from(size[1]);
    let mut wanted: i128 = problem.items.iter().map(|i| area(i.size) * i.demand as i128).sum();
    let mut paid = Vec::new();
    for stock in &problem.stock {
        match (stock.cost, stock.quantity) {
            (0, Some(quantity)) => wanted -= area(stock.size) * quantity as i128,
            (0, None) => return 0,
            _ => paid.push(stock),
        }
    }
    if wanted <= 0 {
        return 0;
    }
    match paid.as_slice() {
        [only] if area(only.size) > 0 => {
            let sheets = (wanted + area(only.size) - 1) / area(only.size);
            i64::try_from(sheets * i128::from(only.cost)).unwrap_or(i64::MAX)
        }
        several => several.iter().map(|stock| stock.cost).min().unwrap_or(0),
    }
}

struct Open {
    stock: usize,
    root: Node,
}

enum Node {
    Free([i64; 2]),
    Piece { item: usize, turned: bool },
    Sawn { way: Way, at: i64, parts: Box<[Node; 2]> },
}

struct Bench<'p> {
    problem: &'p Problem,
    panels: Vec<Open>,
}

impl Bench<'_> {
    fn place(&mut self, item: usize, wanted: &Item) -> bool {
        let kerf = self.problem.kerf;
        let best = self
            .panels
            .iter()
            .enumerate()
            .filter_map(|(i, open)| Some((open.root.room(wanted)?, i)))
            .min();
        let panel = match best {
            Some((_, panel)) => panel,
            None => match self.open(wanted) {
                Some(panel) => panel,
                None => return false,
            },
        };
        let Some(open) = self.panels.get_mut(panel) else { return false };
        let Some(room) = open.root.room(wanted) else { return false };
        open.root.put(item, wanted, room, kerf)
    }

    /// Takes a fresh panel the piece fits on, the cheapest and then the smallest.
    fn open(&mut self, wanted: &Item) -> Option<usize> {
        let used = |stock: usize| self.panels.iter().filter(|p| p.stock == stock).count();
        let fresh = self.problem.stock.iter().enumerate().filter(|(i, stock)| {
            stock.quantity.is_none_or(|q| used(*i) < q)
                && Node::Free(stock.size).room(wanted).is_some()
        });
        let (stock, found) = fresh.min_by_key(|(_, s)| (s.cost, s.size[0] * s.size[1]))?;
        self.panels.push(Open { stock, root: Node::Free(found.size) });
        Some(self.panels.len() - 1)
    }
}

/// How tight a piece lies, smaller is tighter, and whether it lies turned.
type Room = (i64, bool);

impl Node {
    fn room(&self, wanted: &Item) -> Option<Room> {
        match self {
            Self::Piece { .. } => None,
            Self::Sawn { parts, .. } => parts.iter().filter_map(|part| part.room(wanted)).min(),
            Self::Free(size) => {
                let [length, width] = wanted.size;
                let ways = [([length, width], false), ([width, length], true)];
                let ways = ways.into_iter().filter(|(_, turned)| !turned || wanted.turns);
                ways.filter(|(s, _)| s[0] <= size[0] && s[1] <= size[1])
                    .map(|(s, turned)| ((size[0] - s[0]).min(size[1] - s[1]), turned))
                    .min()
            }
        }
    }

    fn put(&mut self, item: usize, wanted: &Item, room: Room, kerf: i64) -> bool {
        match self {
            Self::Piece { .. } => false,
            Self::Sawn { parts, .. } => {
                let part = parts.iter_mut().find(|part| part.room(wanted) == Some(room));
                part.is_some_and(|part| part.put(item, wanted, room, kerf))
            }
            Self::Free(size) => {
                let [length, width] = wanted.size;
                let piece = if room.1 { [width, length] } else { [length, width] };
                *self = split(*size, piece, Self::Piece { item, turned: room.1 }, kerf);
                true
            }
        }
    }

    fn into_panel(self) -> Panel {
        match self {
            Self::Free(_) => Panel::Left,
            Self::Piece { item, turned } => Panel::Piece { item, turned },
            Self::Sawn { way, at, parts } => {
                let [first, second] = *parts;
                let [first, second] = [first, second].map(|n| Box::new(n.into_panel()));
                Panel::Sawn { way, at, first, second }
            }
        }
    }
}

/// A panel of `size` with `piece` sawn out at its corner, so that the larger rest is largest.
fn split(size: [i64; 2], piece: [i64; 2], what: Node, kerf: i64) -> Node {
    let rest = [0, 1].map(|i| (size[i] - piece[i] - kerf).max(0));
    let cut = |way: Way, at: i64, whole: i64, first: Node, rest: [i64; 2]| {
        if at == whole {
            return first;
        }
        Node::Sawn { way, at, parts: Box::new([first, Node::Free(rest)]) }
    };
    let across_first = rest[0] * size[1] >= size[0] * rest[1];
    if across_first {
        let inner = cut(Way::Along, piece[1], size[1], what, [piece[0], rest[1]]);
        cut(Way::Across, piece[0], size[0], inner, [rest[0], size[1]])
    } else {
        let inner = cut(Way::Across, piece[0], size[0], what, [rest[0], piece[1]]);
        cut(Way::Along, piece[1], size[1], inner, [size[0], rest[1]])
    }
}
