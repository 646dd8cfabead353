//! What is left over and worth keeping.

use super::plan::Sheet;
use super::{micrometres, millimetres};
use crate::shop::{Offcut, SawRules};

/// A piece left over, sizes in mm, along the grain first.
#[derive(Debug, Clone, PartialEq)]
pub struct Left {
    /// Name of the stock.
    pub of: String,
    pub length: f64,
    pub width: f64,
    /// The sheet it is left of, an index into the plan's; `None` for an offcut that stays as it
    /// was.
    pub from: Option<usize>,
}

impl Left {
    pub(super) fn new(of: &str, size: [i64; 2], from: usize) -> Self {
        let [length, width] = size.map(millimetres);
        Self { of: of.to_owned(), length, width, from: Some(from) }
    }
}

/// Whether a rest of `size` is worth keeping: as long and wide as the shop file says, whichever
/// way the grain runs; of a dowel only the length counts.
pub(super) fn is_kept(size: [i64; 2], is_dowel: bool, saw: &SawRules) -> bool {
    let [longer, shorter] = saw.keep_offcut.map(micrometres);
    let [length, width] = size;
    if is_dowel {
        return length >= longer;
    }
    length.max(width) >= longer && length.min(width) >= shorter
}

/// Offcuts the router leaves that are not among `sheets` in use either.
pub(super) fn untouched(unused: Vec<&Offcut>, sheets: &[Sheet]) -> Vec<Left> {
    let mut used: Vec<(&str, [i64; 2])> = sheets
        .iter()
        .filter(|sheet| sheet.offcut)
        .map(|sheet| (sheet.stock.as_str(), sheet.size))
        .collect();
    let mut left = Vec::new();
    for offcut in unused {
        let size = [offcut.length, offcut.width].map(micrometres);
        let same = |(stock, used): &(&str, [i64; 2])| {
            // Of a dowel's offcut the width does not count.
            *stock == offcut.of && (*used == size || used[0] == size[0])
        };
        match used.iter().position(same) {
            Some(index) => {
                used.remove(index);
            }
            None => left.push(Left {
                of: offcut.of.clone(),
                length: offcut.length,
                width: offcut.width,
                from: None,
            }),
        }
    }
    left
}
