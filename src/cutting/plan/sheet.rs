//! What is sawn, and where the blanks lie on it.

use super::super::index::{BlankIndex, SheetIndex};
use super::super::layout::{LaidGroup, LaidPanel};
use super::super::stock::RouterLeavings;
use super::super::work::{Area, Cut};
use super::join::Work;
use crate::reading::file_name;
use crate::shop::StockKind;

/// A sheet, board, dowel or offcut in use. Sizes in micrometers.
#[derive(Debug, Clone)]
pub(crate) struct SawnSheet {
    /// Name of the stock.
    pub stock: String,
    /// What it is.
    pub kind: StockKind,
    /// Counted from 1 over those of one stock.
    pub number: usize,
    /// How many of the stock are in use.
    pub of: usize,
    /// Its name as a file, without ending.
    pub file: String,
    /// Whether it is no new one.
    pub offcut: bool,
    /// Its name where it is what the router leaves of a sheet.
    pub left: Option<String>,
    /// Whether it has a grain, along its length.
    pub grain: bool,
    /// In mm.
    pub thickness: f64,
    /// Along the grain and across it, edges trimmed.
    pub size: [i64; 2],
    /// Taken off each edge first.
    pub edge_trim: i64,
    /// Share that becomes blanks.
    pub filling: f64,
    /// The blanks on it.
    pub blanks: Vec<PlacedBlank>,
}

/// A blank on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct PlacedBlank {
    /// Which.
    pub blank: BlankIndex,
    /// Where it lies, in micrometers.
    pub area: Area,
    /// Number of the cut that frees it; `None` where the whole panel is the blank.
    pub cut: Option<usize>,
}

/// The sheets of all stock, with the blanks that `work` frees.
pub(super) fn sheets(
    laid: &[LaidGroup<'_>],
    leavings: &RouterLeavings,
    work: &Work,
) -> Vec<SawnSheet> {
    let mut sheets: Vec<SawnSheet> = Vec::new();
    for laid in laid {
        let names = laid.panels.iter().map(|panel| {
            let left = laid.group.supply.left(panel.stock).and_then(|at| leavings.left.get(at));
            left.map(|left| left.name.clone())
        });
        let names: Vec<Option<String>> = names.collect();
        let [mut left, mut own] = [true, false].map(|left| {
            let of = names.iter().filter(|name| name.is_some() == left).count();
            files(laid, left, &sheets).into_iter().zip(1..).take(of).map(move |named| (named, of))
        });
        for (panel, name) in laid.panels.iter().zip(names) {
            let next = if name.is_some() { left.next() } else { own.next() };
            let Some(((file, number), of)) = next else { continue };
            sheets.push(SawnSheet { left: name, number, of, file, ..empty(laid, panel) });
        }
    }
    for (sheet, placed) in placed(work) {
        if let Some(sheet) = sheets.get_mut(sheet.0) {
            sheet.blanks.push(placed);
        }
    }
    sheets
}

/// A file name for each panel of a stock, none of them that of an `earlier` sheet; those of what the
/// router has `left` say so.
fn files(laid: &LaidGroup<'_>, left: bool, earlier: &[SawnSheet]) -> Vec<String> {
    let row = laid.group.row;
    let stem = Some(file_name(&row.name)).filter(|stem| !stem.is_empty());
    let stem = stem.unwrap_or_else(|| row.kind.word().to_owned());
    let stem = if left { format!("{stem}-remainder") } else { stem };
    let names = (1..).map(|count| format!("{stem}-{count}"));
    let free = names.filter(|name| earlier.iter().all(|sheet| sheet.file != *name));
    free.take(laid.panels.len()).collect()
}

/// A panel without its name, number and blanks.
fn empty(laid: &LaidGroup<'_>, panel: &LaidPanel) -> SawnSheet {
    let (row, supply) = (laid.group.row, &laid.group.supply);
    let offcut = supply.is_free(panel.stock);
    SawnSheet {
        stock: row.name.clone(),
        kind: row.kind,
        number: 0,
        of: 0,
        file: String::new(),
        offcut,
        left: None,
        grain: row.grain,
        thickness: row.thickness,
        size: panel.slab.size,
        edge_trim: if offcut { 0 } else { supply.edge_trim },
        filling: panel.filling(),
        blanks: Vec::new(),
    }
}

/// Every blank that lies on a sheet: those that are a sheet as it is, then as they come free before
/// the blade is tilted.
fn placed(work: &Work) -> Vec<(SheetIndex, PlacedBlank)> {
    let whole = work.whole.iter().map(|whole| {
        (whole.sheet, PlacedBlank { blank: whole.blank, area: whole.area, cut: None })
    });
    let square = work.setups.iter().take_while(|setup| !setup.fence.is_tilted());
    let freed = square.flat_map(|setup| &setup.cuts).flat_map(freed);
    whole.chain(freed).collect()
}

fn freed(cut: &Cut) -> impl Iterator<Item = (SheetIndex, PlacedBlank)> {
    cut.both().filter_map(|work| {
        let placed = PlacedBlank { blank: *work.blank()?, area: work.area, cut: Some(cut.number) };
        Some((cut.sheet, placed))
    })
}
