//! The cutting plan, replayed and checked by what had no part in making it.

mod account;
mod bevel;
mod files;
mod replay;
mod shop;
mod short;
mod trade;

use std::sync::Arc;

use super::flat_parts;
pub use super::flat_parts::holder;
use crate::cutting::{Budget, CuttingPlan, plan};
use crate::holder::{Bevel, Edge, Face, Grain, Holder, MadeBy, Part, StockKind};
use crate::kernel::{Region, rectangle};
use crate::reading::Source;
use crate::router;
use crate::shop::{Shop, read_shop};
use kurbo::Point;

/// Steps enough for some rounds of the search.
pub const STEPS: u64 = 3_000_000;

pub fn shop(text: &str) -> Shop {
    read_shop(&Source::new("shop.toml", text)).unwrap()
}

/// A shop in mm with one sheet of 18 mm ply 2440 × 1220 (`quantity` as written) and more tables.
pub fn ply(quantity: &str, more: &str) -> Shop {
    shop(&format!(
        "units = \"mm\"\n[[sheet]]\nname = \"ply\"\nthickness = 18\nlength = 2440\nwidth = 1220\n\
         {quantity}\ngrain = true\nprice = 80\n{more}"
    ))
}

pub const SAW: &str = "[saw]\nkerf = 3\n";

/// A rectangular part of "ply", cut by hand.
pub fn part(name: &str, length: f64, width: f64, pieces: usize, grain: Grain) -> Part {
    let outline = rectangle(Point::ORIGIN, length, width, [0.0; 4]).unwrap();
    flat_parts::part(name, Region::new(outline, vec![]), pieces, grain, MadeBy::Hand)
}

/// A beveled strip of the cleat's stock.
pub fn cleat(name: &str, length: f64, width: f64, pieces: usize) -> Part {
    let mut part = part(name, length, width, pieces, Grain::Length);
    part.stock.kind = StockKind::Cleat;
    part.bevel = Some(Bevel { edge: Edge::Top, angle: 45.0, full_face: Face::Show });
    part
}

/// A peg of the dowel "rod", 25 mm thick.
pub fn dowel(name: &str, length: f64) -> Part {
    let mut part = part(name, length, 25.0, 1, Grain::Length);
    (part.stock.kind, part.stock.name) = (StockKind::Dowel, "rod".to_owned());
    part
}

pub fn planned(holders: &[Arc<Holder>], shop: &Shop) -> CuttingPlan {
    let router = router::plan(holders, shop);
    plan(holders, shop, &router, Budget { steps: STEPS })
}

/// Holders with a good mix of parts: wide and narrow, turned grain, beveled strips.
pub fn mixed() -> Vec<Arc<Holder>> {
    let side = part("side", 400.0, 300.0, 4, Grain::Width);
    vec![
        holder(
            "rack",
            vec![
                part("shelf", 700.0, 140.0, 5, Grain::Length),
                side,
                part("lip", 700.0, 19.0, 5, Grain::Length),
                part("block", 90.0, 60.0, 6, Grain::Any),
                cleat("hook", 700.0, 60.0, 3),
            ],
        ),
        holder(
            "wall",
            vec![cleat("cleat", 1500.0, 60.0, 4), part("back", 500.0, 390.0, 2, Grain::Length)],
        ),
    ]
}
