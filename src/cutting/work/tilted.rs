//! The last of the work: the blade is tilted, strips are ripped in two, and their pieces crosscut.
//!
//! Strips are ripped while they are long: a short piece is not safe to rip, least of all with the
//! blade tilted (common practice, no source).

use std::collections::BTreeMap;

use super::super::index::{BlankIndex, SheetIndex};
use super::super::least::CutWay;
use super::super::stock::{BlankUse, CleatBlank, SawnStrip};
use super::care::care;
use super::cut::{Area, Content, Cut, CutSide, Fence, Setup, WorkName, Workpiece, next_number};
use super::limits::SawLimits;
use super::order::{Root, order};
use super::slab::{Fate, Slab};

/// A panel that is a blank as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct WholeBlank {
    pub sheet: SheetIndex,
    pub blank: BlankIndex,
    pub area: Area,
}

/// A blank for cleat strips, in hand.
struct InHand<'s> {
    sheet: SheetIndex,
    name: WorkName,
    area: Area,
    blank: &'s CleatBlank,
}

/// The setups for all blanks of `strips` that `square`, numbered from `first`, frees or that are a panel as they are. Their
/// pieces are added to `blanks`.
pub(crate) fn tilted(
    (square, first): (&[Setup], usize),
    whole: &[WholeBlank],
    blanks: &mut Vec<BlankUse>,
    strips: &[CleatBlank],
    limits: &SawLimits,
) -> Vec<Setup> {
    let mut by_tilt: BTreeMap<[i64; 3], Vec<InHand<'_>>> = BTreeMap::new();
    for work in in_hand(square, whole, blanks, strips) {
        let kind = work.blank.kind;
        by_tilt.entry([kind.angle, -kind.width, -kind.narrow]).or_default().push(work);
    }
    let mut number = next_number(square, first);
    let mut setups = Vec::new();
    let mut roots = Vec::new();
    for works in by_tilt.into_values() {
        let fence = works.first().map(|work| fence(work.blank));
        let mut cuts = Vec::new();
        for work in works {
            cuts.push(rip(&work, number, blanks, &mut roots, limits));
            number += 1;
        }
        setups.extend(fence.map(|fence| Setup { fence, cuts }));
    }
    setups.extend(order(&roots, limits, number));
    setups
}

fn fence(blank: &CleatBlank) -> Fence {
    let kind = blank.kind;
    Fence::Bevel { wide: kind.width, narrow: kind.narrow, angle: kind.angle }
}

fn in_hand<'s>(
    square: &[Setup],
    whole: &[WholeBlank],
    blanks: &[BlankUse],
    strips: &'s [CleatBlank],
) -> Vec<InHand<'s>> {
    let cleats = |blank: BlankIndex| match blank.of(blanks) {
        Some(BlankUse::Strip(strip)) => strip.of(strips),
        Some(BlankUse::Piece(_)) | None => None,
    };
    let mut found = Vec::new();
    for WholeBlank { sheet, blank, area } in whole.iter().copied() {
        let name = WorkName::Sheet(sheet);
        found.extend(cleats(blank).map(|blank| InHand { sheet, name, area, blank }));
    }
    for cut in square.iter().flat_map(|setup| &setup.cuts) {
        for work in cut.both() {
            let (sheet, name, area) = (cut.sheet, work.name, work.area);
            let blank = work.blank().and_then(|blank| cleats(*blank));
            found.extend(blank.map(|blank| InHand { sheet, name, area, blank }));
        }
    }
    found
}

/// The bevel rip of one blank; what it gives goes to `roots` where it is crosscut.
fn rip(
    work: &InHand<'_>,
    number: usize,
    blanks: &mut Vec<BlankUse>,
    roots: &mut Vec<Root<Slab<BlankIndex>>>,
    limits: &SawLimits,
) -> Cut {
    let width = work.blank.kind.width;
    let mut free = |name: WorkName, strip: &SawnStrip| {
        let size = [work.area.size[0], width];
        let slab = slab(strip, size, blanks);
        let area = Area { at: work.area.at, size };
        let content = match slab.fate {
            Fate::Blank { blank, turned } => Content::Blank { blank, turned },
            Fate::Remainder | Fate::Sliced { .. } => Content::Panel,
        };
        roots.push(Root { sheet: work.sheet, name, at: area.at, slab });
        Workpiece { name, area, content }
    };
    let gives = free(WorkName::Cut(number), &work.blank.first);
    let rest = work.blank.second.as_ref().map(|strip| free(WorkName::Second(number), strip));
    let mut cut = Cut {
        number,
        sheet: work.sheet,
        from: work.name,
        area: work.area,
        way: CutWay::Along,
        at: width,
        held: CutSide::Slice,
        // The blade leans away, so that hands have the wide face's width of room above the wood.
        push_stick: width < limits.narrowest,
        care: None,
        gives,
        rest,
    };
    cut.care = care(fence(work.blank), &cut, limits);
    cut
}

fn slab(strip: &SawnStrip, size: [i64; 2], blanks: &mut Vec<BlankUse>) -> Slab<BlankIndex> {
    let pieces = strip.pieces.iter().map(|(length, piece)| {
        blanks.push(BlankUse::Piece(*piece));
        Slab::blank([*length, size[1]], BlankIndex(blanks.len() - 1), false)
    });
    Slab::sliced(size, CutWay::Across, pieces.collect())
}
