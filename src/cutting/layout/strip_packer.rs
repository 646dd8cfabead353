//! Plans as one thinks at a table saw: sheets ripped into strips of few widths, strips crosscut
//! to a stop, and here and there a piece ripped once more.

use super::super::least::{CutWay, ItemIndex, PanelProblem, StockIndex};
use super::super::work::Slab;
use super::panels::{LaidPanel, Panels};
use super::strategy::Strategy;

/// A panel in use.
#[derive(Debug, Clone)]
struct StripSheet {
    stock: StockIndex,
    size: [i64; 2],
    used: i64,
    strips: Vec<RipStrip>,
}

#[derive(Debug, Clone)]
struct RipStrip {
    width: i64,
    used: i64,
    runs: Vec<StripRun>,
}

/// A length of a strip; where it is not one piece, it is ripped once more.
#[derive(Debug, Clone)]
struct StripRun {
    length: i64,
    used: i64,
    rows: Vec<StripRow>,
}

/// A strip of a strip: pieces of one width behind one another.
#[derive(Debug, Clone)]
struct StripRow {
    width: i64,
    used: i64,
    pieces: Vec<Slab>,
}

/// Where a piece may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum PieceSpot {
    Row { sheet: usize, strip: usize, run: usize, row: usize },
    Beside { sheet: usize, strip: usize, run: usize },
    Along { sheet: usize, strip: usize },
    Strip { sheet: usize },
    Sheet { stock: StockIndex },
}

/// Lays out the whole problem by a strategy. What there is no room for is on none of the panels.
pub(super) fn pack(problem: &PanelProblem, strategy: &Strategy) -> Panels {
    let mut packer = StripPacker { problem, strategy, sheets: Vec::new(), widths: Vec::new() };
    packer.open_free();
    for &item in &strategy.order {
        let demand = item.of(&problem.items).map_or(0, |item| item.demand);
        for _ in 0..demand {
            // When one has no room, neither has the next of its size.
            if !packer.place(item) {
                break;
            }
        }
    }
    let used = packer.sheets.into_iter().filter(|sheet| !sheet.strips.is_empty());
    used.map(StripSheet::into_panel).collect()
}

struct StripPacker<'p> {
    problem: &'p PanelProblem,
    strategy: &'p Strategy,
    sheets: Vec<StripSheet>,
    /// Widths that some strip or piece is ripped to.
    widths: Vec<i64>,
}

impl StripPacker<'_> {
    /// Opens what is free: that is there from the start.
    fn open_free(&mut self) {
        let problem = self.problem;
        for (stock, row) in problem.stock.iter().enumerate().filter(|(_, row)| row.cost == 0) {
            for _ in 0..row.quantity.unwrap_or(1) {
                self.open(StockIndex(stock));
            }
        }
    }

    fn open(&mut self, stock: StockIndex) -> Option<usize> {
        let size = stock.of(self.problem)?.size;
        self.sheets.push(StripSheet { stock, size, used: 0, strips: Vec::new() });
        Some(self.sheets.len() - 1)
    }

    fn place(&mut self, item: ItemIndex) -> bool {
        let Some(size) = item.of(&self.strategy.sizes).copied() else { return false };
        let turns = item.of(&self.problem.items).is_some_and(|item| item.turns);
        let ways = [(size, false), ([size[1], size[0]], true)];
        let ways = ways.into_iter().filter(|(_, turned)| !turned || turns);
        let spots = ways.filter_map(|(size, turned)| {
            self.best_spot(size).map(|(score, spot)| (score, turned, spot))
        });
        let Some((_, turned, spot)) = spots.min() else { return false };
        let size = if turned { [size[1], size[0]] } else { size };
        self.put(spot, Slab::blank(size, item, turned)).is_some()
    }

    /// The best place for a piece of `size`, with what counts against it: first by kind, then by the
    /// room wasted.
    fn best_spot(&self, size: [i64; 2]) -> Option<((i64, i64), PieceSpot)> {
        let [length, width] = size;
        let known = self.widths.contains(&width);
        let rip = if known { 0 } else { self.strategy.weights.new_width };
        let mut best = self.fresh(size);
        let mut offer = |score, spot| {
            if best.is_none_or(|best| (score, spot) < best) {
                best = Some((score, spot));
            }
        };
        for (s, sheet) in self.sheets.iter().enumerate() {
            for (t, strip) in sheet.strips.iter().enumerate().filter(|(_, t)| t.width >= width) {
                let spare = sheet.size[0] - strip.used - length;
                if spare >= 0 {
                    let score =
                        if strip.width == width { 0 } else { self.strategy.weights.wider + rip };
                    let waste = (strip.width - width) * 1000 + spare;
                    offer((score, waste), PieceSpot::Along { sheet: s, strip: t });
                }
                for (r, run) in strip.runs.iter().enumerate().filter(|(_, r)| r.length >= length) {
                    let spare = strip.width - run.used - width;
                    if spare >= 0 {
                        let spot = PieceSpot::Beside { sheet: s, strip: t, run: r };
                        // Where the length is not the same, it is crosscut once more.
                        let again =
                            if run.length == length { 0 } else { self.strategy.weights.again };
                        let waste = spare + (run.length - length);
                        offer((self.strategy.weights.beside + rip + again, waste), spot);
                    }
                    for (i, row) in run.rows.iter().enumerate().filter(|(_, r)| r.width == width) {
                        let spare = run.length - row.used - length;
                        if spare >= 0 {
                            let spot = PieceSpot::Row { sheet: s, strip: t, run: r, row: i };
                            offer((self.strategy.weights.again, spare), spot);
                        }
                    }
                }
            }
            let spare = sheet.size[1] - sheet.used - width;
            if spare >= 0 && length <= sheet.size[0] {
                // Offcuts first.
                let free = sheet.stock.of(self.problem).is_some_and(|s| s.cost == 0);
                let score = if free { 0 } else { self.strategy.weights.strip + rip };
                offer((score, spare), PieceSpot::Strip { sheet: s });
            }
        }
        best
    }

    /// A new panel, when there is one the piece fits on: the cheapest.
    fn fresh(&self, size: [i64; 2]) -> Option<((i64, i64), PieceSpot)> {
        let used = |stock: usize| {
            self.sheets.iter().filter(|sheet| sheet.stock == StockIndex(stock)).count()
        };
        let there = self.problem.stock.iter().enumerate().filter(|(i, row)| {
            row.cost > 0
                && size[0] <= row.size[0]
                && size[1] <= row.size[1]
                && row.quantity.is_none_or(|quantity| used(*i) < quantity)
        });
        let (stock, row) = there.min_by_key(|(_, row)| row.cost)?;
        Some(((1_000_000, row.cost), PieceSpot::Sheet { stock: StockIndex(stock) }))
    }

    fn put(&mut self, spot: PieceSpot, piece: Slab) -> Option<()> {
        let kerf = self.problem.kerf;
        let [length, width] = piece.size;
        if !self.widths.contains(&width) {
            self.widths.push(width);
        }
        let row = StripRow { width, used: length + kerf, pieces: vec![piece.clone()] };
        let run = StripRun { length, used: width + kerf, rows: vec![row.clone()] };
        match spot {
            PieceSpot::Row { sheet, strip, run, row } => {
                let strip = self.sheets.get_mut(sheet)?.strips.get_mut(strip)?;
                let row = strip.runs.get_mut(run)?.rows.get_mut(row)?;
                row.used += length + kerf;
                row.pieces.push(piece);
            }
            PieceSpot::Beside { sheet, strip, run } => {
                let run = self.sheets.get_mut(sheet)?.strips.get_mut(strip)?.runs.get_mut(run)?;
                run.used += width + kerf;
                run.rows.push(row);
            }
            PieceSpot::Along { sheet, strip } => {
                let strip = self.sheets.get_mut(sheet)?.strips.get_mut(strip)?;
                strip.used += length + kerf;
                strip.runs.push(run);
            }
            PieceSpot::Strip { sheet } => {
                let sheet = self.sheets.get_mut(sheet)?;
                sheet.used += width + kerf;
                sheet.strips.push(RipStrip { width, used: length + kerf, runs: vec![run] });
            }
            PieceSpot::Sheet { stock } => {
                let sheet = self.open(stock)?;
                return self.put(PieceSpot::Strip { sheet }, piece);
            }
        }
        Some(())
    }
}

impl StripSheet {
    fn into_panel(self) -> LaidPanel {
        let length = self.size[0];
        let strips = self.strips.into_iter().map(|strip| strip.into_slab(length)).collect();
        LaidPanel { stock: self.stock, slab: Slab::sliced(self.size, CutWay::Along, strips) }
    }
}

impl RipStrip {
    fn into_slab(self, length: i64) -> Slab {
        let width = self.width;
        let runs = self.runs.into_iter().map(|run| run.into_slab(width)).collect();
        Slab::sliced([length, width], CutWay::Across, runs)
    }
}

impl StripRun {
    fn into_slab(self, width: i64) -> Slab {
        let length = self.length;
        let rows = self.rows.into_iter();
        let rows = rows.map(|row| Slab::sliced([length, row.width], CutWay::Across, row.pieces));
        Slab::sliced([length, width], CutWay::Along, rows.collect())
    }
}
