//! A holder by itself, settled sooner than with all others: the shop gives what it leaves open in a few steps, and one
//! choice at most is moved.

use super::candidate::{Candidate, Files};
use super::knob::{Knob, shop_knobs};
use super::moved::moved;
use super::worth::Worth;
use crate::holder::{Finding, Holder, Level};
use crate::reading::Problems;
use crate::shop::Shop;
use crate::style::HolderFile;

/// What a holder comes to.
pub(crate) struct Soon {
    pub holder: Holder,
    pub shop: Shop,
    /// How many findings stop it, and how many warn.
    pub found: [usize; 2],
    /// The first of them.
    pub first: Option<String>,
}

/// The best that is soon found of what `file` and `shop` leave open. What nothing stops here, nothing stops where all is
/// searched through.
///
/// # Errors
/// When the holder file or its style is wrong.
pub(crate) fn soon_settled(file: &HolderFile, shop: &Shop) -> Result<Soon, Problems> {
    let shops = steps(shop);
    let mut best: Option<Candidate> = None;
    for (at, with) in shops.iter().map(|shop| (Files { file, shop }, shop)) {
        let begun = Candidate::of(file, with)?;
        if found(&begun) == [0, 0] {
            return Ok(soon(begun, with));
        }
        let moved = moved(at, 1)?;
        let candidate = at.tried(moved.all()).unwrap_or(begun);
        if found(&candidate) == [0, 0] {
            return Ok(soon(candidate, with));
        }
        let better = best.as_ref().is_none_or(|best| found(&candidate) < found(best));
        best = if better { Some(candidate) } else { best };
    }
    let last = shops.last().unwrap_or(shop);
    best.map_or_else(|| Ok(soon(Candidate::of(file, last)?, last)), |best| Ok(soon(best, last)))
}

/// The shop as it begins, and with what it leaves open farther and farther along.
fn steps(shop: &Shop) -> Vec<Shop> {
    let knobs = shop_knobs(shop, shop.open);
    let longest = knobs.iter().map(|knob| knob.changes.len()).max().unwrap_or_default();
    let marks = [longest.div_ceil(2), longest].into_iter().filter(|mark| *mark > 0);
    std::iter::once(shop.clone()).chain(marks.map(|mark| with(shop, &knobs, mark))).collect()
}

/// The shop with the change `mark` of each knob, or its last.
fn with(shop: &Shop, knobs: &[Knob], mark: usize) -> Shop {
    let mut shop = shop.clone();
    for knob in knobs {
        let change = knob.changes.get(mark - 1).or(knob.changes.last());
        change.iter().for_each(|change| change.in_shop(&mut shop));
    }
    shop
}

fn found(candidate: &Candidate) -> [usize; 2] {
    let Worth { stops, warns, .. } = candidate.worth([0, 0]);
    [stops, warns]
}

fn soon(candidate: Candidate, shop: &Shop) -> Soon {
    let of = |level: Level| {
        let mut findings = candidate.findings().filter(move |finding| finding.level == level);
        findings.next().map(|Finding { message, .. }| message.clone())
    };
    let first = of(Level::Stop).or_else(|| of(Level::Warn));
    Soon { found: found(&candidate), first, holder: candidate.holder, shop: shop.clone() }
}
