//! What the router leaves of its sheets, as the saw may have it.

use kurbo::{Point, Rect, Size};

use super::super::measure::micrometers;
use crate::length::Tape;
use crate::milling::dowels;
use crate::router::{Parter, Portion, PortionFate, RoutedSheet, RouterPlan, TakenSheet};
use crate::shop::Shop;
use crate::tolerance::COORDINATE;

/// A rectangle that the router leaves of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RouterLeft {
    /// Name of the stock.
    pub stock: String,
    /// What a person finds it by: "remainder of birch-ply-3-4-1, right end".
    pub name: String,
    /// Where it lies on the sheet, in mm.
    pub area: Rect,
}

/// A sheet that the router takes, with all that it may be parted in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PartedSheet {
    /// By what the router's files call it.
    pub name: String,
    /// Before the router has it.
    pub before: Portion,
    /// Each panel on the bed, once the router is done: its file, and how it is parted.
    pub after: Vec<(String, Portion)>,
}

/// All that the router leaves.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct RouterLeavings {
    pub sheets: Vec<PartedSheet>,
    /// In the order of the sheets.
    pub left: Vec<RouterLeft>,
}

impl RouterLeft {
    /// Along the grain and across it, in micrometers.
    pub(crate) fn size(&self) -> [i64; 2] {
        [self.area.width(), self.area.height()].map(micrometers)
    }
}

impl RouterLeavings {
    /// What `router` leaves that is `usable`, by stock and size in micrometers.
    pub(crate) fn new(
        shop: &Shop,
        router: &RouterPlan,
        usable: &dyn Fn(&str, [i64; 2]) -> bool,
    ) -> Self {
        let mut all = Self::default();
        for taken in &router.taken {
            let fits =
                |size: Size| usable(&taken.stock, [size.width, size.height].map(micrometers));
            all.add(
                taken,
                router.sheets.get(taken.sheets.clone()).unwrap_or_default(),
                shop,
                &fits,
            );
        }
        all
    }

    fn add(
        &mut self,
        taken: &TakenSheet,
        routed: &[RoutedSheet],
        shop: &Shop,
        usable: &dyn Fn(Size) -> bool,
    ) {
        let parter = Parter { kerf: shop.kerf, tape: Tape::usual(shop.units), usable };
        let first = routed.first().map_or(String::new(), |sheet| sheet.file.clone());
        let name = format!("the sheet of {first}");
        let trim = if taken.offcut { 0.0 } else { shop.saw.edge_trim };
        let whole = Rect::from_origin_size(Point::ORIGIN, taken.size).inset(-trim);
        self.find(&taken.stock, &name, &taken.portion, usable);
        let mut after = Vec::new();
        for sheet in routed {
            let area = Rect::from_origin_size(sheet.corner, sheet.size).intersect(whole);
            let portion = sheet.parted(area, &dowel_holes(sheet, shop), &parter);
            self.find(&taken.stock, &sheet.file, &portion, usable);
            after.push((sheet.file.clone(), portion));
        }
        self.sheets.push(PartedSheet { name, before: taken.portion.clone(), after });
    }

    /// Adds what is free of `whole`.
    fn find(&mut self, stock: &str, of: &str, whole: &Portion, usable: &dyn Fn(Size) -> bool) {
        let leaves = whole.leaves().into_iter();
        let free = leaves.filter(|leaf| leaf.fate == PortionFate::Free && usable(leaf.area.size()));
        let areas: Vec<Rect> = free.map(|leaf| leaf.area).collect();
        let before = self.left.len();
        for area in areas {
            let place = place(area, whole.area);
            let alike = self.left.iter().skip(before).filter(|left| left.name.contains(place));
            let count = alike.count();
            let number = if count == 0 { String::new() } else { format!(" {}", count + 1) };
            let name = format!("remainder of {of}, {place}{number}");
            self.left.push(RouterLeft { stock: stock.to_owned(), name, area });
        }
    }

    /// Which of all lies at `area` of a sheet called `of`, if any.
    pub(crate) fn position(&self, of: &str, area: Rect) -> Option<usize> {
        let head = format!("remainder of {of}, ");
        self.left.iter().position(|left| left.area == area && left.name.starts_with(&head))
    }
}

/// The holes for dowels in the waste of a sheet that is turned over.
fn dowel_holes(sheet: &RoutedSheet, shop: &Shop) -> Vec<Rect> {
    let pair = shop.router.and_then(|bits| dowels(sheet, bits.outline));
    let hole = |at: Point, diameter: f64| Rect::from_center_size(at, Size::new(diameter, diameter));
    pair.map(|pair| pair.at.map(|at| hole(at, pair.diameter)).to_vec()).unwrap_or_default()
}

/// Where an area lies on a sheet, in words.
fn place(area: Rect, whole: Rect) -> &'static str {
    let at = |one: f64, other: f64| (one - other).abs() <= COORDINATE;
    let right = at(area.x1, whole.x1);
    let upper = at(area.y1, whole.y1);
    match (right, upper) {
        (true, true) if at(area.y0, whole.y0) => "right end",
        (_, true) => "upper edge",
        (true, false) => "right edge",
        (false, false) => "middle",
    }
}
