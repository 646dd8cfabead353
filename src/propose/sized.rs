//! How many holders the tools are shared between, so that none is longer than it may be; each worked out.

use super::file::plain;
use super::ground::Ground;
use super::subject::Subject;
use crate::formula::Value;
use crate::holder::{Finding, Holder, Level, build};
use crate::inventory::{Share, StockedTool};
use crate::length::Units;
use crate::shop::{Shop, StockKind, StockRow};
use crate::style::{Many, Style};
use crate::tolerance::COORDINATE;
use crate::work_out::work_out;

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
    /// In mm.
    length: f64,
}

/// The fewest holders of `style` for the tools that are short enough.
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
    let (mut long, mut stop) = (None::<Vec<Piece>>, None);
    for parts in least..=most.min(MOST).max(least) {
        match cut.tried(parts) {
            Ok(tried) if cut.is_short(&tried) => return Ok(tried.pieces),
            Ok(tried) => {
                let shorter =
                    long.as_ref().is_none_or(|l| longest(&tried.pieces) + COORDINATE < longest(l));
                long = if shorter { Some(tried.pieces) } else { long };
            }
            Err(why) => drop(stop.get_or_insert(why)),
        }
    }
    long.ok_or_else(|| stop.unwrap_or_default())
}

/// Whether a style has places for several tools: a count of them, or a list of readings.
fn holds_many(style: &Style) -> bool {
    let counts = style.own().counts.as_ref().is_some_and(|counts| counts.tools.is_some());
    counts || style.measures().any(|(_, measure, _)| measure.many() != Many::One)
}

/// What was worked out.
struct Tried {
    pieces: Vec<Piece>,
    /// The longest that a holder may be of the stock that was picked, in mm.
    limit: f64,
}

fn longest(pieces: &[Piece]) -> f64 {
    pieces.iter().map(|piece| piece.length).fold(0.0, f64::max)
}

/// The tools of a subject, to be shared between holders of a style.
struct Cut<'c, 'i> {
    ground: &'c Ground,
    style: &'c Style,
    subject: &'c Subject<'i>,
}

impl Cut<'_, '_> {
    /// Holders for the tools in so many parts, worked out by themselves in the project's shop.
    fn tried(&self, parts: usize) -> Result<Tried, String> {
        let parts = self.parts(parts);
        let files = parts.iter().enumerate().map(|(i, (tools, count))| {
            let names: Vec<&str> = tools.iter().map(|tool| tool.name.get_ref().as_str()).collect();
            let text = plain(self.ground, self.style, (&self.subject.name, &names), *count);
            (format!("holders/part-{i:02}.toml"), text)
        });
        let inputs =
            files.fold(self.ground.base.clone(), |all, (path, text)| all.with(&path, &text));
        let worked =
            work_out(&inputs).map_err(|wrong| first(wrong.iter().map(ToString::to_string)))?;
        let stops = worked.findings().flat_map(|(_, findings)| findings);
        let stops = stops.filter(|finding| finding.level == Level::Stop);
        if worked.is_stopped() {
            return Err(first(stops.map(|Finding { message, .. }| message.clone())));
        }
        let holders = worked.holders.iter().map(|worked| &*worked.holder);
        let limits = holders.clone().map(|holder| limit(holder, &worked.shop));
        let limit = limits.fold(f64::INFINITY, f64::min);
        let hung = worked.holders.iter().map(|worked| worked.hung.names.len());
        let pieces = parts.iter().zip(holders.zip(hung));
        let pieces = pieces.map(|((tools, count), (holder, places))| Piece {
            tools: tools.iter().map(|tool| tool.name.get_ref().clone()).collect(),
            count: *count,
            places,
            spare: spare(holder, places),
            length: holder.size[0],
        });
        Ok(Tried { pieces: pieces.collect(), limit })
    }

    /// Whether no holder is too long, or one tool alone makes it so.
    fn is_short(&self, tried: &Tried) -> bool {
        let longest = longest(&tried.pieces);
        longest <= tried.limit + COORDINATE || longest <= self.single() + COORDINATE
    }

    /// How long the holder of one tool is, of the longest, in mm.
    fn single(&self) -> f64 {
        let each = self.subject.tools.iter().map(|tool| self.length(&[Share { tool, count: 1 }]));
        each.fold(0.0, f64::max)
    }

    /// How long the holder of some tools is as its style begins, in mm; 0 where it can't be built.
    fn length(&self, shares: &[Share<'_>]) -> f64 {
        let names: Vec<&str> =
            shares.iter().map(|share| share.tool.name.get_ref().as_str()).collect();
        let text = plain(self.ground, self.style, (&self.subject.name, &names), None);
        let file = self.ground.file(text, shares);
        let built = file.and_then(|file| build(&file, &self.ground.shop).ok());
        built.map_or(0.0, |holder| holder.size[0])
    }

    /// The tools in so many parts: those of one kind by their count, those of a set by their names.
    fn parts(&self, parts: usize) -> Vec<(Vec<&StockedTool>, Option<usize>)> {
        let tools = &self.subject.tools;
        match tools.as_slice() {
            [tool] if parts > 1 => {
                let count = *tool.count.get_ref();
                let each = (0..parts).map(|i| count / parts + usize::from(i < count % parts));
                each.map(|count| (vec![*tool], Some(count))).collect()
            }
            _ if parts == 1 => vec![(tools.clone(), None)],
            _ => self.named_parts(parts),
        }
    }

    fn named_parts(&self, parts: usize) -> Vec<(Vec<&StockedTool>, Option<usize>)> {
        let tools = &self.subject.tools;
        let all: Vec<Share<'_>> =
            tools.iter().map(|tool| Share { tool, count: *tool.count.get_ref() }).collect();
        let whole = self.length(&all);
        let takes = (0..all.len()).map(|left_out| {
            let mut others = all.clone();
            others.remove(left_out);
            (whole - self.length(&others)).max(0.0)
        });
        let takes: Vec<f64> = takes.collect();
        let mut rest = tools.as_slice();
        let each = even_runs(&takes, parts).into_iter().map(|run| {
            let (own, more) = rest.split_at(run);
            rest = more;
            (own.to_vec(), None)
        });
        each.collect()
    }
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

/// How many further places a holder has: empty ones by its count, or more entries in its lists than tools.
fn spare(holder: &Holder, places: usize) -> usize {
    let empty = places as f64 * holder.spare / (1.0 - holder.spare).max(f64::EPSILON);
    let listed = holder.values.values().map(|value| match value {
        Value::List(entries) => entries.len(),
        _ => 0,
    });
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
