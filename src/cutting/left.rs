//! What is left over and worth keeping.

use super::plan::Sheet;
use super::{micrometres, millimetres};
use crate::shop::{Offcut, SawRules, StockKind};

/// A piece left over, sizes in mm, along the grain first.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    /// Name of the stock.
    pub of: String,
    pub length: f64,
    pub width: f64,
    /// Whether it is the rest of a finished cleat strip, `width` wide on its wide face.
    pub bevelled: bool,
    /// The sheet it is left of, an index into the plan's; `None` for an offcut that stays as it
    /// was.
    pub from: Option<usize>,
}

impl Left {
    pub(super) fn new(of: &str, size: [i64; 2], bevelled: bool, from: usize) -> Self {
        let [length, width] = size.map(millimetres);
        Self { of: of.to_owned(), length, width, bevelled, from: Some(from) }
    }
}

/// Whether a rest of `size` is worth keeping: as long and wide as the shop file says, whichever
/// way the grain runs; of a dowel and of a finished cleat strip (`as_strip`) only the length counts.
pub(super) fn is_kept(size: [i64; 2], as_strip: bool, saw: &SawRules) -> bool {
    let [longer, shorter] = saw.keep_offcut.map(micrometres);
    let [length, width] = size;
    if as_strip {
        return length >= longer;
    }
    length.max(width) >= longer && length.min(width) >= shorter
}

/// Offcuts the router leaves that are not among `sheets` in use either.
pub(super) fn untouched(unused: Vec<&Offcut>, sheets: &[Sheet]) -> Vec<Left> {
    let mut used: Vec<&Sheet> = sheets.iter().filter(|sheet| sheet.offcut).collect();
    let mut left = Vec::new();
    for offcut in unused {
        let size = [offcut.length, offcut.width].map(micrometres);
        // Of a dowel's offcut the width does not count.
        let same = |sheet: &&Sheet| {
            let width = sheet.kind == StockKind::Dowel || sheet.size[1] == size[1];
            sheet.stock == offcut.of && sheet.size[0] == size[0] && width
        };
        match used.iter().position(same) {
            Some(index) => {
                used.remove(index);
            }
            None => left.push(Left {
                of: offcut.of.clone(),
                length: offcut.length,
                width: offcut.width,
                bevelled: false,
                from: None,
            }),
        }
    }
    left
}
