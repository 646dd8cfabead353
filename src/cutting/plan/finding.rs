//! What the plan has to say: stock that is short, pieces that are too large, cuts to take care
//! with.

use super::super::index::PieceIndex;
use super::super::least::OutOfRange;
use super::super::measure::millimeters;
use super::super::stock::{CutPiece, StockGroup};
use super::super::work::{Content, Cut, Fence, Precaution, Setup};
use crate::holder::Finding;
use crate::length::Units;
use crate::shop::Shop;

/// Says which pieces are larger than any stock, with both sizes.
pub(super) fn too_large(group: &StockGroup<'_>, pieces: &[CutPiece], shop: &Shop) -> Vec<Finding> {
    let row = group.row;
    let largest = format!("{} × {}", shop.units.length(row.length), shop.units.length(row.width));
    let mut findings = Vec::new();
    for piece in group.too_large.iter().filter_map(|index| index.of(pieces)) {
        let Some(blank) = piece.blank else { continue };
        let along = if row.grain { ", along the grain" } else { "" };
        let message = format!(
            "{} ({}) needs a blank of {}{along}, and \"{}\" is {largest}: make the part smaller, or \
             use larger stock.",
            piece.letter,
            piece.name(),
            size(blank.size, shop.units),
            row.name
        );
        findings.push(Finding::warn("larger-than-stock", message));
    }
    findings
}

/// Says which pieces the stock at hand has no room for.
pub(super) fn short(
    group: &StockGroup<'_>,
    missing: &[PieceIndex],
    to_buy: usize,
    pieces: &[CutPiece],
    shop: &Shop,
) -> Option<Finding> {
    if missing.is_empty() {
        return None;
    }
    let row = group.row;
    let named = named(missing, pieces);
    let has = match group.supply.at_hand() {
        0 => "none is left to saw".to_owned(),
        1 => "the one at hand is not enough".to_owned(),
        count => format!("the {count} at hand are not enough"),
    };
    let [length, width] = [row.length, row.width].map(|mm| shop.units.length(mm));
    let buy = |more: &str| {
        format!(
            "Buy {more} more of {length} × {width} and raise its quantity in shop.toml, or list \
             your offcuts."
        )
    };
    let advice = match to_buy {
        0 => format!("None of {length} × {width} would be large enough: use larger stock."),
        1 => buy("one"),
        _ => buy(&to_buy.to_string()),
    };
    let message = format!(
        "Not enough \"{}\": {has} (what the CNC router takes is not counted). Missing: {named}. {advice}",
        row.name
    );
    Some(Finding::warn("stock-short", message))
}

/// Says why a stock could not be laid out.
pub(super) fn not_laid_out(group: &StockGroup<'_>, error: &OutOfRange) -> Finding {
    let message = format!(
        "\"{}\" can't be laid out: {error} (lengths in micrometers). Nothing is sawn from it.",
        group.row.name
    );
    Finding::warn("not-laid-out", message)
}

/// Pieces by letter and name: "A (sash-clamps shelf), B (…)".
fn named(indices: &[PieceIndex], pieces: &[CutPiece]) -> String {
    let pieces = indices.iter().filter_map(|index| index.of(pieces));
    let named: Vec<String> = pieces.map(|p| format!("{} ({})", p.letter, p.name())).collect();
    named.join(", ")
}

/// The pieces of cleat strips that have no stock to be ripped from, and what says so.
pub(super) fn no_cleat_stock(pieces: &[CutPiece]) -> (Vec<PieceIndex>, Option<Finding>) {
    let is_homeless = |piece: &CutPiece| piece.blank.is_some_and(|blank| blank.stock.is_none());
    let homeless = pieces.iter().enumerate().filter(|(_, piece)| is_homeless(piece));
    let homeless: Vec<PieceIndex> = homeless.map(|(at, _)| PieceIndex(at)).collect();
    let finding = (!homeless.is_empty()).then(|| {
        let message = format!(
            "The shop file names no stock for these: {}. Name the sheet or board that cleats are \
             ripped from: from under [cleat] in shop.toml.",
            named(&homeless, pieces)
        );
        Finding::warn("no-stock-to-saw", message)
    });
    (homeless, finding)
}

/// Says which cuts the table saw has no room for, and which leave too little to hold.
pub(super) fn of_cuts(setups: &[Setup], shop: &Shop) -> Vec<Finding> {
    let mut findings = Vec::new();
    let by_hand = numbers(setups, |setup| setup.fence == Fence::Straightedge);
    if let Some(cuts) = by_hand {
        let message = format!(
            "{cuts} too wide for the table saw: use a hand-held saw along a clamped straightedge, in \
             the order given."
        );
        findings.push(Finding::note("beyond-the-saw", message));
    }
    let narrow = numbers_of(setups, |cut| cut.push_stick);
    if !narrow.is_empty() {
        let narrowest = shop.units.length(shop.saw.narrowest_rip);
        let message = format!(
            "{} less than {narrowest} between fence and blade: use a push block that rides over the \
             fence, or saw by hand.",
            listed(&narrow, "leaves", "leave")
        );
        findings.push(Finding::warn("narrow-rip", message));
    }
    for (care, code) in [
        (Precaution::Tilted, "tilted-rip"),
        (Precaution::Backing, "hard-to-hold"),
        (Precaution::Handsaw, "handsaw"),
    ] {
        let cuts = numbers_of(setups, |cut| cut.care == Some(care));
        if !cuts.is_empty() {
            findings.push(Finding::warn(code, asked(care, &cuts)));
        }
    }
    findings.extend(to_the_last(setups, shop.units));
    findings
}

/// What is to be done at cuts that ask for care.
fn asked(care: Precaution, cuts: &[String]) -> String {
    match care {
        Precaution::Tilted => format!(
            "{} wood too short or too wide to run along the fence with the blade tilted: plane the \
             bevel, or saw it by hand.",
            listed(cuts, "bevels", "bevel")
        ),
        Precaution::Backing => format!(
            "{} too little wood for the miter gauge to hold, or a sliver at the stop: clamp the wood \
             to a backing board that reaches past the blade, or saw by hand.",
            listed(cuts, "has", "have")
        ),
        Precaution::Handsaw => format!(
            "{} tiny pieces: use a handsaw in a bench hook or miter box, not the table saw.",
            listed(cuts, "frees", "free")
        ),
    }
}

/// A rest of less than 1 mm, or 1/32 in, is none to rely on (common practice, no source); in micrometers.
const fn slack(units: Units) -> i64 {
    match units {
        Units::Inches => 794,
        Units::Millimeters => 1000,
    }
}

/// Says which cuts leave nothing to spare.
fn to_the_last(setups: &[Setup], units: Units) -> Option<Finding> {
    let square = setups.iter().take_while(|setup| !setup.fence.is_tilted());
    let square: Vec<Setup> = square.cloned().collect();
    let tight = numbers_of(&square, |cut| match cut.rest {
        None => true,
        // It is as wide as the kerfs before it leave it.
        Some(rest) => {
            matches!(rest.content, Content::Blank { .. })
                || rest.content == Content::Remainder && cut.rest_width() < slack(units)
        }
    });
    (!tight.is_empty()).then(|| {
        let message = format!(
            "{} less than {} to spare: saw into scrap first and measure the kerf; if it is wider than \
             the shop file says, change it there and plan again. Measure these pieces one by one.",
            listed(&tight, "leaves", "leave"),
            units.length(millimeters(slack(units)))
        );
        Finding::note("no-slack", message)
    })
}

fn numbers_of(setups: &[Setup], is_meant: impl Fn(&Cut) -> bool) -> Vec<String> {
    let cuts = setups.iter().flat_map(|setup| &setup.cuts).filter(|cut| is_meant(cut));
    cuts.map(|cut| cut.number.to_string()).collect()
}

fn numbers(setups: &[Setup], is_meant: impl Fn(&Setup) -> bool) -> Option<String> {
    let cuts = setups.iter().filter(|s| is_meant(s)).flat_map(|setup| &setup.cuts);
    let numbers: Vec<String> = cuts.map(|cut| cut.number.to_string()).collect();
    (!numbers.is_empty()).then(|| listed(&numbers, "is", "are"))
}

fn listed(numbers: &[String], one: &str, several: &str) -> String {
    match numbers {
        [only] => format!("Cut {only} {one}"),
        _ => format!("Cuts {} {several}", numbers.join(", ")),
    }
}

/// A size in micrometers, as a person writes it.
fn size(size: [i64; 2], units: Units) -> String {
    let [length, width] = size.map(|s| units.length(millimeters(s)));
    format!("{length} × {width}")
}
