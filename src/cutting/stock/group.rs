//! The pieces of one stock: what is to be sawn from it.

use std::collections::BTreeMap;
use std::convert::Infallible;

use super::super::index::{PieceIndex, RowIndex, StripIndex};
use super::super::least::{Budget, ItemIndex, ItemType, OutOfRange, PanelProblem};
use super::super::measure::micrometers;
use super::cleat::{self, CleatBlank, CleatKind};
use super::growth::Growth;
use super::piece::CutPiece;
use super::supply::Supply;
use crate::shop::{Shop, StockKind, StockRow};

/// What a blank becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum BlankUse {
    /// One piece.
    Piece(PieceIndex),
    /// Cleat strips, by the tilted blade.
    Strip(StripIndex),
}

/// One stock with all that is sawn from it.
#[derive(Clone)]
pub(crate) struct StockGroup<'s> {
    pub row: &'s StockRow,
    pub supply: Supply,
    pub problem: PanelProblem,
    pub growth: Vec<Growth>,
    /// For each item, what its blanks become; the first is given out first.
    pub members: Vec<Vec<BlankUse>>,
    /// Blanks for cleat strips.
    pub strips: Vec<CleatBlank>,
    /// Pieces that no panel of the stock is large enough for.
    pub too_large: Vec<PieceIndex>,
    sorted: SortedPieces,
}

/// Pieces by how they are sawn.
#[derive(Debug, Clone, Default)]
struct SortedPieces {
    square: BTreeMap<ItemKey, Vec<BlankUse>>,
    /// By width and angle: length and position of each.
    cleats: BTreeMap<(i64, i64), Vec<(i64, PieceIndex)>>,
}

/// Size, whether it turns, how it may grow.
type ItemKey = ([i64; 2], bool, Growth);

impl<'s> StockGroup<'s> {
    /// Of `pieces`, those of the stock `index` that `wanted` lets through; cleat strips take as
    /// little wood as they are found to. `None` where the shop has no such stock.
    pub(crate) fn new(
        pieces: &[CutPiece],
        shop: &'s Shop,
        index: RowIndex,
        supply: Supply,
        wanted: &dyn Fn(&CutPiece) -> bool,
    ) -> Option<Self> {
        let row = index.of(&shop.stock)?;
        let kerf = micrometers(shop.kerf);
        let problem = PanelProblem { stock: supply.stock.clone(), items: Vec::new(), kerf };
        let mut group = Self {
            row,
            supply,
            problem,
            growth: Vec::new(),
            members: Vec::new(),
            strips: Vec::new(),
            too_large: Vec::new(),
            sorted: SortedPieces::default(),
        };
        for (at, piece) in pieces.iter().enumerate().filter(|(_, piece)| wanted(piece)) {
            if piece.blank.is_some_and(|blank| blank.stock == Some(index)) {
                group.sort_in(PieceIndex(at), piece);
            }
        }
        let fits = |size: [i64; 2]| group.has_size_for(size, false);
        let Ok(group) = group.with_strips(|pieces, kind, longest| {
            Ok::<_, Infallible>(cleat::least_area(pieces, kind, longest, &fits))
        });
        Some(group)
    }

    /// The same with cleats in as few strips as are found within `budget`; `None` without cleats.
    ///
    /// # Errors
    ///
    /// [`OutOfRange`] for a length out of bounds.
    pub(crate) fn with_fewest_strips(&self, budget: Budget) -> Result<Option<Self>, OutOfRange> {
        if self.strips.is_empty() {
            return Ok(None);
        }
        let fits = |size: [i64; 2]| self.has_size_for(size, false);
        let group = self.with_strips(|pieces, kind, longest| {
            cleat::fewest_strips(pieces, kind, longest, &fits, budget)
        });
        group.map(Some)
    }

    fn sort_in(&mut self, index: PieceIndex, piece: &CutPiece) {
        let Some(blank) = piece.blank else { return };
        if !self.has_size_for(blank.size, blank.turns) {
            self.too_large.push(index);
        } else if let Some(angle) = blank.bevel {
            let [length, width] = blank.size;
            self.sorted.cleats.entry((width, angle)).or_default().push((length, index));
        } else {
            let growth = match blank.shaped {
                [false, false] => Growth::None,
                shaped => Growth::Shaped(shaped),
            };
            let key = (blank.size, blank.turns, growth);
            self.sorted.square.entry(key).or_default().push(BlankUse::Piece(index));
        }
    }

    /// The group with cleats of each kind in strips no longer than a length by `pack`, and the items
    /// that come of it.
    fn with_strips<E>(
        &self,
        pack: impl Fn(&[(i64, PieceIndex)], CleatKind, i64) -> Result<Vec<CleatBlank>, E>,
    ) -> Result<Self, E> {
        let mut items = self.sorted.square.clone();
        let mut strips = Vec::new();
        for ((width, angle), pieces) in &self.sorted.cleats {
            let wide = self.sizes().filter(|size| size[1] >= *width);
            let longest = wide.map(|size| size[0]).max().unwrap_or_default();
            let kind = CleatKind::new(*width, *angle, self.row.thickness, self.problem.kerf);
            for blank in pack(pieces, kind, longest)? {
                let strip = BlankUse::Strip(StripIndex(strips.len()));
                items.entry((blank.size, false, Growth::Longer)).or_default().push(strip);
                strips.push(blank);
            }
        }
        Ok(Self { strips, ..self.clone() }.with_items(items))
    }

    fn with_items(mut self, items: BTreeMap<ItemKey, Vec<BlankUse>>) -> Self {
        self.problem.items.clear();
        self.growth.clear();
        self.members.clear();
        // Largest first, so that items have an order that does not hang on how they are counted.
        for ((size, turns, growth), members) in items.into_iter().rev() {
            self.problem.items.push(ItemType { size, turns, demand: members.len() });
            self.growth.push(growth);
            self.members.push(members);
        }
        self
    }

    /// Sizes that the stock comes in, whether at hand or to be bought.
    fn sizes(&self) -> impl Iterator<Item = [i64; 2]> {
        let bought = self.supply.bought(self.row).into_iter().map(|stock| stock.size);
        self.problem.stock.iter().map(|stock| stock.size).chain(bought)
    }

    fn has_size_for(&self, size: [i64; 2], turns: bool) -> bool {
        let holds = |panel: [i64; 2], [a, b]: [i64; 2]| a <= panel[0] && b <= panel[1];
        self.sizes().any(|panel| holds(panel, size) || turns && holds(panel, [size[1], size[0]]))
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.members.is_empty()
    }

    /// How many blanks it comes to.
    pub(crate) fn blanks(&self) -> u64 {
        self.members.iter().map(|members| members.len() as u64).sum()
    }

    pub(crate) fn is_dowel(&self) -> bool {
        self.row.kind == StockKind::Dowel
    }

    /// The problem with each piece of a cleat strip by itself, half as wide as a pair: whichever
    /// way strips are put together, their pieces could be sawn so from the same wood.
    pub(crate) fn by_piece(&self) -> PanelProblem {
        let kerf = self.problem.kerf;
        let mut items = Vec::new();
        for (item, members) in self.problem.items.iter().zip(&self.members) {
            let square = members.iter().filter(|blank| matches!(blank, BlankUse::Piece(_))).count();
            items.push(ItemType { demand: square, ..*item });
        }
        items.retain(|item| item.demand > 0);
        let mut cleats: BTreeMap<[i64; 2], usize> = BTreeMap::new();
        for blank in &self.strips {
            let width = blank.kind.width.min((blank.kind.double - kerf) / 2);
            for (length, _) in blank.strips().flat_map(|strip| &strip.pieces) {
                *cleats.entry([*length, width]).or_default() += 1;
            }
        }
        let cleat = |(size, demand)| ItemType { size, turns: false, demand };
        items.extend(cleats.into_iter().map(cleat));
        PanelProblem { stock: self.problem.stock.clone(), items, kerf }
    }

    /// What the blanks of an item become.
    pub(crate) fn members_of(&self, item: ItemIndex) -> &[BlankUse] {
        self.members.get(item.0).map_or(&[], Vec::as_slice)
    }

    /// The pieces that a blank becomes.
    pub(crate) fn pieces_of(&self, blank: BlankUse) -> Vec<PieceIndex> {
        match blank {
            BlankUse::Piece(piece) => vec![piece],
            BlankUse::Strip(strip) => {
                let strips = strip.of(&self.strips).into_iter().flat_map(CleatBlank::strips);
                strips.flat_map(|strip| strip.pieces.iter().map(|(_, piece)| *piece)).collect()
            }
        }
    }
}
