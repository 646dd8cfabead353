//! The jobs of a part by itself and of a sheet, put together from the cuts of their pieces.

use kurbo::{Affine, Point, Rect, Size};

use super::cuts::{MillBench, by_layer};
use super::dowel::{DowelPair, dowels, of_part};
use super::inner::levels;
use super::job::{Jobs, MillCut, MillJob, turned_over};
use crate::holder::{Face, Part};
use crate::router::RoutedSheet;
use crate::shop::Shop;

/// The jobs of one piece of `part` by itself, the face up that has work; it lies with its lower left corner at the
/// origin.
pub(crate) fn part_jobs(part: &Part, shop: &Shop) -> Jobs {
    let bounds = part.region.bounds();
    let up = part.up();
    let thickness = part.stock.thickness;
    let bench = MillBench { bits: shop.router, run: shop.router_run, thickness, hold: None };
    let home = Affine::translate(-bounds.origin().to_vec2());
    let seen = |face: Face| home * part.seen_from(face);
    let size = bounds.size();
    let turned = part.is_turned_over();
    let pair = shop.router.filter(|_| turned).map(|bits| of_part(size, bits.outline));
    let back = turned.then(|| bench.blind(part, up.other(), seen(up.other()), 0));
    bench.jobs(size, bench.front(part, up, seen(up), 0, 0), back, pair)
}

/// The jobs of a sheet with its parts on it.
pub(crate) fn sheet_jobs(sheet: &RoutedSheet, shop: &Shop) -> Jobs {
    let bench = MillBench {
        bits: shop.router,
        run: shop.router_run,
        thickness: sheet.thickness,
        hold: Some(shop.router_sheets),
    };
    let pair = shop.router.and_then(|bits| dowels(sheet, bits.outline));
    let inner = levels(sheet);
    let pieces = || sheet.parts.iter().enumerate();
    let whole = pieces().flat_map(|(index, piece)| {
        let inner = inner.get(index).copied().unwrap_or(0);
        bench.front(&piece.part, piece.part.up(), piece.map(), index, inner)
    });
    let over = turned_over(sheet.size);
    let both = pieces().filter(|(_, piece)| piece.part.is_turned_over());
    let blind = both.flat_map(|(index, piece)| {
        bench.blind(&piece.part, piece.part.up().other(), over * piece.map(), index)
    });
    bench.jobs(sheet.size, whole.collect(), pair.map(|_| blind.collect()), pair)
}

impl MillBench {
    /// What is done to something of `size` from the front, and before that from the back.
    fn jobs(
        &self,
        size: Size,
        front: Vec<MillCut>,
        back: Option<Vec<MillCut>>,
        dowels: Option<DowelPair>,
    ) -> Jobs {
        let job = |cuts, dowels| MillJob {
            area: Rect::from_origin_size(Point::ORIGIN, size),
            thickness: self.thickness,
            bits: self.bits,
            hold: self.hold,
            by_center: false,
            cuts: by_layer(cuts, self.bits),
            dowels,
        };
        let holes = dowels.iter().flat_map(DowelPair::cuts);
        let back = back.map(|cuts| job(holes.chain(cuts).collect(), None));
        Jobs { front: job(front, dowels), back }
    }
}
