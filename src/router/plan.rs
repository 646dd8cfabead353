//! From holders and the shop's stock to sheets with parts on them.

use std::sync::Arc;

use kurbo::{Point, Rect, Size, Vec2};

use super::nest::{Bin, Filled, Nest, NestRules, Wanted, nest};
use super::portion::Portion;
use super::turn::QuarterTurn;
use super::{LeftOut, RoutedPiece, RoutedSheet, RouterPlan, TakenSheet};
use crate::holder::{Finding, Holder, MadeBy, Part, PartOf};
use crate::kernel::Region;
use crate::length::Units;
use crate::reading::file_name;
use crate::shop::{Offcut, Shop, StockKind, StockRow};

/// Lays all parts that are made by CNC router from sheets on what the shop has of them: offcuts
/// first, the smallest to begin with, then as few sheets as will do.
///
/// Parts lie at least the bit and two margins apart; all that is cut lies clear of the zone at
/// the sheet's edges, the bit's way round a part too. What there is no room for is left out and
/// told by a finding.
pub(crate) fn plan(holders: &[Arc<Holder>], shop: &Shop) -> RouterPlan {
    let mut plan = RouterPlan::default();
    let Some(bit) = shop.router.map(|bits| bits.outline) else {
        plan.findings.extend(no_router(holders));
        return plan;
    };
    for stock in shop.of_kind(StockKind::Sheet) {
        let parts = parts(holders, stock);
        if !parts.is_empty() {
            let count = parts.iter().map(|part| part.quantity()).sum();
            lay(&parts, &RouterStock::new(shop, stock, bit, count), &mut plan);
        }
    }
    plan
}

/// The parts that are made by CNC router from `stock`.
fn parts(holders: &[Arc<Holder>], stock: &StockRow) -> Vec<PartOf> {
    let is_from = |part: &PartOf| {
        part.made_by == MadeBy::Router
            && part.stock.kind == StockKind::Sheet
            && part.stock.name == stock.name
            && part.quantity() > 0
    };
    holders.iter().flat_map(PartOf::all).filter(is_from).collect()
}

/// One stock and the rules it is used by.
struct RouterStock<'s> {
    stock: &'s StockRow,
    shop: &'s Shop,
    bit: f64,
    /// The offcuts and, last, the sheets.
    rows: Vec<RouterRow>,
}

/// Sheets or offcuts of one size.
struct RouterRow {
    size: Size,
    quantity: usize,
    offcut: bool,
    /// Least and largest, in mm.
    thickness: [f64; 2],
    /// Sawn for the bed.
    portion: Portion,
}

impl RouterRow {
    fn new(shop: &Shop, size: Size, quantity: usize, thickness: [f64; 2], offcut: bool) -> Self {
        let area = Rect::from_origin_size(Point::ORIGIN, size);
        let bed = shop.router_sheets.bed.map(|[length, width]| Size::new(length, width));
        let mut portion = Portion::for_bed(area, bed, shop.kerf);
        if !offcut && portion.leaves().len() > 1 {
            // What is sawn is trimmed first.
            portion = Portion::for_bed(area.inset(-shop.saw.edge_trim), bed, shop.kerf);
        }
        Self { size, quantity, offcut, thickness, portion }
    }

    fn panels(&self) -> Vec<Rect> {
        self.portion.leaves().into_iter().map(|leaf| leaf.area).collect()
    }
}

impl<'s> RouterStock<'s> {
    fn new(shop: &'s Shop, stock: &'s StockRow, bit: f64, pieces: usize) -> Self {
        let offcuts = shop.offcuts.iter().filter(|offcut| offcut.of == stock.name);
        let all = [stock.thickness_least, stock.thickness];
        let offcut = |offcut: &Offcut| {
            let size = Size::new(offcut.length, offcut.width);
            RouterRow::new(shop, size, 1, offcut.thickness.unwrap_or(all), true)
        };
        let mut rows: Vec<RouterRow> = offcuts.map(offcut).collect();
        rows.sort_by(|a, b| a.size.area().total_cmp(&b.size.area()));
        // What is bought is as much as is needed: a sheet for each piece at the most.
        let quantity = stock.quantity.unwrap_or(pieces);
        let size = Size::new(stock.length, stock.width);
        rows.push(RouterRow::new(shop, size, quantity, all, false));
        Self { stock, shop, bit, rows }
    }

    /// How far a part stays away from the edge of a sheet: the bit goes round it.
    fn border(&self) -> f64 {
        self.shop.router_sheets.hold_down + self.bit
    }

    /// What of a panel of `size` parts may lie on.
    fn room(&self, size: Size) -> Size {
        let room = size - Size::new(2.0, 2.0) * self.border();
        Size::new(room.width.max(0.0), room.height.max(0.0))
    }

    fn bins(&self) -> Vec<Bin> {
        let rooms =
            |row: &RouterRow| row.panels().iter().map(|panel| self.room(panel.size())).collect();
        self.rows.iter().map(|row| Bin { panels: rooms(row), quantity: row.quantity }).collect()
    }

    /// As many sheets as anyone likes to buy.
    fn bought(&self) -> Option<Bin> {
        Some(Bin { quantity: usize::MAX, ..self.bins().pop()? })
    }

    /// The largest panel of a new sheet.
    fn largest(&self) -> Size {
        let panels = self.rows.last().map(RouterRow::panels).unwrap_or_default();
        let sizes = panels.iter().map(Rect::size);
        sizes.max_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or_default()
    }

    fn rules(&self) -> NestRules {
        let sheets = self.shop.router_sheets;
        NestRules { spacing: self.bit + 2.0 * sheets.margin, fill_openings: sheets.fill_openings }
    }

    fn turns(&self, part: &Part) -> Vec<QuarterTurn> {
        QuarterTurn::allowed(part.grain, self.stock.grain).collect()
    }
}

fn lay(parts: &[PartOf], ground: &RouterStock<'_>, plan: &mut RouterPlan) {
    let seen: Vec<Region> =
        parts.iter().map(|part| part.region.transformed(part.seen_from(part.up()))).collect();
    let mut wanted: Vec<Wanted<'_>> = parts
        .iter()
        .zip(&seen)
        .map(|(part, region)| Wanted { region, pieces: part.quantity(), turns: ground.turns(part) })
        .collect();
    let nest = nest(&wanted, &ground.bins(), ground.rules());
    for (wanted, left) in wanted.iter_mut().zip(&nest.left) {
        wanted.pieces = *left;
    }
    let short = short(&wanted, ground);
    for (part, count) in parts.iter().zip(&nest.left).filter(|(_, count)| **count > 0) {
        plan.left_out.push(LeftOut { part: part.clone(), pieces: *count });
        plan.findings.push(no_room(part, *count, short, ground));
    }
    if short > 0 {
        plan.short.push((ground.stock.name.clone(), short));
    }
    let sheets = sheets(parts, &nest, ground, &plan.sheets);
    plan.taken.extend(taken(&nest, ground, plan.sheets.len()));
    plan.sheets.extend(sheets);
}

/// How many new sheets make what is left.
fn short(left: &[Wanted<'_>], ground: &RouterStock<'_>) -> usize {
    let bought: Vec<Bin> = ground.bought().into_iter().collect();
    let none = left.iter().all(|wanted| wanted.pieces == 0);
    let nest = (!none).then(|| nest(left, &bought, ground.rules()));
    nest.and_then(|nest| nest.sheets.last().map(|filled| filled.sheet + 1)).unwrap_or(0)
}

/// The panels in use, each sheet's together: `nest` fills one after the other.
fn by_sheet(nest: &Nest) -> impl Iterator<Item = &[Filled]> {
    nest.sheets.chunk_by(|a, b| (a.bin, a.sheet) == (b.bin, b.sheet))
}

/// What the router takes; its panels come after `before` others.
fn taken(nest: &Nest, ground: &RouterStock<'_>, before: usize) -> Vec<TakenSheet> {
    let mut first = before;
    let mut all = Vec::new();
    for panels in by_sheet(nest) {
        let sheets = first..first + panels.len();
        first = sheets.end;
        let Some(row) = panels.first().and_then(|panel| ground.rows.get(panel.bin)) else {
            continue;
        };
        let areas = row.panels();
        let routed: Vec<Rect> =
            panels.iter().filter_map(|panel| areas.get(panel.panel).copied()).collect();
        all.push(TakenSheet {
            stock: ground.stock.name.clone(),
            offcut: row.offcut,
            size: row.size,
            portion: row.portion.clone().with_routed(&routed),
            sheets,
        });
    }
    all
}

fn sheets(
    parts: &[PartOf],
    nest: &Nest,
    ground: &RouterStock<'_>,
    earlier: &[RoutedSheet],
) -> Vec<RoutedSheet> {
    let border = Vec2::new(ground.border(), ground.border());
    let mut laid = vec![0; parts.len()];
    let mut sheets: Vec<RoutedSheet> = Vec::new();
    for filled in &nest.sheets {
        let Some(row) = ground.rows.get(filled.bin) else { continue };
        let panels = row.panels();
        let Some(area) = panels.get(filled.panel) else { continue };
        let placed = filled.pieces.iter().filter_map(|piece| {
            let part = parts.get(piece.wanted)?.clone();
            let count = laid.get_mut(piece.wanted)?;
            *count += 1;
            Some(RoutedPiece { part, piece: *count, at: piece.at + border, turn: piece.turn })
        });
        sheets.push(RoutedSheet {
            stock: ground.stock.name.clone(),
            number: sheets.len() + 1,
            of: nest.sheets.len(),
            file: String::new(),
            offcut: row.offcut,
            panel: panels.len() > 1,
            corner: area.origin(),
            bit: ground.bit,
            grain: ground.stock.grain,
            thickness_least: row.thickness[0],
            thickness: row.thickness[1],
            size: area.size(),
            hold_down: ground.shop.router_sheets.hold_down,
            parts: placed.collect(),
        });
    }
    name_files(&mut sheets, earlier);
    sheets
}

/// A file for each sheet; where two stocks would share a name, the count goes on.
fn name_files(sheets: &mut [RoutedSheet], earlier: &[RoutedSheet]) {
    let mut count = 0;
    for sheet in sheets {
        let stem = Some(file_name(&sheet.stock)).filter(|s| !s.is_empty());
        let stem = stem.unwrap_or_else(|| "sheet".to_owned());
        let name = loop {
            count += 1;
            let name = format!("{stem}-{count}");
            if earlier.iter().all(|sheet| sheet.file != name) {
                break name;
            }
        };
        sheet.file = name;
    }
}

/// Says that there are parts for a router, and no router.
fn no_router(holders: &[Arc<Holder>]) -> Option<Finding> {
    let is_routed =
        |holder: &&Arc<Holder>| holder.parts.iter().any(|p| p.made_by == MadeBy::Router);
    let holder = holders.iter().find(is_routed)?;
    let message = format!(
        "{} is made by CNC router, and the shop has none: no sheets are laid out. Add bit under \
         [router] in shop.toml, or choose made_by = \"hand\".",
        holder.name
    );
    Some(Finding::warn("no-router", message))
}

/// Says which pieces no sheet has room for, and why.
fn no_room(part: &PartOf, count: usize, short: usize, ground: &RouterStock<'_>) -> Finding {
    let units = ground.shop.units;
    let stock = &ground.stock.name;
    let pieces = if count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") };
    let size = size(part.region.bounds().size(), units);
    let fits = |sheet: &Size| {
        let room = ground.room(*sheet);
        let turned = |turn: &QuarterTurn| turn.size(part.region.bounds().size());
        ground
            .turns(part)
            .iter()
            .map(turned)
            .any(|s| s.width <= room.width && s.height <= room.height)
    };
    let head = format!("{pieces} of {} of {}, {size}", part.name, part.holder().name);
    let new = ground.rows.last().map(RouterRow::panels).unwrap_or_default();
    if new.iter().any(|panel| fits(&panel.size())) {
        let more = if short == 1 { "one".to_owned() } else { short.to_string() };
        let message = format!(
            "{head}: no room is left on the {stock} at hand. Buy {more} more and raise its quantity \
             in shop.toml, or list your offcuts."
        );
        return Finding::warn("no-room", message);
    }
    let largest = ground.largest();
    let (room, border) = (self::size(ground.room(largest), units), units.length(ground.border()));
    let grain = if ground.stock.grain { ", along the grain" } else { "" };
    if let Some([length, width]) = ground.shop.router_sheets.bed.filter(|_| new.len() > 1) {
        let message = format!(
            "{head}: larger than the {room} that the CNC router can use of a panel of {stock} on its \
             bed, {}{grain}; {border} along each edge is kept for clamps and the bit. Make the part \
             smaller, make hold_down under [router] smaller, or choose made_by = \"hand\".",
            self::size(Size::new(length, width), units)
        );
        return Finding::warn("larger-than-sheet", message);
    }
    let message = format!(
        "{head}: larger than the {room} of a sheet of {stock} that the CNC router can use{grain}; \
         {border} along each edge is kept for clamps and the bit. Make the part smaller, use a larger \
         sheet, make hold_down under [router] smaller, or choose made_by = \"hand\"."
    );
    Finding::warn("larger-than-sheet", message)
}

fn size(size: Size, units: Units) -> String {
    format!("{} × {}", units.length(size.width), units.length(size.height))
}
