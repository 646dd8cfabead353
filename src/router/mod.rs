//! Sheets for the router: every part that is made by CNC router, laid out on the stock at hand.

mod grid;
mod nest;
mod plan;
mod portion;
mod turn;

use std::ops::Range;

use kurbo::{Affine, Point, Rect, Size};

use crate::holder::{Finding, PartOf};
use crate::kernel::Region;

pub(crate) use plan::plan;
pub(crate) use portion::{Parter, Portion, PortionFate};
pub(crate) use turn::QuarterTurn;

pub(crate) use crate::inputs::ROUTER_FOLDER as FOLDER;

/// All sheets of a project, and what they have no room for.
#[derive(Debug, Clone, Default)]
pub(crate) struct RouterPlan {
    /// By stock in the order of the shop file, offcuts first.
    pub sheets: Vec<RoutedSheet>,
    /// What these are or are sawn from, in the same order.
    pub taken: Vec<TakenSheet>,
    /// How many more sheets of a stock, by its name, would make what is left out.
    pub short: Vec<(String, usize)>,
    pub left_out: Vec<LeftOut>,
    pub findings: Vec<Finding>,
}

/// A sheet or offcut that the router takes.
#[derive(Debug, Clone)]
pub(crate) struct TakenSheet {
    /// Name of the stock.
    pub stock: String,
    pub offcut: bool,
    /// Length and width in mm, as it is at hand.
    pub size: Size,
    /// What is sawn of it for the bed; its areas on the bed are `sheets` of the plan, one after the
    /// other.
    pub portion: Portion,
    pub sheets: Range<usize>,
}

/// A sheet, offcut or panel with parts on it. Coordinates are mm, x along its length (and its grain), y
/// up, the origin at its lower left corner; each part lies with the face up that is worked, which is the show face of
/// most.
#[derive(Debug, Clone)]
pub(crate) struct RoutedSheet {
    /// Name of the stock.
    pub stock: String,
    /// Counted from 1 over the sheets, offcuts and panels of one stock.
    pub number: usize,
    /// How many of these are in use.
    pub of: usize,
    /// Its name as a file, without ending.
    pub file: String,
    pub offcut: bool,
    /// Whether it is sawn from a sheet or offcut that is larger than the bed.
    pub panel: bool,
    /// Where its lower left corner lies on what it is sawn from.
    pub corner: Point,
    /// Diameter of the bit, in mm.
    pub bit: f64,
    /// Whether its grain runs along its length, and the parts follow it.
    pub grain: bool,
    /// Its least thickness in mm.
    pub thickness_least: f64,
    /// Its largest, in mm.
    pub thickness: f64,
    /// Length and width in mm.
    pub size: Size,
    /// How wide the zone at its edges is that the bit stays out of, in mm.
    pub hold_down: f64,
    /// In the order they were laid.
    pub parts: Vec<RoutedPiece>,
}

/// A piece on a sheet.
#[derive(Debug, Clone)]
pub(crate) struct RoutedPiece {
    pub part: PartOf,
    /// Counted from 1 over the pieces of the part.
    pub piece: usize,
    /// Lower left corner of the turned piece's bounds on the sheet.
    pub at: Point,
    pub turn: QuarterTurn,
}

/// Pieces of a part that no sheet has room for.
#[derive(Debug, Clone)]
pub(crate) struct LeftOut {
    pub part: PartOf,
    pub pieces: usize,
}

impl RouterPlan {
    /// How many new sheets of a stock the router takes.
    pub(crate) fn new_ones(&self, stock: &str) -> usize {
        self.taken.iter().filter(|taken| taken.stock == stock && !taken.offcut).count()
    }
}

impl RoutedSheet {
    /// The whole sheet.
    pub(crate) fn area(&self) -> Rect {
        Rect::from_origin_size(Point::ORIGIN, self.size)
    }

    /// What the bit may cut: all but the zone at the edges.
    pub(crate) fn free_area(&self) -> Rect {
        self.area().inset(-self.hold_down)
    }

    /// `area` of what it is sawn from, parted from what the bit has been through: the parts, and
    /// `holes` in the waste.
    pub(crate) fn parted(&self, area: Rect, holes: &[Rect], parter: &Parter<'_>) -> Portion {
        let cut = |placed: &RoutedPiece| {
            let bounds = placed.part.region.transformed(placed.map()).bounds();
            bounds.inset(self.bit) + self.corner.to_vec2()
        };
        let holes = holes.iter().map(|hole| *hole + self.corner.to_vec2());
        let boxes: Vec<Rect> = self.parts.iter().map(cut).chain(holes).collect();
        Portion::beside(area, &boxes, parter)
    }

    /// What it is: a sheet, an offcut or a panel.
    pub(crate) fn word(&self) -> &'static str {
        match (self.panel, self.offcut) {
            (true, _) => "panel",
            (false, true) => "offcut",
            (false, false) => "sheet",
        }
    }

    /// Share of the sheet that becomes parts, from 0 to 1.
    pub(crate) fn filling(&self) -> f64 {
        self.parts.iter().map(|p| p.part.region.area()).sum::<f64>() / self.size.area()
    }
}

impl RoutedPiece {
    /// From the part's coordinates to the sheet's: the face that is worked lies up.
    pub(crate) fn map(&self) -> Affine {
        self.turn.map(self.part.region.bounds(), self.at) * self.part.seen_from(self.part.up())
    }

    /// Its wood, where it lies on the sheet.
    pub(crate) fn region(&self) -> Region {
        self.part.region.transformed(self.map())
    }

    /// What it is called on the sheet: holder, part, and the piece where there are several.
    pub(crate) fn name(&self) -> String {
        self.part.piece_name(self.piece)
    }
}
