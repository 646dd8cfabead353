//! How many holders the tools are shared between, so that none is longer than it may be; each worked out.

use std::sync::Arc;

use super::ground::Ground;
use super::plain::plain;
use super::subject::Subject;
use crate::cutting::{self, Budget};
use crate::holder::{Holder, Level, build};
use crate::inventory::Share;
use crate::length::Units;
use crate::reading::Problems;
use crate::router;
use crate::settle::{Soon, soon_settled};
use crate::shop::{Shop, StockKind, StockRow};
use crate::style::{HolderFile, Many, Style};
use crate::tolerance::COORDINATE;

/// The longest a holder is to be, so that one person lifts it onto its cleat, and the longest wall cleat that a small
/// shop hangs; each in inches and in mm. Common practice, no source.
const LIFTED: [f64; 2] = [36.0, 900.0];
const CLEAT: [f64; 2] = [48.0, 1200.0];

/// The tools of one kind are shared between at most so many holders.
const MOST: usize = 8;

/// One holder of those that the tools are shared between.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    /// The names of the tools.
    pub tools: Vec<String>,
    /// How many of the one tool hang here, where others have the rest.
    pub count: Option<usize>,
    pub places: usize,
    pub spare: usize,
}

/// The fewest holders of `style` for the tools that are short enough and that nothing warns of; where something warns
/// of one tool too, the fewest that nothing stops.
///
/// # Errors
/// With what stops them.
pub(super) fn sized(
    ground: &Ground,
    style: &Style,
    subject: &Subject<'_>,
) -> Result<Vec<Piece>, String> {
    let cut = Cut { ground, style, subject };
    let most = if subject.tools.len() > 1 { subject.tools.len() } else { subject.count() };
    let least = if holds_many(style) { 1 } else { most };
    let (mut warned, mut stop) = (None, None);
    for parts in least..=most.min(MOST).max(least) {
        let shares = cut.parts(parts);
        if parts < most && !cut.is_short(&shares) {
            continue;
        }
        match cut.tried(&shares) {
            Ok(Tried { pieces, is_short: true, is_clear: true }) => return Ok(pieces),
            Ok(Tried { pieces, .. }) if parts == most => drop(warned.get_or_insert(pieces)),
            Ok(Tried { pieces, is_short: true, .. }) => drop(warned.get_or_insert(pieces)),
            Ok(_) => {}
            Err(why) => drop(stop.get_or_insert(why)),
        }
        if warned.is_some() && !cut.is_clear_alone() {
            break;
        }
    }
    warned.ok_or_else(|| stop.unwrap_or_default())
}

/// Whether a style has places for several tools: a count of them, or a list of readings.
fn holds_many(style: &Style) -> bool {
    let counts = style.own().counts.as_ref().is_some_and(|counts| counts.tools.is_some());
    counts || style.measures().any(|(_, measure, _)| measure.many() != Many::One)
}

/// What was worked out.
struct Tried {
    pieces: Vec<Piece>,
    /// Whether none is longer than it may be.
    is_short: bool,
    /// Whether nothing warns of any.
    is_clear: bool,
}

/// The tools of a subject, to be shared between holders of a style.
struct Cut<'c, 'i> {
    ground: &'c Ground,
    style: &'c Style,
    subject: &'c Subject<'i>,
}

/// The tools of one holder.
type Run<'i> = Vec<Share<'i>>;

impl<'i> Cut<'_, 'i> {
    /// Holders for the tools in such parts, worked out by themselves in the project's shop. Of one kind of tool the first
    /// has the most.
    fn tried(&self, parts: &[Run<'i>]) -> Result<Tried, String> {
        let alike = self.subject.tools.len() == 1;
        let looked_at = if alike { &parts[..parts.len().min(1)] } else { parts };
        let soon = looked_at.iter().map(|shares| self.soon(shares));
        let soon: Vec<Soon> = soon.collect::<Result<_, _>>()?;
        let stopped = soon.iter().find(|soon| soon.found[0] > 0 || !has_stock(soon));
        if let Some(stopped) = stopped {
            let short = || "the shop has too little stock for it".to_owned();
            return Err(stopped.first.clone().unwrap_or_else(short));
        }
        let pieces = parts.iter().enumerate().map(|(i, shares)| {
            let own = soon.get(i).map(|soon| soon.holder.clone()).or_else(|| self.built(shares));
            self.piece(shares, own.as_ref(), parts.len())
        });
        Ok(Tried {
            pieces: pieces.collect(),
            is_short: soon.iter().all(|soon| self.may_be(&soon.holder, &soon.shop)),
            is_clear: soon.iter().all(|soon| soon.found[1] == 0),
        })
    }

    fn piece(&self, shares: &Run<'i>, holder: Option<&Holder>, parts: usize) -> Piece {
        let places = shares.iter().map(|share| share.count).sum();
        let counted = parts > 1 && self.subject.tools.len() == 1;
        Piece {
            tools: shares.iter().map(|share| share.tool.name.get_ref().clone()).collect(),
            count: counted.then_some(places),
            places,
            spare: holder.map_or(0, |holder| spare(self.style, holder, places)),
        }
    }

    fn soon(&self, shares: &Run<'i>) -> Result<Soon, String> {
        let told = |wrong: Problems| first(wrong.iter().map(ToString::to_string));
        let file = self.file(shares).ok_or_else(String::new)?;
        soon_settled(&file, &self.ground.shop).map_err(told)
    }

    /// The holder of some tools as its style begins.
    fn built(&self, shares: &Run<'i>) -> Option<Holder> {
        build(&self.file(shares)?, &self.ground.shop).ok()
    }

    fn file(&self, shares: &Run<'i>) -> Option<HolderFile> {
        let names: Vec<&str> =
            shares.iter().map(|share| share.tool.name.get_ref().as_str()).collect();
        let part = match shares.as_slice() {
            [Share { tool, count }] if count < tool.count.get_ref() => Some(*count),
            _ => None,
        };
        let part = part.filter(|_| self.subject.tools.len() == 1);
        let text = plain(self.ground, self.style, (&self.subject.name, &names), part);
        self.ground.file(text, shares)
    }

    /// Whether all holders are short enough as their style begins.
    fn is_short(&self, parts: &[Run<'i>]) -> bool {
        let built = parts.iter().filter_map(|shares| self.built(shares));
        built.into_iter().all(|holder| self.may_be(&holder, &self.ground.shop))
    }

    /// Whether a holder is not too long, or one tool alone makes it so.
    fn may_be(&self, holder: &Holder, shop: &Shop) -> bool {
        let length = holder.size[0];
        length <= limit(holder, shop) + COORDINATE || length <= self.single() + COORDINATE
    }

    /// How long the holder of one tool is, of the longest, in mm.
    fn single(&self) -> f64 {
        let each =
            self.subject.tools.iter().map(|tool| self.length(&vec![Share { tool, count: 1 }]));
        each.fold(0.0, f64::max)
    }

    /// Whether nothing warns of a holder for one tool: more holders may be of help then.
    fn is_clear_alone(&self) -> bool {
        let first = self.subject.tools.first();
        let alone = first.map(|tool| self.soon(&vec![Share { tool, count: 1 }]));
        alone.is_some_and(|soon| soon.is_ok_and(|soon| soon.found == [0, 0]))
    }

    /// How long the holder of some tools is as its style begins, in mm; 0 where it can't be built.
    fn length(&self, shares: &Run<'i>) -> f64 {
        self.built(shares).map_or(0.0, |holder| holder.size[0])
    }

    /// The tools in so many parts: those of one kind by their count, those of a set by their names.
    fn parts(&self, parts: usize) -> Vec<Run<'i>> {
        let tools = &self.subject.tools;
        let all: Run<'i> =
            tools.iter().map(|tool| Share { tool, count: *tool.count.get_ref() }).collect();
        match all.as_slice() {
            _ if parts == 1 => vec![all],
            [Share { tool, count }] => {
                let each = (0..parts).map(|i| count / parts + usize::from(i < count % parts));
                each.map(|count| vec![Share { tool, count }]).collect()
            }
            _ => self.named_parts(&all, parts),
        }
    }

    fn named_parts(&self, all: &Run<'i>, parts: usize) -> Vec<Run<'i>> {
        let whole = self.length(all);
        let takes = (0..all.len()).map(|left_out| {
            let mut others = all.clone();
            others.remove(left_out);
            (whole - self.length(&others)).max(0.0)
        });
        let takes: Vec<f64> = takes.collect();
        let mut rest = all.as_slice();
        let each = even_runs(&takes, parts).into_iter().map(|run| {
            let (own, more) = rest.split_at(run);
            rest = more;
            own.to_vec()
        });
        each.filter(|run| !run.is_empty()).collect()
    }
}

/// Whether the shop has the stock that a holder takes.
fn has_stock(soon: &Soon) -> bool {
    let holders = [Arc::new(soon.holder.clone())];
    let router = router::plan(&holders, &soon.shop);
    let cutting = cutting::plan(&holders, &soon.shop, &router, Budget { steps: 0 });
    let mut findings = router.findings.iter().chain(&cutting.findings);
    !findings.any(|finding| finding.level == Level::Stop)
}

/// Lengths in so many runs, one after the other, the longest of them as short as can be: how many are in each.
pub(super) fn even_runs(lengths: &[f64], runs: usize) -> Vec<usize> {
    let sum = |from: usize, to: usize| lengths[from..to].iter().sum::<f64>();
    // best[k][n]: the longest of k + 1 runs of the first n, and where the last of them begins.
    let mut best: Vec<Vec<(f64, usize)>> =
        vec![(0..=lengths.len()).map(|n| (sum(0, n), 0)).collect()];
    for k in 1..runs {
        let row = (0..=lengths.len()).map(|n| {
            let cuts = (k.min(n)..=n).map(|cut| (best[k - 1][cut].0.max(sum(cut, n)), cut));
            cuts.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0))
        });
        let row = row.collect();
        best.push(row);
    }
    let mut end = lengths.len();
    let mut counts: Vec<usize> = (0..runs)
        .rev()
        .map(|k| {
            let begin = if k == 0 { 0 } else { best[k][end].1 };
            let count = end - begin;
            end = begin;
            count
        })
        .collect();
    counts.reverse();
    counts
}

/// How many further places a holder has: empty ones by its count, or more entries in its lists of readings than tools.
fn spare(style: &Style, holder: &Holder, places: usize) -> usize {
    let empty = places as f64 * holder.spare / (1.0 - holder.spare).max(f64::EPSILON);
    let lists = style.measures().filter(|(_, measure, _)| measure.many() == Many::Any);
    let listed = lists.filter_map(|(name, ..)| holder.values.get(name)).map(|l| l.entries().len());
    let listed = listed.max().unwrap_or_default().saturating_sub(places);
    if holder.spare > 0.0 { empty.round() as usize } else { listed }
}

/// The longest that a holder may be, in mm: one that is lifted easily, and no longer than its sheet or a wall cleat.
fn limit(holder: &Holder, shop: &Shop) -> f64 {
    let metric = holder.units == Units::Millimeters;
    let usual = |[inches, mm]: [f64; 2]| if metric { mm } else { inches * Units::Inches.in_mm() };
    let of_stock = |rows: &[&StockRow]| {
        let long = rows.iter().map(|row| row.length.max(row.width)).fold(0.0, f64::max);
        if long > 0.0 { long } else { f64::INFINITY }
    };
    let cleats: Vec<&StockRow> =
        shop.stock.iter().filter(|row| row.name == shop.cleat.from).collect();
    let sheets = shop.stock.iter().filter(|row| row.kind == StockKind::Sheet);
    let picked = |row: &&StockRow| holder.picked.values().any(|name| *name == row.name);
    let sheets: Vec<&StockRow> = sheets.filter(picked).collect();
    [usual(LIFTED), usual(CLEAT), of_stock(&cleats), of_stock(&sheets)]
        .into_iter()
        .fold(f64::INFINITY, f64::min)
}

fn first(mut told: impl Iterator<Item = String>) -> String {
    told.next().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::even_runs;

    /// The longest run of a parting.
    fn longest(lengths: &[f64], counts: &[usize]) -> f64 {
        let mut rest = lengths;
        let sums = counts.iter().map(|count| {
            let (run, more) = rest.split_at(*count);
            rest = more;
            run.iter().sum::<f64>()
        });
        sums.fold(0.0, f64::max)
    }

    #[test]
    fn no_parting_into_runs_is_more_even() {
        let lengths = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0];
        assert_eq!(even_runs(&lengths, 1), [8]);
        for first in 0..=8 {
            let found = longest(&lengths, &even_runs(&lengths, 2));
            assert!(found <= longest(&lengths, &[first, 8 - first]));
            for second in 0..=8 - first {
                let found = longest(&lengths, &even_runs(&lengths, 3));
                assert!(found <= longest(&lengths, &[first, second, 8 - first - second]));
            }
        }
        assert_eq!(even_runs(&[2.0; 6], 3), [2, 2, 2]);
    }
}
