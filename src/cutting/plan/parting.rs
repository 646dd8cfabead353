//! The cuts that part the router's sheets: for its bed, and to have what it leaves.

use kurbo::Rect;

use super::super::least::CutWay;
use super::super::stock::{PartedSheet, RouterLeavings};
use crate::router::{Portion, PortionFate};
use crate::tolerance::COORDINATE;

/// A cut by hand along a straightedge that parts a sheet of the router. Sizes in mm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Parting {
    /// Counted from 1, before all other cuts.
    pub number: usize,
    /// Whether it makes panels for the bed; otherwise the router is done and its parts are out.
    pub before: bool,
    pub from: PartedFrom,
    /// Of what is sawn, along the grain first.
    pub size: [f64; 2],
    pub way: CutWay,
    /// Measured from the left end or the lower edge of what is sawn.
    pub at: f64,
    /// What lies before the cut, and what behind it.
    pub halves: [PartedHalf; 2],
}

/// What is parted.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PartedFrom {
    /// A sheet or panel by its name, or what stays of it.
    Sheet(String),
    /// What the cut of this number has parted off.
    Cut(usize),
}

/// One side of a cut.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PartedHalf {
    pub becomes: PartedInto,
    pub size: [f64; 2],
}

/// What becomes of one side.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PartedInto {
    /// Parted further.
    Panel,
    /// On the bed, for the router's sheet of this file.
    Bed(String),
    /// To saw from or to keep, by its name.
    Left(String),
    Waste,
}

/// All cuts that it takes to have what is `wanted` of what the router leaves, by position.
pub(super) fn partings(leavings: &RouterLeavings, wanted: &[bool]) -> Vec<Parting> {
    let mut parted = PartingList { leavings, wanted, cuts: Vec::new() };
    for sheet in &leavings.sheets {
        parted.before(sheet);
    }
    for (file, portion) in leavings.sheets.iter().flat_map(|sheet| &sheet.after) {
        let files = &mut std::iter::empty();
        parted.walk(portion, PartedFrom::Sheet(file.clone()), file, files);
    }
    parted.cuts
}

struct PartingList<'l> {
    leavings: &'l RouterLeavings,
    wanted: &'l [bool],
    cuts: Vec<Parting>,
}

/// The files of the panels on the bed, in the order they come free; none once the router is done.
type BedFiles<'f> = dyn Iterator<Item = &'f str> + 'f;

impl PartingList<'_> {
    fn before(&mut self, sheet: &PartedSheet) {
        let files = &mut sheet.after.iter().map(|(file, _)| file.as_str());
        let from = self.cuts.len();
        self.walk(&sheet.before, PartedFrom::Sheet(sheet.name.clone()), &sheet.name, files);
        self.cuts.iter_mut().skip(from).for_each(|cut| cut.before = true);
    }

    /// Cuts `portion`, and first what of it lies before the cut.
    fn walk(&mut self, portion: &Portion, from: PartedFrom, of: &str, files: &mut BedFiles<'_>) {
        let PortionFate::Sawn(halves) = &portion.fate else { return };
        if !self.is_worth_it(portion, of) {
            return;
        }
        let number = self.cuts.len() + 1;
        let [first, rest] = &**halves;
        let way = if is_level(first, portion) { CutWay::Across } else { CutWay::Along };
        let at = match way {
            CutWay::Across => first.area.width(),
            CutWay::Along => first.area.height(),
        };
        let into = [first, rest].map(|half| self.half(half, of));
        self.cuts.push(Parting {
            number,
            before: false,
            from: from.clone(),
            size: size(portion.area),
            way,
            at,
            halves: into,
        });
        let sides = [(first, PartedFrom::Cut(number)), (rest, from)];
        for (at, (half, from)) in sides.into_iter().enumerate() {
            if half.fate == PortionFate::Routed
                && let Some(file) = files.next()
                && let Some(cut) = self.cuts.get_mut(number - 1)
                && let Some(side) = cut.halves.get_mut(at)
            {
                side.becomes = PartedInto::Bed(file.to_owned());
            }
            self.walk(half, from, of, files);
        }
    }

    fn half(&self, half: &Portion, of: &str) -> PartedHalf {
        let becomes = match &half.fate {
            PortionFate::Sawn(_) if self.is_worth_it(half, of) => PartedInto::Panel,
            PortionFate::Free => self.left(half, of).map_or(PartedInto::Waste, PartedInto::Left),
            PortionFate::Sawn(_) | PortionFate::Routed => PartedInto::Waste,
        };
        PartedHalf { becomes, size: size(half.area) }
    }

    /// The name of what is wanted of the leavings.
    fn left(&self, leaf: &Portion, of: &str) -> Option<String> {
        let at = self.leavings.position(of, leaf.area)?;
        let wanted = self.wanted.get(at).copied().unwrap_or_default();
        wanted.then(|| self.leavings.left.get(at).map(|left| left.name.clone()))?
    }

    /// Whether something is had by parting it: what is wanted, or a panel for the bed.
    fn is_worth_it(&self, portion: &Portion, of: &str) -> bool {
        let for_bed = self.leavings.sheets.iter().any(|sheet| sheet.name == of);
        let leaves = portion.leaves();
        leaves.into_iter().any(|leaf| match leaf.fate {
            PortionFate::Routed => for_bed,
            _ => self.left(leaf, of).is_some(),
        })
    }
}

/// Whether a half is as wide across the sheet as the whole: then the cut runs across.
fn is_level(half: &Portion, whole: &Portion) -> bool {
    (half.area.height() - whole.area.height()).abs() <= COORDINATE
}

fn size(area: Rect) -> [f64; 2] {
    [area.width(), area.height()]
}
