//! The last of the work: the blade is tilted, strips are ripped in two, and their pieces crosscut.
//!
//! Strips are ripped while they are long: a short piece is not safe to rip, least of all with the
//! blade tilted (common practice, no source).

use std::collections::BTreeMap;

use super::Way;
use super::bevel::{Bar, Strip};
use super::care::Care;
use super::cut::{Area, Body, Cut, Fence, Name, Rules, Setting, Side, What};
use super::group::Sawn;
use super::slab::Slab;
use super::work::{Root, order};

/// Whether a setting belongs to the tilted blade.
pub(super) fn is_tilted(fence: Fence) -> bool {
    matches!(fence, Fence::Bevel { .. })
}

/// A strip in hand.
struct InHand<'s> {
    sheet: usize,
    name: Name,
    area: Area,
    strip: &'s Strip,
}

/// The settings for all strips that `square` frees or that are a panel as they are (`whole`: sheet,
/// blank and area). Their pieces are added to `blanks`.
pub(super) fn settings(
    square: &[Setting],
    whole: &[(usize, usize, Area)],
    blanks: &mut Vec<Sawn>,
    strips: &[Strip],
    rules: &Rules,
) -> Vec<Setting> {
    let mut number = square.iter().map(|setting| setting.cuts.len()).sum::<usize>();
    let mut by_tilt: BTreeMap<[i64; 3], Vec<InHand<'_>>> = BTreeMap::new();
    for strip in in_hand(square, whole, blanks, strips) {
        let Strip { angle, width, narrow, .. } = strip.strip;
        by_tilt.entry([*angle, -width, -narrow]).or_default().push(strip);
    }
    let mut settings = Vec::new();
    let mut roots = Vec::new();
    for strips in by_tilt.into_values() {
        let mut cuts = Vec::new();
        for strip in strips {
            number += 1;
            cuts.push(rip(&strip, number, blanks, &mut roots, rules));
        }
        let tilt = cuts.first().map(|(_, fence)| *fence);
        let cuts = cuts.into_iter().map(|(cut, _)| cut).collect();
        settings.extend(tilt.map(|fence| Setting { fence, cuts }));
    }
    settings.extend(order(&roots, rules, number + 1));
    settings
}

fn in_hand<'s>(
    square: &[Setting],
    whole: &[(usize, usize, Area)],
    blanks: &[Sawn],
    strips: &'s [Strip],
) -> Vec<InHand<'s>> {
    let strip = |item: usize| match blanks.get(item) {
        Some(Sawn::Strip(strip)) => strips.get(*strip),
        Some(Sawn::Piece(_)) | None => None,
    };
    let mut found = Vec::new();
    for (sheet, item, area) in whole {
        found.extend(strip(*item).map(|strip| InHand {
            sheet: *sheet,
            name: Name::Sheet(*sheet),
            area: *area,
            strip,
        }));
    }
    for cut in square.iter().flat_map(|setting| &setting.cuts) {
        for body in std::iter::once(&cut.gives).chain(&cut.rest) {
            if let What::Piece { item, .. } = body.what {
                found.extend(strip(item).map(|strip| InHand {
                    sheet: cut.sheet,
                    name: body.name,
                    area: body.area,
                    strip,
                }));
            }
        }
    }
    found
}

/// The bevel rip of one strip; what it gives goes to `roots` where it is crosscut.
fn rip(
    strip: &InHand<'_>,
    number: usize,
    blanks: &mut Vec<Sawn>,
    roots: &mut Vec<Root>,
    rules: &Rules,
) -> (Cut, Fence) {
    let Strip { width, narrow, angle, bars, .. } = strip.strip;
    let names = [Name::Cut(number), Name::Second(number)];
    let mut bodies = names.into_iter().zip(bars).map(|(name, bar)| {
        let size = [strip.area.size[0], *width];
        let slab = slab(bar, size, blanks);
        let area = Area { at: strip.area.at, size };
        let what = match slab.fate {
            super::slab::Fate::Piece { item, turned } => What::Piece { item, turned },
            _ => What::More,
        };
        roots.push(Root { sheet: strip.sheet, name, at: area.at, slab });
        Body { name, area, what }
    });
    let nothing = Body { name: names[0], area: strip.area, what: What::Left };
    let (gives, rest) = (bodies.next().unwrap_or(nothing), bodies.next());
    let fence = Fence::Bevel { wide: *width, narrow: *narrow, angle: *angle };
    let mut cut = Cut {
        number,
        sheet: strip.sheet,
        from: strip.name,
        area: strip.area,
        way: Way::Along,
        at: *width,
        held: Side::Slice,
        // The blade leans away, so that hands have the wide face's width of room above the wood.
        push_stick: *width < rules.narrowest,
        care: None,
        gives,
        rest,
    };
    cut.care = Care::of(fence, &cut, rules);
    (cut, fence)
}

fn slab(bar: &Bar, size: [i64; 2], blanks: &mut Vec<Sawn>) -> Slab {
    let pieces = bar.pieces.iter().map(|(length, piece)| {
        blanks.push(Sawn::Piece(*piece));
        Slab::piece([*length, size[1]], blanks.len() - 1, false)
    });
    Slab::sliced(size, Way::Across, pieces.collect())
}
