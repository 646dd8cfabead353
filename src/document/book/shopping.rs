//! What is bought and taken: wood, screws, what else, and what each holder wants of it.

use super::super::hardware::{HardwareTotal, totals};
use super::super::tree::{Block, Document, Inline, Listing, Phrase, many, phrase};
use super::super::words;
use crate::cutting::{StockUse, millimeters};
use crate::holder::{HardwareKind, Holder};
use crate::length::Amount;
use crate::shop::Shop;
use crate::work_out::Worked;

/// The holders that something is still bought for.
fn to_make(worked: &Worked) -> Vec<&Holder> {
    let holders = worked.holders.iter().map(|worked| &*worked.holder);
    holders.filter(|holder| !holder.built).collect()
}

/// What is bought for all holders together; nothing where there is nothing.
pub(super) fn shopping(worked: &Worked) -> Option<Document> {
    let uses = &worked.plans.cutting.uses;
    let holders = to_make(worked);
    let totals = totals(&holders);
    let (screws, others): (Vec<_>, Vec<_>) =
        totals.iter().partition(|total| matches!(total.first.what, HardwareKind::Screws { .. }));
    let sum = Block::List(cost(uses).into_iter().collect());
    let chapters = [
        Block::chapter_of("Wood", vec![Block::Table(wood(uses)), sum]),
        Block::chapter("Offcuts at hand that are used", Block::Table(offcuts(worked))),
        boxes(&screws, &worked.shop),
        Block::chapter("Other hardware", Block::Table(other_hardware(&others))),
    ];
    let blocks: Vec<Block> = chapters.into_iter().flatten().collect();
    let title = "Shopping list".to_owned();
    (!blocks.is_empty()).then(|| Document { title, units: worked.shop.units, blocks })
}

/// All screws, in boxes; nothing where there are none.
fn boxes(screws: &[&HardwareTotal<'_>], shop: &Shop) -> Option<Block> {
    let in_box = shop.screws_in_box;
    let all_new = match shop.screws.is_empty() {
        true => "all of them new",
        false => "what is in the drawer not taken off",
    };
    let how = format!(
        "Counted in boxes of {in_box} (screws_in_box under [drawer] in shop.toml), {all_new}."
    );
    let rows = screws.iter().map(|total| screw(total, in_box)).collect();
    let head = vec!["", "boxes", "screw, flat head", "screws", "for"];
    let blocks = vec![Block::Paragraph(how.into()), Block::Table(Listing { head, rows })];
    (!screws.is_empty()).then(|| Block::chapter_of("Screws", blocks)).flatten()
}

fn other_hardware(others: &[&HardwareTotal<'_>]) -> Listing {
    let rows = others.iter().map(|total| other(total)).collect();
    Listing { head: vec!["", "how many", "item", "for"], rows }
}

fn wood(uses: &[StockUse]) -> Listing {
    let head = vec!["", "buy", "have", "stock", "length × width", "thick", "each", "together"];
    Listing { head, rows: uses.iter().map(stock).collect() }
}

/// What of a stock is bought, and what is taken from what is at hand.
fn stock(uses: &StockUse) -> Vec<Phrase> {
    let buy = uses.bought() + uses.short;
    let have = uses.used() - uses.bought();
    let count = |count: usize| match count {
        0 => "–".into(),
        _ => Phrase::from(many(count, uses.kind.word())),
    };
    let money =
        |price: Option<f64>| price.map_or("–".into(), |price| format!("{price:.2}").into());
    let together = uses.price.filter(|_| buy > 0).map(|price| price * buy as f64);
    vec![
        phrase![Inline::Tick],
        count(buy),
        count(have),
        uses.stock.as_str().into(),
        phrase![Amount::Sides([uses.length, uses.width])],
        phrase![Amount::Length(uses.thickness)],
        money(uses.price),
        money(together),
    ]
}

/// What the wood to buy comes to, as far as prices are known.
fn cost(uses: &[StockUse]) -> Option<Phrase> {
    let bought = |uses: &&StockUse| uses.bought() + uses.short > 0;
    let costs = uses
        .iter()
        .filter(bought)
        .filter_map(|uses| uses.price.map(|price| price * (uses.bought() + uses.short) as f64));
    let costs: Vec<f64> = costs.collect();
    let unknown = uses.iter().filter(bought).count() - costs.len();
    let but = match unknown {
        0 => String::new(),
        _ => format!("; {} without a price in shop.toml not counted", many(unknown, "stock")),
    };
    let sum: f64 = costs.iter().sum();
    (!costs.is_empty()).then(|| format!("The wood to buy comes to {sum:.2}{but}.").into())
}

fn offcuts(worked: &Worked) -> Listing {
    let sawn = worked.plans.cutting.sheets.iter().filter(|sheet| sheet.offcut);
    let sawn = sawn.filter(|sheet| sheet.left.is_none());
    let sawn = sawn.map(|sheet| (&sheet.stock, sheet.size.map(millimeters), "the saw"));
    let routed = worked.plans.router.taken.iter().filter(|taken| taken.offcut);
    let routed = routed.map(|of| (&of.stock, [of.size.width, of.size.height], "the CNC router"));
    let row = |(stock, size, used): (&String, [f64; 2], &str)| {
        vec![
            phrase![Inline::Tick],
            stock.as_str().into(),
            phrase![Amount::Sides(size)],
            used.into(),
        ]
    };
    let head = vec!["", "offcut of", "length × width", "used by"];
    Listing { head, rows: sawn.chain(routed).map(row).collect() }
}

fn titles(total: &HardwareTotal<'_>) -> Phrase {
    let titles: Vec<&str> = total.holders.iter().map(|holder| holder.title.as_str()).collect();
    match titles.len() {
        all @ 6.. => format!("{} and {} more", titles[..4].join(", "), all - 4).into(),
        _ => titles.join(", ").into(),
    }
}

fn screw(total: &HardwareTotal<'_>, in_box: usize) -> Vec<Phrase> {
    let [_, size] = words::item(total.first);
    vec![
        phrase![Inline::Tick],
        total.boxes(in_box).unwrap_or_default().into(),
        size.into(),
        total.quantity.to_string().into(),
        titles(total),
    ]
}

fn other(total: &HardwareTotal<'_>) -> Vec<Phrase> {
    let item = words::item(total.first).join(" ");
    let count = total.quantity.to_string();
    vec![phrase![Inline::Tick], count.into(), item.trim_end().into(), titles(total)]
}
